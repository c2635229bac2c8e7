package fieldpage

import (
	"fmt"
	"math"
	"slices"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// unitsPerMetre is the grid on which plans are drawn: a centimetre, finer than
// anybody can point at, so that coordinates are short whole numbers.
const unitsPerMetre = 100

// margin is what is shown around what a level holds, in metres; what is drawn
// farther out than the surroundings (title block, legend) is kept as a layer of its own.
const (
	margin       = 1.0
	surroundings = 3.0
)

// view is how a level is shown: whole units, x to the right and y down.
type view struct {
	Level string `json:"level"`
	X     int    `json:"x"` // what is shown at first
	Y     int    `json:"y"`
	W     int    `json:"w"`
	H     int    `json:"h"`

	turn geom.Affine // building's frame -> upright on the page
}

// place returns where a point of the building's frame lies on the page.
func (v view) place(p geom.Point) (x, y int) {
	q := v.turn.Apply(p)
	return int(math.Round(q.X * unitsPerMetre)), -int(math.Round(q.Y * unitsPerMetre))
}

// drawn is one level's plan as the page holds it.
type drawn struct {
	Index                      int
	Level                      string
	Walls, Plan, Aside         string // path data
	Cable                      []cableWay
	Rooms                      []word
	Panels                     []word
	ViewX, ViewY, ViewW, ViewH int
}

type cableWay struct {
	Circuit int
	Data    string
}

// word is a text at a place.
type word struct {
	X, Y int
	Text string
}

// drawPlans draws every level.
func drawPlans(o *outcome.Outcome) ([]drawn, []view, error) {
	lines := map[string][]dxf.Shape{}
	var ds []drawn
	views := []view{}
	for i, l := range o.Take.Levels {
		v := view{Level: l.Name, turn: geom.Rotation(-outcome.Upright(l))}
		d := drawn{Index: i, Level: l.Name}
		for _, s := range l.Sheets {
			if err := readLines(o, s.Plan.Drawing, lines); err != nil {
				return nil, nil, err
			}
		}
		e := extent(o, l, v.turn)
		v.frame(e)
		drawLines(o, &d, v, l, lines, e.Grow(surroundings))
		drawCable(o, &d, v, l)
		drawWords(o, &d, v, l)
		d.ViewX, d.ViewY, d.ViewW, d.ViewH = v.X, v.Y, v.W, v.H
		ds, views = append(ds, d), append(views, v)
	}
	return ds, views, nil
}

func readLines(o *outcome.Outcome, drawing string, lines map[string][]dxf.Shape) error {
	if drawing == "" || lines[drawing] != nil {
		return nil
	}
	shapes, err := o.Linework(drawing)
	if err != nil {
		return fmt.Errorf("%s: %w", drawing, err)
	}
	lines[drawing] = slices.Clip(shapes)
	return nil
}

// frame sets what is shown at first.
func (v *view) frame(e geom.Box) {
	e = e.Grow(margin)
	v.X, v.Y = int(math.Floor(e.Min.X*unitsPerMetre)), -int(math.Ceil(e.Max.Y*unitsPerMetre))
	v.W, v.H = int(math.Ceil(e.Width()*unitsPerMetre)), int(math.Ceil(e.Height()*unitsPerMetre))
}

// extent is what must be in view: walls, cable and devices that count; without
// any, all that the architect drew.
func extent(o *outcome.Outcome, l takeoff.Level, turn geom.Affine) geom.Box {
	e := geom.EmptyBox()
	for _, s := range l.Sheets {
		for _, w := range s.Walls {
			e = e.Extend(turn.Apply(w.A)).Extend(turn.Apply(w.B))
		}
	}
	for _, d := range o.Devices {
		if d.Level == l.Name && d.Status == takeoff.Counted {
			e = e.Extend(turn.Apply(d.Pos))
		}
	}
	if !e.Empty() {
		return e
	}
	for _, s := range l.Sheets {
		to := s.ToBuilding.Then(turn)
		for _, p := range []geom.Point{s.Extent.Min, s.Extent.Max} {
			if q := to.Apply(p); q.IsFinite() {
				e = e.Extend(q)
			}
		}
	}
	if e.Empty() {
		e = geom.BoxOf(geom.Pt(0, 0))
	}
	return e
}

// drawLines sorts what is drawn on a level: walls, all else near them, and what
// stands beside or is ignored by the job, which an estimator may still want to see.
func drawLines(o *outcome.Outcome, d *drawn, v view, l takeoff.Level, lines map[string][]dxf.Shape, near geom.Box) {
	var walls, plan, aside path
	for _, s := range l.Sheets {
		to := s.ToBuilding.Then(v.turn)
		wall := wallLayers(s.Plan)
		for _, sh := range lines[s.Plan.Drawing] {
			if !sh.Visible || sh.Paper || sh.Kind == dxf.HatchShape || len(sh.Points) < 2 {
				continue
			}
			at := geom.Pt(sh.Points[0].X, sh.Points[0].Y)
			if s.Plan.Region != nil && !s.Plan.Region.Contains(at) {
				continue
			}
			p := &plan
			switch {
			case slices.ContainsFunc(s.Plan.Ignore, func(b geom.Box) bool { return b.Contains(at) }), beside(sh, to, near):
				p = &aside
			case wall(sh.EffLayer):
				p = &walls
			}
			p.shape(sh, to)
		}
	}
	d.Walls, d.Plan, d.Aside = walls.String(), plan.String(), aside.String()
}

// beside reports whether a shape reaches out of the part that matters.
func beside(s dxf.Shape, to geom.Affine, near geom.Box) bool {
	return slices.ContainsFunc(s.Points, func(p dxf.Vec3) bool { return !near.Contains(to.Apply(geom.Pt(p.X, p.Y))) })
}

// wallLayers tells the layers of a plan that hold walls, asking the patterns
// once for each layer.
func wallLayers(p takeoff.Plan) func(layer string) bool {
	known := map[string]bool{}
	return func(layer string) bool {
		is, ok := known[layer]
		if !ok {
			is = slices.ContainsFunc(p.Walls, func(pat string) bool { return words.NameFits(pat, layer) })
			known[layer] = is
		}
		return is
	}
}

func drawCable(o *outcome.Outcome, d *drawn, v view, l takeoff.Level) {
	for i, c := range o.Circuits {
		var p path
		for _, g := range c.Legs {
			for _, s := range g.Stretches {
				if s.Level == l.Name {
					p.line(s.Points, v.turn)
				}
			}
		}
		if p.Len() > 0 {
			d.Cable = append(d.Cable, cableWay{i, p.String()})
		}
	}
}

// drawWords are the names of rooms and panels.
func drawWords(o *outcome.Outcome, d *drawn, v view, l takeoff.Level) {
	for _, r := range o.Take.Rooms {
		if r.Level == l.Name {
			x, y := v.place(r.At)
			d.Rooms = append(d.Rooms, word{x, y, r.Label()})
		}
	}
	for _, p := range o.Take.Panels {
		if p.Level == l.Name {
			x, y := v.place(p.Pos)
			d.Panels = append(d.Panels, word{x, y, p.Name})
		}
	}
}
