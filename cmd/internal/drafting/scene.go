package drafting

import (
	"fmt"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
	"loopwright/takeoff/words"
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

	near     geom.Box                 // what can meet anything of ours; the rest is not kept
	standing rtree.RTreeG[geom.Point] // texts and symbols by their boxes, with their centres
}

// nearBy is how far from devices and cable labels and leaders may come, in text
// heights: a long leader and the longest text at its end, with room to spare. A
// drawing holds many times what the part of it that is this job's needs.
const nearBy = 150

// workArea is the box around all that we draw on a sheet, with nearBy around it.
func workArea(s *sheet) geom.Box {
	b := geom.EmptyBox()
	for _, m := range s.marks {
		b = b.Extend(m.at).Union(m.symbol)
	}
	for _, p := range s.panels {
		b = b.Extend(p.at)
	}
	for _, v := range s.views {
		for _, r := range v.routes {
			for _, l := range r.legs {
				for _, p := range l.points {
					b = b.Extend(p)
				}
			}
		}
	}
	if b.Empty() {
		return b
	}
	return b.Grow(nearBy * s.height)
}

// look reads a drawing: its texts, symbols and lines. A handle of own is a
// symbol that gets a label; its lines are covered by its box.
func look(d *dxf.Drawing, s *sheet) (*scene, error) {
	own := map[string]bool{}
	for _, m := range s.marks {
		own[m.handle] = true
	}
	for _, p := range s.panels {
		own[p.handle] = true
	}
	delete(own, "")
	sc := &scene{near: workArea(s)}
	var ins []dxf.Insert
	var err error
	if sc.symbols, ins, err = readSymbols(d, s.height, own); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	sc.symbols.small = slices.DeleteFunc(sc.symbols.small, func(r label.Rect) bool { return !sc.near.Overlaps(boxOf(r)) })
	if err := sc.lookTexts(d, ins); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	if err := sc.lookLines(d, s, own); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	for _, r := range slices.Concat(sc.texts, sc.symbols.small) {
		b := boxOf(r)
		sc.standing.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, r.Center)
	}
	return sc, nil
}

// within visits the boxes and centres of the texts and symbols that meet or touch
// a box, until visit returns false.
func (sc *scene) within(b geom.Box, visit func(box geom.Box, center geom.Point) bool) {
	sc.standing.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(lo, hi [2]float64, c geom.Point) bool {
		return visit(geom.Box{Min: geom.Pt(lo[0], lo[1]), Max: geom.Pt(hi[0], hi[1])}, c)
	})
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
		b := boxOf(r)
		sc.draw(b)
		if !t.Visible || !r.Center.IsFinite() {
			continue
		}
		sc.reading.add(r.Center, t.Rotation)
		if sc.near.Overlaps(b) {
			sc.texts = append(sc.texts, r)
		}
	}
	for i := range ins {
		in := &ins[i]
		if !in.Visible {
			continue
		}
		for _, a := range in.Attribs {
			if a.Invisible || a.Value == "" || a.Height <= 0 {
				continue
			}
			if r := attribRect(a, in.Rotation); sc.near.Overlaps(boxOf(r)) {
				sc.texts = append(sc.texts, r)
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
func (sc *scene) lookLines(d *dxf.Drawing, s *sheet, own map[string]bool) error {
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
		if !sh.Visible || !sc.near.Overlaps(b) || sh.Kind == dxf.HatchShape || own[sh.Handle.String()] {
			continue
		}
		sc.lines = append(sc.lines, segments(sh, fitsAny(s.walls, sh.EffLayer), s.height)...)
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
		if words.NameFits(p, layer) {
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
