package inspect

import (
	"path/filepath"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/rooms"
	"loopwright/takeoff/words"
)

// Files reads drawings and says what each shows, and what is recognised on all of
// them together: a legend on one explains the symbols of the others.
func Files(paths []string) ([]*Contents, *recognize.Result, error) {
	read := make([]*plan.Page, len(paths))
	errs := make([]error, len(paths))
	defer func() {
		for _, p := range read {
			if p != nil {
				p.Drawing.Close()
			}
		}
	}()
	pages := make([]*recognize.Page, len(paths))
	parallel.For(len(paths), func(i int) {
		if read[i], errs[i] = plan.Open(paths[i]); errs[i] == nil {
			pages[i] = pageOf(i, filepath.Base(paths[i]), read[i])
		}
	})
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	look := recognize.Look(pages, words.Usual())
	out := make([]*Contents, len(paths))
	parallel.For(len(paths), func(i int) {
		out[i] = contents(read[i], i, look)
		out[i].File = paths[i]
	})
	found := make([]rooms.Proposal, len(look.Plans))
	asked := func(i int) bool { c := out[look.Plans[i].Page]; return len(c.Walls) == 0 && c.Units.Unit() != "" }
	parallel.For(len(found), func(i int) {
		if asked(i) {
			found[i] = bounds(read[look.Plans[i].Page], look, i, out[look.Plans[i].Page].metres())
		}
	})
	for i, f := range found {
		if c := out[look.Plans[i].Page]; asked(i) {
			if c.Bounds == nil {
				c.Bounds = map[int]rooms.Proposal{}
			}
			c.Bounds[i] = f
		}
	}
	return out, look, nil
}

// bounds proposes the walls of a plan that was recognised, on a drawing on which no layer is named for them.
func bounds(p *plan.Page, look *recognize.Result, i int, metres float64) rooms.Proposal {
	region := look.Region(i)
	q := rooms.Sheet{Page: p, Part: plan.Part{Region: &region}, ToBuilding: geom.Scaling(metres, metres), Keep: region.Contains, Legend: func(at geom.Point) bool { return look.Sampled(look.Plans[i].Page, at) },
		Taken: map[geom.Point]bool{}}
	ours := map[string]bool{}
	for _, f := range look.Figures {
		if f.Plan != i || !look.Kinds[f.Kind].Ours {
			continue
		}
		q.Symbols = append(q.Symbols, f.Box)
		if f.Status == "" && f.Visible {
			q.Counted = append(q.Counted, f.Box)
		}
		switch f.Form {
		case recognize.Block:
			ours[p.Inserts[f.Index].Block] = true
		case recognize.Text:
			q.Taken[plan.At(p.Texts[f.Index].Pos)] = true
		}
	}
	q.Device = func(in *dxf.Insert) bool { return ours[in.Block] }
	q.Inside = func(path []string) bool { return slices.ContainsFunc(path, func(b string) bool { return ours[b] }) }
	return rooms.Propose(q)
}
