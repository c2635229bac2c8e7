package compare

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/verify"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// The codes of findings about the marked drawings.
const (
	codeNotMarked = "F640" // a drawing that cannot be marked
	codeNoSheet   = "F641" // a change that no drawing of the new revision shows
)

// mark is one change on a drawing, in drawing units.
type mark struct {
	drawing string // "" if none shows it
	box     geom.Box
	from    *geom.Point // where it was moved from
	text    string
	id      string
	level   string
	where   string // circuit and address, and room: for the table
}

// Sizes on the drawing, our own choice.
const (
	ghostSize   = 0.6   // metres: side of the cloud around a device that is gone, if nothing tells its size
	plainHeight = 0.229 // metres: text of 3/32 in at 1:96, where no job says otherwise
	scallops    = 3     // arcs along the shorter side of a cloud
	bulge       = 0.5   // of each arc: tangent of a quarter of its angle
)

// marks lists what is to be drawn; changes of address alone are not.
func marks(fresh Side, cs []Change, named func(string) string) []mark {
	var out []mark
	for _, c := range cs {
		switch {
		case c.Change == renumbered:
		case c.device != nil:
			out = append(out, standing(fresh, c, named))
		default:
			out = append(out, gone(fresh, c, named))
		}
		if c.Change != renumbered {
			out[len(out)-1].where = c.whereabouts()
		}
	}
	return out
}

// standing marks a device of the new revision.
func standing(s Side, c Change, named func(string) string) mark {
	d := c.device
	m := mark{drawing: d.Drawing, box: d.Symbol, id: c.ID, level: d.Level}
	sh := sheet(s, d.Level, d.Drawing)
	if sh == nil || sh.Plan.Drawing == "" {
		m.drawing = ""
		return m
	}
	if m.box == (geom.Box{}) || m.box.Empty() || m.box.Area() == 0 {
		m.box = geom.Around(d.At, ghostSize/sh.MetrePer, ghostSize/sh.MetrePer)
	}
	switch c.Change {
	case added:
		m.text = "NEW " + named(c.Type)
	case retyped:
		m.text = named(c.Type) + " > " + named(c.NewType)
	}
	if c.Distance > 0 {
		if back, err := sh.ToBuilding.Inverse(); err == nil {
			p := back.Apply(c.was)
			m.from = &p
		}
		if m.text == "" {
			m.text = named(c.Type)
		}
		m.text += ", MOVED " + s.Units().Length(c.Distance, 2)
	}
	return m
}

// gone marks the place of a device that the new revision does not have.
func gone(s Side, c Change, named func(string) string) mark {
	m := mark{id: c.ID, level: c.ghost.Level, text: "GONE " + named(c.Type)}
	sh := sheet(s, c.ghost.Level, c.ghost.Sheet)
	if sh == nil || sh.Plan.Drawing == "" {
		return m
	}
	back, err := sh.ToBuilding.Inverse()
	if err != nil {
		return m
	}
	size := ghostSize / sh.MetrePer
	for _, d := range s.take.Devices { // as large as its like
		if d.Type == c.Type && d.Drawing == sh.Plan.Drawing && d.Symbol.Area() > 0 {
			size = max(d.Symbol.Width(), d.Symbol.Height())
			break
		}
	}
	m.drawing, m.box = sh.Plan.Drawing, geom.Around(back.Apply(c.ghost.Pos), size, size)
	return m
}

// sheet finds the sheet of a drawing, or else the first of its level.
func sheet(s Side, level, drawing string) *takeoff.Sheet {
	var first *takeoff.Sheet
	for i := range s.take.Levels {
		for k := range s.take.Levels[i].Sheets {
			sh := &s.take.Levels[i].Sheets[k]
			if s.take.Levels[i].Name != level {
				continue
			}
			if sh.Plan.Drawing == drawing {
				return sh
			}
			if first == nil {
				first = sh
			}
		}
	}
	return first
}

