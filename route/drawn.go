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
	level  string
	names  []string // of the nodes of wiring: places, then joints
}

// drawn reads the wires of a circuit, if the job asks for them and the drawing
// has them. Where they cannot serve it returns nil and says why in a note.
func (f *floorplan) drawn(devices []takeoff.Device, spec Spec) *drawnCircuit {
	if f.opt.Along != AlongWiring {
		return nil
	}
	refuse := func(format string, args ...any) *drawnCircuit {
		f.notes = append(f.notes, takeoff.Finding{Code: CodeWiring, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: ", spec.Name) + fmt.Sprintf(format, args...) + ": laid rectilinear instead"})
		return nil
	}
	if len(f.storeys) > 1 {
		return refuse("it serves %d levels, and drawn wiring is followed on one", len(f.storeys))
	}
	s := f.storeys[f.places[0].level]
	var lines [][]geom.Point
	for _, sheet := range s.level.Sheets {
		lines = append(lines, sheet.Wires...)
	}
	if len(lines) == 0 {
		return refuse("no wiring is drawn on %s: name its layers under wiring", s.level.Name)
	}
	w, err := path.NewWiring(lines, f.symbols(devices, s.level), 0, path.WiringOptions{
		Taps: spec.Taps, Return: spec.Pathway.Returns(), Fallback: s.m,
	})
	if err != nil {
		return refuse("%v", err)
	}
	d := &drawnCircuit{f: f, wiring: w, level: s.level.Name}
	d.report(spec)
	if spec.Pathway.Returns() && d.branches() {
		return refuse("its drawn wiring branches, which class %s does not allow", spec.Pathway)
	}
	d.name()
	return d
}

// symbols are the panel and the devices with the radius at which wires end.
func (f *floorplan) symbols(devices []takeoff.Device, level takeoff.Level) []path.Symbol {
	metre := 1.0
	if len(level.Sheets) > 0 {
		metre = level.Sheets[0].MetrePer
	}
	out := []path.Symbol{{At: f.places[0].pos, Radius: panelRadius}}
	for i, d := range devices {
		r := math.Hypot(d.Symbol.Width(), d.Symbol.Height()) / 2 * metre
		out = append(out, path.Symbol{At: f.places[i+1].pos, Radius: r})
	}
	return out
}

// panelRadius is how far from the panel's middle its wires may end, in metres:
// a wall cabinet's half width, common practice, no source.
const panelRadius = 0.5

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
		case path.Untouched, path.CutOff, path.Branch, path.NoReturn, path.NoPanel, path.Loop:
			sev = takeoff.Error
		}
		f := takeoff.Finding{Code: CodeWiring, Severity: sev, Message: fmt.Sprintf("circuit %s: %s", spec.Name, d.words(w))}
		d.f.notes = append(d.f.notes, onSheet(f, d.f.storeys[d.f.places[0].level].level, w.At))
	}
	for _, kind := range slices.Sorted(maps.Keys(rest)) {
		f := takeoff.Finding{Code: CodeWiring, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: %d more places on %s like the one here (%s): is the layer under wiring the circuit's own?", spec.Name, n[kind]-spelledOut, d.level, rest[kind].Message)}
		d.f.notes = append(d.f.notes, onSheet(f, d.f.storeys[d.f.places[0].level].level, rest[kind].At))
	}
}

// words names the device that a finding of the wiring concerns.
func (d *drawnCircuit) words(w path.WiringFinding) string {
	if w.Place > 0 && w.Place < len(d.f.places) {
		return fmt.Sprintf("%s: %s", d.f.places[w.Place].id, w.Message)
	}
	return w.Message
}

func (d *drawnCircuit) branches() bool {
	for _, c := range d.wiring.Circuits {
		if len(c.Taps) > 0 {
			return true
		}
	}
	return len(d.wiring.Circuits) > 1
}

// name gives every node a name: places their own, joints T1, T2 ...
func (d *drawnCircuit) name() {
	taps := 0
	for _, n := range d.wiring.Nodes {
		if n.Place >= 0 {
			d.names = append(d.names, d.f.places[n.Place].id)
			continue
		}
		taps++
		d.names = append(d.names, fmt.Sprintf("T%d", taps))
	}
}

// lay follows the wires, and hangs devices that no wire reaches on the end, so
// that they stand in the circuit: each is reported.
func (d *drawnCircuit) lay(c *Circuit, _ []string) error {
	reached := make([]bool, len(d.f.places))
	reached[0] = true
	last := 0
	for _, wc := range d.wiring.Circuits {
		for _, i := range wc.Order {
			c.Devices = append(c.Devices, d.f.places[i].id)
			reached[i] = true
			last = i
		}
		for _, r := range wc.Runs {
			c.Legs = append(c.Legs, d.leg(r))
		}
	}
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
	if c.Pathway.Returns() {
		c.Legs = append(c.Legs, d.back(last))
	}
	return nil
}

// back is the way home of a class A or X circuit: as drawn, or measured where no wire shows it.
func (d *drawnCircuit) back(last int) Leg {
	if len(d.wiring.Circuits) == 1 {
		wc := d.wiring.Circuits[0]
		if r := wc.Return; r != nil && len(wc.Order) > 0 && wc.Order[len(wc.Order)-1] == last {
			l := d.leg(*r)
			l.Return = true
			return l
		}
	}
	l := d.f.leg(last, 0)
	l.Return = true
	l.Note = "no way back to the panel is drawn"
	return l
}

// leg is a drawn run with what its ends need.
func (d *drawnCircuit) leg(r path.WireRun) Leg {
	l := Leg{From: d.names[r.From], To: d.names[r.To]}
	l.add(d.level, r.Leg)
	d.f.ends(&l, d.wiring.Nodes[r.From].Place, d.wiring.Nodes[r.To].Place)
	l.Length = l.Horizontal + l.Drop
	return l
}
