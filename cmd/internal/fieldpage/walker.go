package fieldpage

import (
	"fmt"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/takeoff"
)

// walker tells the devices of one circuit.
type walker struct {
	o       *outcome.Outcome
	circuit outcome.Laid
	device  map[string]assign.Numbered
	types   map[string]takeoff.DeviceType
	from    map[string][]string // by device: where its cables come from
	to      map[string][]string // and where they go
}

// neighbors writes out where the cables of each device come from and go to.
func (w *walker) neighbors() {
	w.from, w.to = map[string][]string{}, map[string][]string{}
	for _, g := range w.circuit.Legs {
		w.from[g.To] = append(w.from[g.To], w.neighbor(g.From, g))
		w.to[g.From] = append(w.to[g.From], w.neighbor(g.To, g))
	}
}

func (w *walker) neighbor(name string, g route.Leg) string {
	s := name
	if d, ok := w.device[name]; ok && d.Circuit == w.circuit.Name && d.Address > 0 {
		s += fmt.Sprintf(" [%d]", d.Address)
	}
	s += ", " + length(w.o, g.Length)
	if g.Return {
		s += ", return"
	}
	return s
}

// head is the circuit itself.
func (w *walker) head() circuit {
	l := w.circuit
	parts := []string{strings.ToUpper(string(l.Kind)) + " class " + string(l.Pathway), "panel " + l.Panel}
	if l.Cable.Name != "" {
		parts = append(parts, "cable "+l.Cable.Name)
	}
	c := circuit{Name: l.Name, Detail: strings.Join(parts, " · "), Ends: w.ends()}
	if l.Kind == takeoff.SLC {
		s := l.Addressing.Scheme
		c.Values, c.OffSum, c.Dials = s.Values(), s.OnMeansZero, s.Name == "decade"
		c.Lowest, c.Highest = s.Range()
	}
	return c
}

// row is one device of the circuit.
func (w *walker) row(id string, order int) row {
	d := w.device[id]
	t := w.types[d.Type]
	r := row{ID: id, Order: order}
	own := d.Circuit == w.circuit.Name
	if own {
		r.Address, r.Span = d.Address, d.Span
		if d.Switches != nil {
			r.Row, r.Scheme = d.Switches.Row, d.Switches.Scheme
			r.Sum = w.circuit.Addressing.Scheme.Sum(d.Address)
		}
		for _, o := range d.Options {
			r.Options = append(r.Options, option{o.Switch, o.On})
		}
	}
	r.Facts = w.facts(d, t, own)
	return r
}

// facts are the lines under a device's setting.
func (w *walker) facts(d assign.Numbered, t takeoff.DeviceType, own bool) []string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if own && t.Addresses > 0 && d.Address == 0 && w.circuit.Kind == takeoff.SLC {
		add("NO ADDRESS LEFT on this circuit.")
	}
	if w.o.AsBuilt(d.ID).Exchange {
		add("%s.", outcome.ToExchange)
	}
	if own {
		for _, p := range d.Points {
			add("Point %s", strings.TrimSpace(p.Point+" "+p.Function+" "+event(p.Event)))
		}
	}
	if len(w.from[d.ID]) > 0 {
		add("Cable in: %s", strings.Join(w.from[d.ID], "; "))
	}
	if len(w.to[d.ID]) > 0 {
		add("Cable out: %s", strings.Join(w.to[d.ID], "; "))
	} else if len(w.from[d.ID]) > 0 {
		add("Cable out: none, last on its branch")
	}
	if t.Isolates {
		add("Isolator: mind in and out.")
	}
	if t.EndOfLine > 0 {
		add("End-of-line resistors of its own input circuits: %d", t.EndOfLine)
	}
	if len(d.Also) > 0 || !own {
		add("Also on %s", strings.Join(others(d, w.circuit.Name), ", "))
	}
	return out
}

func event(code string) string {
	if code == "" {
		return ""
	}
	return "(event " + code + ")"
}

// others are the circuits of a device but one.
func others(d assign.Numbered, but string) []string {
	var out []string
	for _, c := range append([]string{d.Circuit}, d.Also...) {
		if c != but {
			out = append(out, c)
		}
	}
	return out
}