// marked returns a copy of a drawing of the new revision with clouds around its
// changes, numbered, and a table of them beside the plan.
func marked(s Side, against, drawing string, ms []mark) ([]byte, error) {
	d, err := edit.Open(s.path(drawing))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	p := issueOf(s, against)
	height := plainHeight
	if s.job != nil {
		height = s.job.Label.Height * s.job.Label.PlotScale
	}
	height /= sheet(s, ms[0].level, drawing).MetrePer
	drawn, obstacles, err := around(d, ms, height)
	if err != nil {
		return nil, err
	}
	b := edit.Base{Layer: p.layer}
	a := edit.Addition{Layers: []edit.Layer{{Name: p.layer, Color: 30, Lineweight: 35}}}
	captions := make([]label.Label, len(ms))
	for i, m := range ms {
		box := m.cloudBox()
		a.Entities = append(a.Entities, m.draw(b, height)...)
		if p.mark != "" {
			corner := geom.Pt(box.Max.X, box.Min.Y)
			a.Entities = append(a.Entities, delta(b, corner, height, p.mark)...)
			side, rise := deltaSize(height, p.mark)
			obstacles.Boxes = append(obstacles.Boxes, label.BoxObstacle{Rect: label.RectOf(geom.BoxOf(corner, corner.Add(geom.Pt(side, rise))))})
		}
		text := fmt.Sprintf("%d %s", i+1, m.text)
		captions[i] = label.Label{ID: m.id, Text: text, Height: height, Anchor: box.Center(), Symbol: label.RectOf(box.Grow(box.Height() / scallops / 2))}
	}
	for i, pl := range label.Place(captions, obstacles, label.Options{}).Placements {
		a.Entities = append(a.Entities, caption(b, captions[i], pl)...)
	}
	a.Entities = append(a.Entities, p.table(b, ms, drawn, height)...)
	out, err := edit.Add(d, a)
	if err != nil {
		return nil, err
	}
	if err := verify.Check(drawing, d.Bytes, out.Bytes); err != nil {
		return nil, err
	}
	return out.Bytes, nil
}

// caption is the text of a change where it was placed, with its leader.
func caption(b edit.Base, l label.Label, pl label.Placement) []edit.Entity {
	b.Kind = "change"
	out := []edit.Entity{edit.Text{Base: b, At: edit.XY(pl.Baseline), Height: l.Height, Value: l.Text, Rotation: pl.Angle}}
	if pl.Leader != nil {
		b.Kind = "leader"
		out = append(out, edit.Line{Base: b, From: edit.XY(pl.Leader.A), To: edit.XY(pl.Leader.B)})
	}
	return out
}

// cloudBox is the box that a cloud runs around.
func (m mark) cloudBox() geom.Box {
	return m.box.Grow(max(m.box.Width(), m.box.Height()) * 0.4)
}

// draw makes the cloud and the line from where the device stood.
func (m mark) draw(b edit.Base, height float64) []edit.Entity {
	b.Kind = "cloud"
	out := []edit.Entity{cloud(b, m.cloudBox())}
	if m.from != nil {
		b.Kind = "moved"
		out = append(out, edit.Line{Base: b, From: edit.XY(*m.from), To: nearestOn(m.box, *m.from)},
			edit.Circle{Base: b, Center: edit.XY(*m.from), Radius: height / 2})
	}
	return out
}

// nearestOn is the place of a box that is nearest to a point.
func nearestOn(b geom.Box, p geom.Point) edit.XY {
	return edit.XY{X: min(max(p.X, b.Min.X), b.Max.X), Y: min(max(p.Y, b.Min.Y), b.Max.Y)}
}

// cloud is a ring of arcs around a box, bulging outward: counterclockwise arcs
// along a ring that runs counterclockwise.
func cloud(b edit.Base, box geom.Box) edit.Entity {
	chord := min(box.Width(), box.Height()) / scallops
	corners := []geom.Point{box.Min, geom.Pt(box.Max.X, box.Min.Y), box.Max, geom.Pt(box.Min.X, box.Max.Y)}
	p := edit.Polyline{Base: b, Closed: true}
	for i, a := range corners {
		z := corners[(i+1)%4]
		n := max(1, int(math.Round(a.Dist(z)/chord)))
		for k := range n {
			p.Points = append(p.Points, edit.XY(a.Lerp(z, float64(k)/float64(n))))
			p.Bulges = append(p.Bulges, bulge)
		}
	}
	return p
}

// drawings lists the drawings that have marks, in the order of the job's plans.
func drawings(s Side, ms []mark) []string {
	var out []string
	for _, l := range s.take.Levels {
		for _, sh := range l.Sheets {
			d := sh.Plan.Drawing
			has := slices.ContainsFunc(ms, func(m mark) bool { return m.drawing == d })
			if d != "" && has && !slices.Contains(out, d) {
				out = append(out, d)
			}
		}
	}
	return out
}

// Codes lists the findings about what is marked.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: codeNotMarked, Meaning: "the changes cannot be marked on a drawing", Remedy: "do what the message says about the drawing; the list of changes is complete"},
		{Code: codeNoSheet, Meaning: "changes are on levels with no drawing in the new revision", Remedy: "read them in the list"},
	}
}
