package drafting

import (
	"math"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// symbolSize is the largest symbol in text heights: what is larger is drawing
// (a door, a table, a title block), and its lines count instead of its box.
const symbolSize = 5.0

// blockSize is the largest symbol that a label stands beside, in text heights.
// What is larger (a device drawn together with its room) is labeled at its
// insertion point, among its lines.
const blockSize = 15.0

// symbols are the boxes of what inserts draw.
type symbols struct {
	byHandle map[string][]spotted
	small    []label.Rect
}

type spotted struct {
	at   geom.Point
	rect label.Rect
}

// readSymbols finds the box of every insert that may be a symbol. Those wanted
// that are too large to be one are struck off the list.
func readSymbols(d *dxf.Drawing, height float64, wanted map[string]bool) (symbols, []dxf.Insert, error) {
	s := symbols{byHandle: map[string][]spotted{}}
	ins, _, err := d.Inserts(dxf.Options{})
	if err != nil {
		return s, nil, err
	}
	for i := range ins {
		in := &ins[i]
		r, ok := insertRect(d, in)
		if !ok {
			continue
		}
		h := in.Handle.String()
		if max(r.Width, r.Height) > blockSize*height {
			delete(wanted, h)
			continue
		}
		if len(in.Path) == 0 && wanted[h] {
			s.byHandle[h] = append(s.byHandle[h], spotted{geom.Pt(in.Pos.X, in.Pos.Y), r})
			continue
		}
		if in.Visible && max(r.Width, r.Height) <= symbolSize*height {
			s.small = append(s.small, r)
		}
	}
	return s, ins, nil
}

// insertRect is the box around an insert, turned with it; false if it draws nothing.
func insertRect(d *dxf.Drawing, in *dxf.Insert) (label.Rect, bool) {
	e := d.BlockExtent(in.Block)
	if e.Empty {
		return label.Rect{}, false
	}
	var ps [4]geom.Point
	for i, c := range [4]dxf.Vec3{e.Min, {X: e.Max.X, Y: e.Min.Y}, e.Max, {X: e.Min.X, Y: e.Max.Y}} {
		p := in.Transform.Apply(c)
		ps[i] = geom.Pt(p.X, p.Y)
	}
	r := rectAround(ps[:], in.Rotation)
	return r, r.Center.IsFinite() && r.Width+r.Height > 0
}

// rectAround is the smallest rectangle along an angle that holds all points.
func rectAround(ps []geom.Point, angle float64) label.Rect {
	b := geom.EmptyBox()
	for _, p := range ps {
		b = b.Extend(p.Turn(-angle))
	}
	return label.Rect{Center: b.Center().Turn(angle), Width: b.Width(), Height: b.Height(), Angle: angle}
}

// at returns the box of the symbol with a handle that stands at a place, or the
// one given: of an array the handle alone does not tell which.
func (s symbols) at(handle string, p geom.Point, otherwise geom.Box, height float64) label.Rect {
	best, least := label.RectOf(otherwise), math.Inf(1)
	if otherwise.Empty() || max(otherwise.Width(), otherwise.Height()) > blockSize*height {
		best = label.Rect{Center: p, Width: height, Height: height}
	}
	for _, c := range s.byHandle[handle] {
		if dist := c.at.Dist(p); dist < least && dist <= max(c.rect.Width, c.rect.Height) {
			best, least = c.rect, dist
		}
	}
	return best
}

// inside reports whether p lies in r or on its edge.
func inside(r label.Rect, p geom.Point) bool {
	q := p.Sub(r.Center).Turn(-r.Angle)
	return math.Abs(q.X) <= r.Width/2 && math.Abs(q.Y) <= r.Height/2
}

// boxOf is the upright box around a rectangle.
func boxOf(r label.Rect) geom.Box {
	c := r.Corners()
	return geom.BoxOf(c[:]...)
}
