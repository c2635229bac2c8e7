package compare

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"loopwright/assign"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// issue is what the marks of one issue bear.
type issue struct {
	layer string
	mark  string // in the triangle beside each cloud; "" for none
	title string // over the table
}

// issueOf names an issue after the job's revision and date; without them after what
// it is compared with.
func issueOf(s Side, against string) issue {
	r := issue{layer: "LOOPWRIGHT-REV", title: "CHANGES AGAINST " + filepath.Base(against)}
	if s.job == nil {
		return r
	}
	kind := "REV"
	if s.job.Revision != "" {
		r.mark, r.title = s.job.Revision, "REVISION "+s.job.Revision
		kind += "-" + plainName(s.job.Revision)
	}
	if !s.job.Date.IsZero() {
		r.title += "  " + s.job.Date.Format(time.DateOnly)
	}
	r.layer = assign.Expand(s.job.Label.Layers, map[string]string{"kind": kind})
	return r
}

// plainName brings a revision into the form that a layer's name takes in every release
// of the format, and keeps it short.
func plainName(s string) string {
	s = strings.Map(func(c rune) rune {
		if c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '$' || c == '_' {
			return c
		}
		return '-'
	}, strings.ToUpper(s))
	return s[:min(len(s), 12)]
}

// whereabouts is what the table says of a change beside what its caption says.
func (c Change) whereabouts() string {
	var parts []string
	switch {
	case c.NewAddress > 0:
		parts = append(parts, place(c.NewCircuit, c.NewAddress))
	case c.Address > 0:
		parts = append(parts, place(c.Circuit, c.Address))
	}
	for _, p := range []string{c.Level, c.Room} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// delta is the triangle with the mark of the revision at a corner of a cloud.
func delta(b edit.Base, at geom.Point, height float64, text string) []edit.Entity {
	b.Kind = "delta"
	w, _ := label.Extent(text, height)
	side, rise := deltaSize(height, text)
	return []edit.Entity{
		edit.Polyline{Base: b, Closed: true, Points: []edit.XY{edit.XY(at), {X: at.X + side, Y: at.Y}, {X: at.X + side/2, Y: at.Y + rise}}},
		edit.Text{Base: b, At: edit.XY{X: at.X + (side-w)/2, Y: at.Y + height*0.3}, Height: height, Value: text},
	}
}

// deltaSize is how wide and high the triangle is: its text stands where it is wide enough.
func deltaSize(height float64, text string) (side, rise float64) {
	w, _ := label.Extent(text, height)
	side = w + 3*height
	return side, side * math.Sqrt(3) / 2
}

// table lists the changes of a drawing to the right of all that is drawn.
func (r issue) table(b edit.Base, ms []mark, drawn geom.Box, height float64) []edit.Entity {
	b.Kind = "table"
	const line = 1.8 // heights from row to row
	lines := []string{r.title}
	for i, m := range ms {
		lines = append(lines, fmt.Sprintf("%d  %s  %s  (%s)", i+1, m.id, m.text, m.where))
	}
	x, y, width := drawn.Max.X+6*height, drawn.Max.Y-height, 0.0
	var out []edit.Entity
	for i, l := range lines {
		w, _ := label.Extent(l, height)
		width = max(width, w)
		out = append(out, edit.Text{Base: b, At: edit.XY{X: x, Y: y - float64(i)*line*height}, Height: height, Value: l})
	}
	low := y - (float64(len(lines)-1)*line+1)*height
	frame := geom.Box{Min: geom.Pt(x-height, low), Max: geom.Pt(x+width+height, y+2*height)}
	return append(out, edit.Polyline{Base: b, Closed: true, Points: []edit.XY{edit.XY(frame.Min), {X: frame.Max.X, Y: frame.Min.Y}, edit.XY(frame.Max), {X: frame.Min.X, Y: frame.Max.Y}}})
}

// near is how far around a change its caption may stand, in text heights: what is drawn
// farther off is in nobody's way.
const nearCaption = 60

// around is the box of all that is drawn, and what the captions must keep clear of: lines
// and texts near the changes.
func around(d *dxf.Drawing, ms []mark, height float64) (drawn geom.Box, obs label.Obstacles, err error) {
	drawn = geom.EmptyBox()
	var zones []geom.Box
	for _, m := range ms {
		zones = append(zones, m.box.Grow(nearCaption*height))
		drawn = drawn.Union(m.box)
	}
	meets := func(b geom.Box) bool {
		for _, z := range zones {
			if z.Overlaps(b) {
				return true
			}
		}
		return false
	}
	shapes, _, err := d.Shapes(dxf.Options{})
	if err != nil {
		return drawn, obs, err
	}
	for _, s := range shapes {
		if !s.Visible {
			continue
		}
		n := len(s.Points)
		for i := range n {
			p := geom.Pt(s.Points[i].X, s.Points[i].Y)
			drawn = drawn.Extend(p)
			if i+1 == n && !s.Closed {
				break
			}
			q := s.Points[(i+1)%n]
			if g := (geom.Segment{A: p, B: geom.Pt(q.X, q.Y)}); meets(g.Box()) {
				obs.Segments = append(obs.Segments, label.SegmentObstacle{Segment: g, Cost: 6})
			}
		}
	}
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		return drawn, obs, err
	}
	for i := range texts {
		c := texts[i].Box()
		b := geom.EmptyBox()
		for _, v := range c {
			b = b.Extend(geom.Pt(v.X, v.Y))
		}
		drawn = drawn.Union(b)
		if texts[i].Visible && meets(b) {
			obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: label.RectOf(b)})
		}
	}
	return drawn, obs, nil
}
