package drafting

import (
	"fmt"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// lightCost is the price of covering light linework such as furniture, in steps
// of side preference: worth another side, not worth a leader.
const lightCost = 1.5

// scene gathers what already stands on a drawing: walls, texts and symbols that
// no label may cover, and light linework that it had better not.
func scene(d *dxf.Drawing, hard func(layer string) bool, own map[string]bool) (label.Obstacles, error) {
	var obs label.Obstacles
	shapes, _, err := d.Shapes(dxf.Options{})
	if err != nil {
		return obs, fmt.Errorf("%s: %w", d.Name, err)
	}
	for _, s := range shapes {
		// The lines of our own symbols are covered by the symbols' boxes.
		if !s.Visible || own[s.Handle.String()] || s.Kind == dxf.HatchShape {
			continue
		}
		cost := lightCost
		if hard(s.EffLayer) {
			cost = 0
		}
		obs.Segments = append(obs.Segments, segments(s, cost)...)
	}
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		return obs, fmt.Errorf("%s: %w", d.Name, err)
	}
	for _, t := range texts {
		if t.Visible {
			obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: textRect(t)})
		}
	}
	return obs, nil
}

func segments(s dxf.Shape, cost float64) []label.SegmentObstacle {
	n := len(s.Points)
	last := n - 1
	if s.Closed {
		last = n
	}
	out := make([]label.SegmentObstacle, 0, last)
	for i := range last {
		a, b := s.Points[i], s.Points[(i+1)%n]
		out = append(out, label.SegmentObstacle{Segment: geom.Segment{A: geom.Pt(a.X, a.Y), B: geom.Pt(b.X, b.Y)}, Cost: cost})
	}
	return out
}

// textRect is the box around a text, from its estimated width.
func textRect(t dxf.Text) label.Rect {
	const feed = 5.0 / 3 // line spacing of MTEXT in text heights (DXF reference, MTEXT)
	h := t.Height * (1 + feed*float64(max(t.Lines, 1)-1))
	x, y := t.Width/2, h/2
	switch t.Align.H {
	case dxf.Center:
		x = 0
	case dxf.Right:
		x = -t.Width / 2
	}
	switch t.Align.V {
	case dxf.Middle:
		y = 0
	case dxf.Top:
		y = -h / 2
	}
	c := geom.Pt(t.Pos.X, t.Pos.Y).Add(geom.Pt(x, y).Turn(t.Rotation))
	return label.Rect{Center: c, Width: t.Width, Height: h, Angle: t.Rotation}
}
