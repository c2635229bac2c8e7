package takeoff

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/sourcegraph/conc/iter"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// scene is what stands on one drawing, read once however many plans show it.
type scene struct {
	name    string
	d       *dxf.Drawing
	inserts []dxf.Insert
	symbols []geom.Box // box around each insert's symbol, drawing units
	texts   []dxf.Text
	shapes  []dxf.Shape
	notes   []dxf.Finding
	legends []Legend
	maybe   []Legend // symbols beside texts that may be one: they count, and a person is asked
	// byBlock lists the inserts of model space by block as stored, outermost ones only.
	byBlock map[string][]int

	boardOnce sync.Once
	board     *board // loose linework: see figure.go
}

// readScene opens a drawing and lists what is on it.
func readScene(name, path string) (*scene, error) {
	d, err := dxf.Open(path)
	if err != nil {
		return nil, fmt.Errorf("plan %w", err) // it begins with the name
	}
	s, err := newScene(name, d)
	if err != nil {
		d.Close()
		return nil, fmt.Errorf("plan %w", err)
	}
	return s, nil
}

// newScene lists what is on a drawing that is open.
func newScene(name string, d *dxf.Drawing) (*scene, error) {
	s := &scene{name: name, d: d, byBlock: map[string][]int{}}
	var notes [3][]dxf.Finding
	var err error
	if s.inserts, notes[0], err = d.Inserts(dxf.Options{Paper: true}); err != nil {
		return nil, err
	}
	if s.texts, notes[1], err = d.Texts(dxf.Options{Paper: true}); err != nil {
		return nil, err
	}
	if s.shapes, notes[2], err = d.Shapes(dxf.Options{Keep: lineWork}); err != nil {
		return nil, err
	}
	s.notes = slices.Clone(d.Findings)
	for _, fs := range notes {
		for _, f := range fs { // the three lists report the same faults of the inserts around them
			if !slices.Contains(s.notes, f) {
				s.notes = append(s.notes, f)
			}
		}
	}
	s.symbols = make([]geom.Box, len(s.inserts))
	for i := range s.inserts {
		in := &s.inserts[i]
		s.symbols[i] = symbolBox(d, in)
		if len(in.Path) == 0 && !in.Paper {
			s.byBlock[in.Block] = append(s.byBlock[in.Block], i)
		}
	}
	s.findLegends()
	return s, nil
}

// lineWork leaves out what neither bounds a room nor makes a symbol: fills and free-form curves.
func lineWork(_ string, k dxf.ShapeKind) bool {
	switch k {
	case dxf.LineShape, dxf.PolylineShape, dxf.ArcShape, dxf.CircleShape:
		return true
	}
	return false
}

func plane(v dxf.Vec3) geom.Point { return geom.Pt(v.X, v.Y) }

// symbolBox is the box around an insert's block on the drawing.
func symbolBox(d *dxf.Drawing, in *dxf.Insert) geom.Box {
	e := d.BlockExtent(in.Block)
	if e.Empty {
		return geom.BoxOf(plane(in.Pos))
	}
	b := geom.EmptyBox()
	for _, x := range []float64{e.Min.X, e.Max.X} {
		for _, y := range []float64{e.Min.Y, e.Max.Y} {
			b = b.Extend(plane(in.Transform.Apply(dxf.Vec3{X: x, Y: y})))
		}
	}
	return b
}

// textCorners are the corners of a text. It wraps between words only, however
// narrow its column: a letter in a bubble is one line.
func textCorners(t *dxf.Text) [4]dxf.Vec3 {
	u := *t
	u.Lines = max(1+strings.Count(t.Text, "\n"), min(t.Lines, len(strings.Fields(t.Text))))
	return u.Box()
}

// textBox is the box around a text.
func textBox(t *dxf.Text) geom.Box {
	b := geom.EmptyBox()
	for _, v := range textCorners(t) {
		b = b.Extend(plane(v))
	}
	return b
}

// outermost returns the handle that a person can pick for something drawn
// inside blocks: that of the insert in model space around it.
func (s *scene) outermost(path []string, own dxf.Handle, at geom.Point) dxf.Handle {
	if len(path) == 0 {
		return own
	}
	var best dxf.Handle
	size := 0.0
	for _, i := range s.byBlock[path[0]] {
		if b := s.symbols[i]; b.Contains(at) && (best == 0 || b.Area() < size) {
			best, size = s.inserts[i].Handle, b.Area()
		}
	}
	if best == 0 {
		return own
	}
	return best
}

// scenes are the drawings of a job.
type scenes struct {
	folder string
	byName map[string]*scene
}

// openScenes reads all drawings of the plans, several at a time.
func openScenes(folder string, plans []Plan) (*scenes, error) {
	ss := &scenes{folder: folder, byName: map[string]*scene{}}
	var names []string
	for _, p := range plans {
		if p.Drawing != "" && !slices.Contains(names, p.Drawing) {
			names = append(names, p.Drawing)
		}
	}
	read := make([]*scene, len(names))
	errs := make([]error, len(names))
	iter.ForEachIdx(names, func(i int, n *string) { read[i], errs[i] = readScene(*n, ss.path(*n)) })
	for i, n := range names {
		if read[i] != nil {
			ss.byName[n] = read[i]
		}
	}
	for _, err := range errs { // the first in the job's order, whichever came first in time
		if err != nil {
			ss.close()
			return nil, err
		}
	}
	return ss, nil
}

func (ss *scenes) close() {
	for _, s := range ss.byName {
		s.d.Close()
	}
}

// path makes a plan's path relative to the job's folder usable.
func (ss *scenes) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(ss.folder, name)
}
