package takeoff

import (
	"path/filepath"
	"slices"
	"sync"

	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// scenes are the drawings of a job, and what is recognised on all of them together: a legend
// on one explains the symbols of the others.
type scenes struct {
	folder string
	byName map[string]*scene
	names  []string // in the job's order
	look   *recognize.Result
}

// scene is one drawing.
type scene struct {
	*plan.Page
	index int // among the pages of look
	look  *recognize.Result
	loose func() *figures.Board // its loose linework, put together when first asked for
	paper func() *figures.Board // that of paper space
}

// inLegend reports whether a place of model space lies in a legend.
func (s *scene) inLegend(at geom.Point) bool { return s.look.Sampled(s.index, at) }

// openScenes reads all drawings of the plans, several at a time.
func openScenes(req Request) (*scenes, error) {
	ss := &scenes{folder: req.Folder, byName: map[string]*scene{}}
	for _, p := range req.Plans {
		if p.Drawing != "" && !slices.Contains(ss.names, p.Drawing) {
			ss.names = append(ss.names, p.Drawing)
		}
	}
	for _, ty := range req.Types { // drawings of samples, such as a sheet of symbols
		for _, m := range ty.Match {
			if m.Sample != nil && m.Drawing != "" && !slices.Contains(ss.names, m.Drawing) {
				ss.names = append(ss.names, m.Drawing)
			}
		}
	}
	read := make([]*plan.Page, len(ss.names))
	pages := make([]*recognize.Page, len(ss.names))
	errs := make([]error, len(ss.names))
	parallel.For(len(ss.names), func(i int) {
		if read[i], errs[i] = plan.Open(ss.path(ss.names[i])); errs[i] != nil {
			return
		}
		p := read[i]
		pages[i] = recognize.NewPage(i, ss.names[i], p.Drawing, p.Inserts, p.Texts, slices.Concat(p.Shapes, p.PaperShapes()))
	})
	for i, n := range ss.names {
		if p := read[i]; p != nil {
			ss.byName[n] = &scene{Page: p, index: i,
				loose: sync.OnceValue(func() *figures.Board { return figures.On(p.Shapes, p.Texts, false) }),
				paper: sync.OnceValue(func() *figures.Board { return figures.On(p.PaperShapes(), p.Texts, true) })}
		}
	}
	for _, err := range errs { // the first in the job's order, whichever came first in time
		if err != nil {
			ss.close()
			return nil, err
		}
	}
	ss.look = recognize.Look(pages, words.With(req.Words))
	for _, s := range ss.byName {
		s.look = ss.look
	}
	return ss, nil
}

func (ss *scenes) close() {
	for _, s := range ss.byName {
		s.Drawing.Close()
	}
}

// path makes a plan's path relative to the job's folder usable.
func (ss *scenes) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(ss.folder, name)
}
