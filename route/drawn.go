package route

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"loopwright/route/path"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// drawnCircuit lays a circuit along the wires that the drawing shows.
type drawnCircuit struct {
	f      *floorplan
	wiring *path.Wiring
	floors floors
	looped bool
	names  []string // of the nodes of wiring: places, then joints
}

// drawn reads the wires of a circuit, if the job asks for them and the drawing
// has them. Where they cannot serve it returns nil and says why in a note.
func (f *floorplan) drawn(devices []takeoff.Device, spec Spec) *drawnCircuit {
	if f.opt.Along != AlongWiring {
		return nil
	}
	refuse := func(format string, args ...any) *drawnCircuit {
		f.notes = append(f.notes, takeoff.Finding{Code: codeWiring, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: ", spec.Name) + fmt.Sprintf(format, args...) + ": laid rectilinear instead"})
		return nil
	}
	if len(f.unjoined) > 0 {
		return refuse("no riser takes its drawn wiring to %s: add the shaft under risers", listed(f.unjoined, 12))
	}
	fl := f.floors()
	var lines [][]geom.Point
	for k, l := range fl.levels {
		n := len(lines)
		for _, sheet := range f.storeys[l].level.Sheets {
			for _, w := range sheet.Wires {
				lines = append(lines, fl.apart(k, w))
			}
		}
		if len(lines) == n {
			return refuse("no wiring is drawn on %s: name its layers under wiring", f.storeys[l].level.Name)
		}
	}
	opt := path.WiringOptions{Taps: spec.Taps, Return: spec.Pathway.Looped(), Shafts: f.landings(fl), Units: f.units}
	w, err := path.NewWiring(lines, f.symbols(devices, fl), 0, opt)
	if err != nil {
		return refuse("%v", err)
	}
	d := &drawnCircuit{f: f, wiring: w, floors: fl, looped: spec.Pathway.Looped()}
	d.report(spec)
	if spec.Pathway.Looped() && d.branches() {
		return refuse("its drawn wiring branches, which class %s does not allow", spec.Pathway)
	}
	d.name()
	return d
}

// symbols are the panel and the devices with the radius at which wires end.
func (f *floorplan) symbols(devices []takeoff.Device, fl floors) []path.Symbol {
	out := []path.Symbol{{At: fl.place(f.places[0]), Radius: panelRadius}}
	for i, d := range devices {
		metre, p := 1.0, f.places[i+1]
		if sheets := f.storeys[p.level].level.Sheets; len(sheets) > 0 {
			metre = sheets[0].MetrePer
		}
		r := math.Hypot(d.Symbol.Width(), d.Symbol.Height()) / 2 * metre
		out = append(out, path.Symbol{At: fl.place(p), Radius: r})
	}
	return out
}

// panelRadius and shaftRadius are how far from the middle of a panel or a riser
// its wires may end, in metres: a wall cabinet's half width, common practice, no source.
const (
	panelRadius = 0.5
	shaftRadius = 0.5
)

// spelledOut is how many findings of one kind a drawing gets one by one: a
// wiring layer full of other linework would bury all else.
const spelledOut = 10

// report passes on what the wires lack. Findings that name a device come one by
// one; of the others those beyond spelledOut are counted in one finding.
func (d *drawnCircuit) report(spec Spec) {
	n, rest := map[string]int{}, map[string]path.WiringFinding{}
	for _, w := range d.wiring.Findings {
		if w.Place < 0 {
			if n[w.Kind]++; n[w.Kind] > spelledOut {
				if n[w.Kind] == spelledOut+1 {
					rest[w.Kind] = w
				}
				continue
			}
		}
		sev := takeoff.Warning
		switch w.Kind {
		case path.Untouched, path.CutOff, path.Branch, path.NoReturn, path.NoPanel, path.Loop, path.NoWayOn, path.Crowded:
			sev = takeoff.Error
		}
		f := takeoff.Finding{Code: codeWiring, Severity: sev, Message: fmt.Sprintf("circuit %s: %s", spec.Name, d.words(w))}
		d.f.notes = append(d.f.notes, d.onPlan(f, w.At))
	}
	for _, kind := range slices.Sorted(maps.Keys(rest)) {
		f := takeoff.Finding{Code: codeWiring, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: %d more places on %s like the one here (%s): does the layer under wiring hold only this circuit's wires?", spec.Name, n[kind]-spelledOut, d.level(rest[kind].At).Name, rest[kind].Message)}
		d.f.notes = append(d.f.notes, d.onPlan(f, rest[kind].At))
	}
}

// level is that of a place in the plane of the wiring.
func (d *drawnCircuit) level(at geom.Point) takeoff.Level {
	k, _ := d.floors.back(at)
	return d.f.storeys[d.floors.levels[k]].level
}

// onPlan puts a finding where it is on its level's drawing.
func (d *drawnCircuit) onPlan(f takeoff.Finding, at geom.Point) takeoff.Finding {
	_, p := d.floors.back(at)
	return onSheet(f, d.level(at), p)
}

// words names the device that a finding of the wiring concerns.
func (d *drawnCircuit) words(w path.WiringFinding) string {
	message := w.Message
	switch {
	case w.Kind == path.Branch && d.looped && !d.branches():
		message += "; the loop is laid as drawn, with the branch out and back"
	case w.Kind == path.Gap && w.Place > 0:
		message += "; it stands in a gap of the wire and may fill it"
	}
	if w.Place > 0 && w.Place < len(d.f.places) {
		return fmt.Sprintf("%s: %s", d.f.places[w.Place].id, message)
	}
	return message
}

// branches reports whether the wires of a loop are more than one way round with
// branches hanging on it.
func (d *drawnCircuit) branches() bool {
	for _, c := range d.wiring.Circuits {
		if len(c.Taps) > 0 && c.Return == nil {
			return true
		}
	}
	return len(d.wiring.Circuits) > 1
}

// name gives every node a name: places their own, joints T1, T2 ...
func (d *drawnCircuit) name() {
	taps, landings := 0, 0
	for _, s := range d.f.landings(d.floors) {
		landings += len(s)
	}
	for i, n := range d.wiring.Nodes {
		if n.Place >= 0 {
			d.names = append(d.names, d.f.places[n.Place].id)
			continue
		}
		if i < len(d.f.places)+landings {
			d.names = append(d.names, "") // no wire meets here any more
			continue
		}
		taps++
		d.names = append(d.names, fmt.Sprintf("T%d", taps))
	}
}

// placeOf is the place of a node, tap for a joint that has a name, and -1 for a shaft.
func (d *drawnCircuit) placeOf(node int) int {
	if p := d.wiring.Nodes[node].Place; p >= 0 {
		return p
	}
	if d.names[node] != "" {
		return tap
	}
	return -1
}

// lay follows the wires, and hangs devices that no wire reaches on the end, so
// that they stand in the circuit: each is reported. What is drawn stays: a return
// that is drawn is taken after them.
func (d *drawnCircuit) lay(c *Circuit, _ []string) error {
	reached := make([]bool, len(d.f.places))
	reached[0] = true
	last := 0
	var back *Leg // as drawn
	for _, wc := range d.wiring.Circuits {
		order, legs := wc.Order, make([]Leg, 0, len(wc.Runs))
		switch {
		case c.Pathway.Looped() && len(wc.Taps) > 0: // it comes back, and is alone: see branches
			order, legs = d.throughTaps(wc)
			back, legs = &legs[len(legs)-1], legs[:len(legs)-1]
		default:
			for _, r := range wc.Runs {
				legs = append(legs, d.leg(r))
			}
		}
		for _, i := range order {
			c.Devices = append(c.Devices, d.f.places[i].id)
			reached[i] = true
			last = i
		}
		c.Legs = append(c.Legs, legs...)
	}
	drawn := last
	for i := range d.f.places {
		if reached[i] {
			continue
		}
		l := d.f.leg(last, i)
		l.Note = "no wire is drawn to " + d.f.places[i].id
		c.Devices = append(c.Devices, d.f.places[i].id)
		c.Legs = append(c.Legs, l)
		last = i
	}
	if c.Pathway.Looped() {
		c.Legs = append(c.Legs, d.back(drawn, last, back))
	}
	return nil
}

// back is the way home of a class A or X circuit from the last device: as drawn from the
// last that is drawn, or measured where no wire shows it.
func (d *drawnCircuit) back(drawn, last int, back *Leg) Leg {
	if len(d.wiring.Circuits) == 1 && back == nil {
		wc := d.wiring.Circuits[0]
		if r := wc.Return; r != nil && len(wc.Order) > 0 && r.From == drawn {
			l := d.leg(*r)
			back = &l
		}
	}
	if back == nil {
		l := d.f.leg(last, 0)
		l.Return = true
		l.Note = "no way back to the panel is drawn"
		return l
	}
	back.Return = true
	if last == drawn {
		return *back
	}
	l := d.f.leg(last, drawn)
	l.Note = fmt.Sprintf("no wire is drawn to %s: measured back to %s, from there as drawn", l.From, l.To)
	l.To, l.Return, l.Via = back.To, true, back.Via
	l.Horizontal, l.Rise = l.Horizontal+back.Horizontal, l.Rise+back.Rise
	l.Drop = d.f.drop(last, 0, true) + d.f.drop(0, last, true)
	l.Slack = d.f.slackAt(last) + d.f.slackAt(0)
	for _, s := range back.Stretches {
		if n := len(l.Stretches); n > 0 && l.Stretches[n-1].Level == s.Level {
			l.Stretches[n-1].Points = slices.Concat(l.Stretches[n-1].Points, s.Points)
			continue
		}
		l.Stretches = append(l.Stretches, s)
	}
	l.Length = l.Horizontal + l.Drop + l.Rise
	return l
}

// leg is a drawn run with what its ends need: a stretch on every level that it
// runs on, and the rise in the shafts between them.
func (d *drawnCircuit) leg(r path.WireRun) Leg {
	l := Leg{From: d.names[r.From], To: d.names[r.To]}
	on := -1
	for _, p := range r.Leg.Points {
		k, at := d.floors.back(p)
		level := d.f.storeys[d.floors.levels[k]].level
		if k != on {
			if on >= 0 {
				l.Rise += rise(d.f.storeys[d.floors.levels[on]].level, level)
			}
			l.Stretches, on = append(l.Stretches, Stretch{Level: level.Name}), k
		}
		s := &l.Stretches[len(l.Stretches)-1]
		s.Points = append(s.Points, at)
	}
	for _, s := range l.Stretches {
		l.Horizontal += geom.PathLen(s.Points)
	}
	l.Via = r.Leg.Via
	d.f.ends(&l, d.placeOf(r.From), d.placeOf(r.To))
	l.Length = l.Horizontal + l.Drop + l.Rise
	return l
}
