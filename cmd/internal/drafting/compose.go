package drafting

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Work is a computed job.
type Work struct {
	Job      *job.Job
	Take     takeoff.Result
	Devices  []assign.Numbered
	Circuits []Laid
}

// Laid is one circuit as laid, with the isolators that it still needs.
type Laid struct {
	route.Circuit
	Isolators []route.Isolator
}

// Drawings lists the job's drawings, each once, in the order of its plans.
func (w Work) Drawings() []string {
	var names []string
	for _, p := range w.Job.Plans {
		if p.Drawing != "" && !slices.Contains(names, p.Drawing) {
			names = append(names, p.Drawing)
		}
	}
	return names
}

// Sheet says what a drawing is to be annotated with.
func (w Work) Sheet(drawing string) (Sheet, error) {
	s := Sheet{Drawing: drawing, Layers: w.Job.Label.Layers, Attribute: w.Job.Label.Attribute}
	for _, l := range w.Take.Levels {
		for _, sh := range l.Sheets {
			if sh.Plan.Drawing != drawing {
				continue
			}
			s.Height = w.Job.Label.Height * w.Job.Label.PlotScale / sh.MetrePer
			s.Walls = append(s.Walls, sh.Plan.Walls...)
			v, err := w.view(l, sh)
			if err != nil {
				return s, fmt.Errorf("%s: %w", drawing, err)
			}
			s.Views = append(s.Views, v)
		}
	}
	for _, p := range slices.Concat(w.Take.Panels, w.Take.Risers) {
		if p.Drawing == drawing {
			s.Panels = append(s.Panels, Spot{p.Name, p.At, p.Handle})
		}
	}
	w.marks(&s)
	if w.Job.Drawing.Schedule {
		s.Schedule = w.schedule(drawing)
	}
	if w.Job.Drawing.Riser && drawing == w.riserDrawing() {
		s.Riser = w.riser()
	}
	return s, nil
}

func (w Work) view(l takeoff.Level, sh takeoff.Sheet) (View, error) {
	v := View{Level: l.Name, Window: sh.Plan.Region}
	back, err := sh.ToBuilding.Inverse()
	if err != nil {
		return v, err
	}
	if v.Window == nil && len(l.Sheets) > 1 {
		// Each sheet shows part of the level: cable on the others is not drawn here.
		b := sh.Extent
		v.Window = &b
	}
	v.Axis = roundTo(back.ApplyVector(geom.Pt(1, 0).Turn(sh.Axis)).Angle())
	if !w.Job.Drawing.Routes {
		return v, nil
	}
	for _, c := range w.Circuits {
		if r := routeOn(c, l.Name, back); len(r.Legs) > 0 {
			v.Routes = append(v.Routes, r)
		}
	}
	return v, nil
}

// routeOn is what of a circuit runs on a level, in drawing units.
func routeOn(c Laid, level string, toDrawing geom.Affine) Route {
	r := Route{Circuit: c.Name, Kind: c.Kind, Returns: c.Pathway.Returns(), Panel: c.Panel, Devices: map[string]bool{}}
	for _, id := range c.Devices {
		r.Devices[id] = true
	}
	for _, i := range c.Isolators {
		r.Added = append(r.Added, Added{i.Beside, i.From, i.To})
	}
	for _, g := range c.Legs {
		for k, st := range g.Stretches {
			if st.Level != level || len(st.Points) < 2 {
				continue
			}
			last := len(g.Stretches) - 1
			leg := Leg{From: g.From, To: g.To, Return: g.Return, Start: k == 0, End: k == last}
			if k > 0 {
				leg.Other = g.Stretches[0].Level
			} else if last > 0 {
				leg.Other = g.Stretches[last].Level
			}
			for _, p := range st.Points {
				leg.Points = append(leg.Points, toDrawing.Apply(p))
			}
			r.Legs = append(r.Legs, leg)
		}
	}
	return r
}

// marks lists the devices of a drawing with what is to be written beside them.
func (w Work) marks(s *Sheet) {
	nth := w.ordinals()
	for _, d := range w.Devices {
		if d.Drawing != s.Drawing || d.Status != takeoff.Counted {
			continue
		}
		m := Mark{ID: d.ID, Kind: Address, At: d.At, Symbol: d.Symbol, Handle: d.Handle, Nested: len(d.Path) > 0}
		m.View = slices.IndexFunc(s.Views, func(v View) bool {
			return v.Level == d.Level && (v.Window == nil || v.Window.Contains(d.At))
		})
		if m.View < 0 {
			m.View = max(0, slices.IndexFunc(s.Views, func(v View) bool { return v.Level == d.Level }))
		}
		circuit, order, pattern := w.label(d)
		m.Circuit = circuit
		if circuit != "" && pattern != job.NoLabel {
			m.Text = assign.Expand(pattern, w.words(d, circuit, order, nth[d.ID]))
		}
		s.Marks = append(s.Marks, m)
	}
}

// label tells by which circuit a device is named, its place there and the
// pattern. A device without an address on a signaling line circuit is not named
// by a number there, because that would be read as an address.
func (w Work) label(d assign.Numbered) (circuit string, order int, pattern string) {
	if d.Address > 0 {
		return d.Circuit, d.Order, w.Job.Label.Pattern
	}
	for _, c := range w.Circuits {
		if i := slices.Index(c.Devices, d.ID); i >= 0 && c.Kind != takeoff.SLC {
			return c.Name, i + 1, w.Job.Label.Appliance
		}
	}
	for _, t := range w.Job.Types {
		if t.Type == d.Type && t.Isolates {
			return d.Circuit, d.Order, w.Job.Label.Isolator
		}
	}
	return d.Circuit, d.Order, job.NoLabel
}

func (w Work) words(d assign.Numbered, circuit string, order, nth int) map[string]string {
	panel := ""
	for _, c := range w.Circuits {
		if c.Name == circuit {
			panel = c.Panel
		}
	}
	return map[string]string{"circuit": circuit, "address": strconv.Itoa(d.Address), "point": strconv.Itoa(d.Address), "order": strconv.Itoa(order),
		"nth": strconv.Itoa(nth), "id": d.ID, "type": d.Type, "level": d.Level, "room": d.Room, "panel": panel}
}

// ordinals numbers the devices of each type along their circuit.
func (w Work) ordinals() map[string]int {
	ds := slices.Clone(w.Devices)
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
