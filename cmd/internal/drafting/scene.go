package drafting

import (
	"fmt"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// lightCost is the price of covering light linework such as furniture, in steps
// of side preference: worth another side, not worth a leader. Short pieces cost
// less, by their length in text heights, or a chair drawn round would cost more
// than a table drawn square.
const (
	lightCost   = 3.0
	lightLength = 3.0
)

// scene is what stands on a drawing already.
type scene struct {
	symbols symbols
	texts   []label.Rect
	lines   []label.SegmentObstacle
	reading reading
	drawn   []geom.Box // of everything, to find room outside
}

// look reads a drawing: its texts, symbols and lines. A handle of own is a
// symbol that gets a label; its lines are covered by its box.
func look(d *dxf.Drawing, s *Sheet) (*scene, error) {
	own := map[string]bool{}
	for _, m := range s.Marks {
		own[m.Handle] = true
	}
	for _, p := range s.Panels {
		own[p.Handle] = true
	}
	delete(own, "")
	sc := &scene{}
	var ins []dxf.Insert
	var err error
	if sc.symbols, ins, err = readSymbols(d, s.Height, own); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	if err := sc.lookTexts(d, ins); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	if err := sc.lookLines(d, s, own); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	return sc, nil
}

func (sc *scene) lookTexts(d *dxf.Drawing, ins []dxf.Insert) error {
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		return err
	}
	for i := range texts {
		t := &texts[i]
		c := t.Box()
		ps := make([]geom.Point, len(c))
		for k, v := range c {
			ps[k] = geom.Pt(v.X, v.Y)
		}
		r := rectAround(ps, t.Rotation)
		sc.draw(boxOf(r))
		if !t.Visible || !r.Center.IsFinite() {
			continue
		}
		sc.texts = append(sc.texts, r)
		sc.reading.add(r.Center, t.Rotation)
	}
	for i := range ins {
		in := &ins[i]
		if !in.Visible {
			continue
		}
		for _, a := range in.Attribs {
			if !a.Invisible && a.Value != "" && a.Height > 0 {
				sc.texts = append(sc.texts, attribRect(a, in.Rotation))
			}
		}
	}
	return nil
}

// attribRect is the box around an attribute. How it is aligned is not known, so
// that its room is as if it were centred and as if it began at its place.
func attribRect(a dxf.Attrib, angle float64) label.Rect {
	w := label.EstimateWidth(a.Value, a.Height)
	at := geom.Pt(a.Pos.X, a.Pos.Y)
	mid := at.Add(geom.Pt(w/4, a.Height/4).Turn(angle))
	return label.Rect{Center: mid, Width: 1.5 * w, Height: 1.5 * a.Height, Angle: angle}
}

// lookLines reads the linework: walls that no text may cover, and the rest that
// it had better not. Hatches are ground, not lines.
func (sc *scene) lookLines(d *dxf.Drawing, s *Sheet, own map[string]bool) error {
	shapes, _, err := d.Shapes(dxf.Options{})
	if err != nil {
		return err
	}
	for _, sh := range shapes {
		b := geom.EmptyBox()
		for _, p := range sh.Points {
			b = b.Extend(geom.Pt(p.X, p.Y))
		}
		sc.draw(b)
		if !sh.Visible || own[sh.Handle.String()] || sh.Kind == dxf.HatchShape {
			continue
		}
		sc.lines = append(sc.lines, segments(sh, fitsAny(s.Walls, sh.EffLayer), s.Height)...)
	}
	return nil
}

func (sc *scene) draw(b geom.Box) {
	if !b.Empty() && b.Min.IsFinite() && b.Max.IsFinite() {
		sc.drawn = append(sc.drawn, b)
	}
}

func fitsAny(patterns []string, layer string) bool {
	for _, p := range patterns {
		if takeoff.NameFits(p, layer) {
			return true
		}
	}
	return false
}

// segments are the pieces of a shape; those of a wall are hard.
func segments(s dxf.Shape, wall bool, height float64) []label.SegmentObstacle {
	n := len(s.Points)
	last := n - 1
	if s.Closed {
		last = n
	}
	out := make([]label.SegmentObstacle, 0, max(last, 0))
	for i := range last {
		a, b := s.Points[i], s.Points[(i+1)%n]
		o := label.SegmentObstacle{Segment: geom.Segment{A: geom.Pt(a.X, a.Y), B: geom.Pt(b.X, b.Y)}}
		if !wall {
			o.Cost = lightCost * min(1, max(0.05, o.Segment.Len()/(lightLength*height)))
		}
		out = append(out, o)
	}
	return out
}
