package paper

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
	"loopwright/takeoff/parallel"
)

// planMargin is what is shown around what a level holds, in metres.
const planMargin = 0.4

// plans draws every level. What is on them is gathered side by side.
func (b *binder) plans() (sheet.Document, error) {
	keys := b.keys()
	ps, errs := make([]sheet.Plan, len(b.Take.Levels)), make([]error, len(b.Take.Levels))
	parallel.For(len(b.Take.Levels), func(i int) { ps[i], errs[i] = b.plan(b.Take.Levels[i], keys) })
	if err := cmp.Or(errs...); err != nil {
		return sheet.Document{}, err
	}
	return sheet.Plans(b.job, ps)
}

func (b *binder) plan(l takeoff.Level, keys map[string]string) (sheet.Plan, error) {
	turn := geom.Rotation(-outcome.Upright(l))
	p := sheet.Plan{Level: l.Name}
	b.planRoutes(&p, l, turn)
	b.planMarks(&p, l, turn, keys)
	if err := b.architect(&p, l, turn); err != nil {
		return p, err
	}
	e := extent(p, l, turn).Grow(planMargin)
	p.Layout = sheet.FitPlan(b.job, e)
	within(&p, e)
	b.roomNames(&p, l, turn)
	placeTexts(&p, l, turn)
	return p, nil
}

// extent is what must be on the sheet: walls, cable and devices; without walls,
// all that the architect drew.
func extent(p sheet.Plan, l takeoff.Level, turn geom.Affine) geom.Box {
	e := geom.EmptyBox()
	walls := 0
	for _, s := range l.Sheets {
		for _, w := range s.Walls {
			e = e.Extend(turn.Apply(w.A)).Extend(turn.Apply(w.B))
			walls++
		}
	}
	for _, r := range p.Routes {
		for _, w := range r.Ways {
			for _, q := range w {
				e = e.Extend(q)
			}
		}
	}
	for _, m := range slices.Concat(p.Marks, p.Panels) {
		e = e.Extend(m.At)
	}
	if walls == 0 {
		for _, ln := range p.Lines {
			for _, q := range ln.Points {
				e = e.Extend(q)
			}
		}
	}
	if e.Empty() {
		e = geom.BoxOf(geom.Pt(0, 0))
	}
	return e
}

func (b *binder) planRoutes(p *sheet.Plan, l takeoff.Level, turn geom.Affine) {
	for i, c := range b.Circuits {
		r := sheet.PlanRoute{Circuit: c.Name, Index: i}
		for _, g := range c.Legs {
			for _, s := range g.Stretches {
				if s.Level != l.Name || len(s.Points) < 2 {
					continue
				}
				w := make([]geom.Point, len(s.Points))
				for k, q := range s.Points {
					w[k] = turn.Apply(q)
				}
				r.Ways = append(r.Ways, w)
			}
		}
		if len(r.Ways) > 0 {
			p.Routes = append(p.Routes, r)
		}
	}
}

func (b *binder) planMarks(p *sheet.Plan, l takeoff.Level, turn geom.Affine, keys map[string]string) {
	counts := map[string]int{}
	for _, d := range b.Devices {
		if d.Level != l.Name || d.Status != takeoff.Counted {
			continue
		}
		counts[d.Type]++
		t := b.types[d.Type]
		m := sheet.PlanMark{ID: d.ID, Key: keys[d.Type], At: turn.Apply(d.Pos), Isolates: t.Isolates, Square: t.Addresses == 0}
		if d.Address > 0 {
			m.Text = strconv.Itoa(d.Address)
			if d.Span > 1 {
				m.Text = fmt.Sprintf("%d-%d", d.Address, d.Address+d.Span-1)
			}
		}
		p.Marks = append(p.Marks, m)
	}
	for _, t := range b.Job.DeviceTypes() {
		if n := counts[t.Type]; n > 0 {
			p.Legend = append(p.Legend, sheet.PlanKind{Key: keys[t.Type], Name: b.typeName(t.Type), Count: n, Isolates: t.Isolates, Square: t.Addresses == 0})
		}
	}
	for _, s := range b.Take.Panels {
		if s.Level == l.Name {
			p.Panels = append(p.Panels, sheet.PlanMark{ID: s.Name, Text: s.Name, At: turn.Apply(s.Pos)})
		}
	}
}

