package drafting

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// compose says what a drawing is to be annotated with.
func compose(o *outcome.Outcome, drawing string) (sheet, error) {
	s := sheet{drawing: drawing, layers: o.Job.Label.Layers, attribute: o.Job.Label.Attribute}
	for _, l := range o.Take.Levels {
		for _, sh := range l.Sheets {
			if sh.Plan.Drawing != drawing {
				continue
			}
			s.height = o.Job.Label.Height * o.Job.Label.PlotScale / sh.MetrePer
			s.walls = append(s.walls, sh.Plan.Walls...)
			v, err := viewOf(o, l, sh)
			if err != nil {
				return s, fmt.Errorf("%s: %w", drawing, err)
			}
			s.views = append(s.views, v)
		}
	}
	for _, p := range slices.Concat(o.Take.Panels, o.Take.Risers) {
		if p.Drawing == drawing {
			s.panels = append(s.panels, spot{p.Name, p.At, p.Handle})
		}
	}
	addMarks(o, &s)
	if o.Job.Drawing.Schedule {
		s.schedule = scheduleOf(o, drawing)
	}
	if o.Job.Drawing.Riser && drawing == riserDrawing(o) {
		s.riser = riserOf(o)
	}
	return s, nil
}

func viewOf(o *outcome.Outcome, l takeoff.Level, sh takeoff.Sheet) (view, error) {
	v := view{level: l.Name, window: sh.Plan.Region}
	back, err := sh.ToBuilding.Inverse()
	if err != nil {
		return v, err
	}
	if v.window == nil && len(l.Sheets) > 1 {
		// Each sheet shows part of the level: cable on the others is not drawn here.
		b := sh.Extent
		v.window = &b
	}
	v.axis = roundTo(back.ApplyVector(geom.Pt(1, 0).Turn(sh.Axis)).Angle())
	if !o.Job.Drawing.Routes {
		return v, nil
	}
	for _, c := range o.Circuits {
		if r := routeOn(c, l.Name, back); len(r.legs) > 0 {
			v.routes = append(v.routes, r)
		}
	}
	return v, nil
}

// routeOn is what of a circuit runs on a level, in drawing units.
func routeOn(c outcome.Laid, level string, toDrawing geom.Affine) route {
	r := route{circuit: c.Name, kind: c.Kind, returns: c.Pathway.Looped(), panel: c.Panel, devices: map[string]bool{}}
	for _, id := range c.Devices {
		r.devices[id] = true
	}
	for _, i := range c.Survival.Added {
		r.added = append(r.added, added{i.Beside, i.From, i.To})
	}
	for _, g := range c.Legs {
		for k, st := range g.Stretches {
			if st.Level != level || len(st.Points) < 2 {
				continue
			}
			last := len(g.Stretches) - 1
			leg := leg{from: g.From, to: g.To, Return: g.Return, start: k == 0, end: k == last}
			if k > 0 {
				leg.other = g.Stretches[0].Level
			} else if last > 0 {
				leg.other = g.Stretches[last].Level
			}
			for _, p := range st.Points {
				leg.points = append(leg.points, toDrawing.Apply(p))
			}
			r.legs = append(r.legs, leg)
		}
	}
	return r
}

// addMarks lists the devices of a drawing with what is to be written beside them.
func addMarks(o *outcome.Outcome, s *sheet) {
	nth := ordinals(o)
	for _, d := range o.Devices {
		if d.Drawing != s.drawing || d.Status != takeoff.Counted {
			continue
		}
		m := mark{id: d.ID, kind: kindAddress, at: d.At, symbol: d.Symbol, handle: d.Handle, nested: len(d.Path) > 0}
		m.view = slices.IndexFunc(s.views, func(v view) bool {
			return v.level == d.Level && (v.window == nil || v.window.Contains(d.At))
		})
		if m.view < 0 {
			m.view = max(0, slices.IndexFunc(s.views, func(v view) bool { return v.level == d.Level }))
		}
		circuit, order, pattern := labelOf(o, d)
		m.circuit = circuit
		if circuit != "" && pattern != job.NoLabel {
			m.text = assign.Expand(pattern, wordsOf(o, d, circuit, order, nth[d.ID]))
		}
		s.marks = append(s.marks, m)
	}
}

// labelOf tells by which circuit a device is named, its place there and the
// pattern. A device without an address on a signaling line circuit is not named
// by a number there, because that would be read as an address.
func labelOf(o *outcome.Outcome, d assign.Numbered) (circuit string, order int, pattern string) {
	if d.Address > 0 {
		return d.Circuit, d.Order, o.Job.Label.Pattern
	}
	for _, c := range o.Circuits {
		if i := slices.Index(c.Devices, d.ID); i >= 0 && c.Kind != takeoff.SLC {
			return c.Name, i + 1, o.Job.Label.Appliance
		}
	}
	for _, t := range o.Job.Types {
		if t.Type == d.Type && t.Isolates {
			return d.Circuit, d.Order, o.Job.Label.Isolator
		}
	}
	return d.Circuit, d.Order, job.NoLabel
}

func wordsOf(o *outcome.Outcome, d assign.Numbered, circuit string, order, nth int) map[string]string {
	panel := ""
	for _, c := range o.Circuits {
		if c.Name == circuit {
			panel = c.Panel
		}
	}
	return map[string]string{"circuit": circuit, "address": strconv.Itoa(d.Address), "point": strconv.Itoa(d.Address), "order": strconv.Itoa(order),
		"nth": strconv.Itoa(nth), "id": d.ID, "type": d.Type, "level": d.Level, "room": d.Room, "panel": panel}
}

// ordinals numbers the devices of each type along their circuit.
func ordinals(o *outcome.Outcome) map[string]int {
	ds := slices.Clone(o.Devices)
	slices.SortStableFunc(ds, func(a, b assign.Numbered) int { return cmp.Compare(a.Order, b.Order) })
	type key struct{ circuit, typ string }
	n := map[key]int{}
	out := map[string]int{}
	for _, d := range ds {
		if d.Status == takeoff.Counted && d.Circuit != "" {
			k := key{d.Circuit, d.Type}
			n[k]++
			out[d.ID] = n[k]
		}
	}
	return out
}