// architect takes over what is drawn on the level, our own symbols included.
func (b *binder) architect(p *sheet.Plan, l takeoff.Level, turn geom.Affine) error {
	for _, s := range l.Sheets {
		if s.Plan.Drawing == "" {
			continue
		}
		d, err := edit.Open(b.Job.Resolve(s.Plan.Drawing))
		if err != nil {
			return err
		}
		err = background(p, d, s, s.ToBuilding.Then(turn))
		d.Close()
		if err != nil {
			return fmt.Errorf("%s: %w", s.Plan.Drawing, err)
		}
	}
	return nil
}

func background(p *sheet.Plan, d *dxf.Drawing, s takeoff.Sheet, to geom.Affine) error {
	shapes, _, err := d.Shapes(dxf.Options{Keep: func(_ string, k dxf.ShapeKind) bool { return k != dxf.HatchShape }})
	if err != nil {
		return err
	}
	for _, sh := range shapes {
		if !sh.Visible || sh.Paper || len(sh.Points) < 2 || !shown(s.Plan, sh.Points[0]) {
			continue
		}
		ln := sheet.PlanLine{Points: make([]geom.Point, len(sh.Points)), Closed: sh.Closed}
		for i, q := range sh.Points {
			ln.Points[i] = to.Apply(geom.Pt(q.X, q.Y))
		}
		p.Lines = append(p.Lines, ln)
	}
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		return err
	}
	for _, t := range texts {
		if t.Visible && !t.Paper && shown(s.Plan, t.Pos) {
			p.Texts = append(p.Texts, planTexts(t, to)...)
		}
	}
	return nil
}

// within drops what the architect drew outside of the part that is shown.
func within(p *sheet.Plan, e geom.Box) {
	p.Lines = slices.DeleteFunc(p.Lines, func(l sheet.PlanLine) bool { return !geom.BoxOf(l.Points...).Grow(1e-6).Overlaps(e) })
	p.Texts = slices.DeleteFunc(p.Texts, func(t sheet.PlanText) bool { return !e.Contains(t.At) })
}

// shown reports whether a place of a drawing belongs to the level.
func shown(p takeoff.Plan, at dxf.Vec3) bool {
	q := geom.Pt(at.X, at.Y)
	if p.Region != nil && !p.Region.Contains(q) {
		return false
	}
	return !slices.ContainsFunc(p.Ignore, func(b geom.Box) bool { return b.Contains(q) })
}

// keys gives each type one or two letters, the initials of its word where they are free.
func (b *binder) keys() map[string]string {
	out := map[string]string{}
	taken := map[string]bool{"": true}
	for _, t := range b.Job.DeviceTypes() {
		for _, k := range proposals(t.Type) {
			if _, ok := out[t.Type]; ok {
				break
			}
			if !taken[k] {
				taken[k] = true
				out[t.Type] = k
				break
			}
		}
	}
	return out
}

// placeTexts finds places for what is written beside the marks.
func placeTexts(p *sheet.Plan, l takeoff.Level, turn geom.Affine) {
	r := p.Layout.Metres(sheet.PlanMarkRadius)
	height := p.Layout.Metres(sheet.PlanTextSize * sheet.PlanCapitals)
	var labels []label.Label
	var of []int
	var obs label.Obstacles
	for i, m := range p.Marks {
		symbol := label.Rect{Center: m.At, Width: 2.8 * r, Height: 2.8 * r} // room for the square around a ring
		if m.Text == "" {
			obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: symbol})
			continue
		}
		of = append(of, i)
		labels = append(labels, label.Label{ID: m.ID, Text: m.Text, Height: height, Anchor: m.At, Symbol: symbol})
	}
	for _, m := range p.Panels {
		obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: label.Rect{Center: m.At, Width: 6 * r, Height: 2.5 * r}})
	}
	for _, s := range l.Sheets {
		for _, w := range s.Walls {
			obs.Segments = append(obs.Segments, label.SegmentObstacle{Segment: geom.Segment{A: turn.Apply(w.A), B: turn.Apply(w.B)}, Cost: 1})
		}
	}
	for _, rt := range p.Routes {
		for _, w := range rt.Ways {
			for i := 1; i < len(w); i++ {
				obs.Segments = append(obs.Segments, label.SegmentObstacle{Segment: geom.Segment{A: w[i-1], B: w[i]}, Cost: 2})
			}
		}
	}
	for k, q := range label.Place(labels, obs, label.Options{}).Placements {
		m := &p.Marks[of[k]]
		m.TextAt, m.Leader = q.Baseline, q.Leader
	}
}
