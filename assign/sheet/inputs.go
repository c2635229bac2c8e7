package sheet

import (
	"fmt"
	"math"
	"strconv"

	"loopwright/assign"
)

// InputCircuit is a supervised circuit of a module's own: its wires, what it
// watches or feeds, and a resistor at its end.
type InputCircuit struct {
	ID       string // of the module
	N, Of    int    // which of the module's circuits, from 1, and how many it has
	Module   string // name of its type
	Place    string // level and room
	Address  int    // 0 for none
	Points   []assign.NumberedPoint
	Class    string  // A or B
	Resistor float64 // ohm, at the end; 0 if not given
	Wire     float64 // ohm that both conductors may have at most; 0 if not given
	Source   string  // of these two
	Low      float64 // readings between which one is as computed, in ohms; 0 where that is not known
	High     float64
}

// end is the circuit's name as the end where it is metered, e.g. "L1-023 input 1".
func (c InputCircuit) end() string { return InputEnd(c.ID, c.N) }

// InputEnd is the name of a module's own circuit as an end to be metered; n counts from 1.
func InputEnd(id string, n int) string { return id + " input " + strconv.Itoa(n) }

// inputHeight is how high the row of an input circuit is.
const inputHeight = 54.0

// howToMeter stands above every list of input circuits.
const howToMeter = "Lift the circuit's wires off the module and meter across them: the resistor and the wire in line. A switch that closes leaves the wire alone; with no resistor the circuit is open."

func (p *pen) inputHead(t *Test, y float64, again bool) {
	if !again {
		p.Bookmark("modules of "+t.Circuit, 1, y)
	}
	p.sectionHead(y, t.Circuit, again, "supervised circuits of its modules, in walking order", howToMeter, "module, points, place")
}

// input draws the row of an input circuit.
func (p *pen) input(t *Test, in InputCircuit, y float64) {
	c := testColumns(p.job.paper().w - edge)
	w := c.expect - edge - 10
	p.fit(edge, y+13, w, in.title(), style{size: 10, bold: true})
	p.fit(edge, y+23, w, in.Module+" · class "+in.Class, style{size: 8})
	p.fit(edge, y+32, w, pointsLine(in.Points), style{size: 8})
	p.fit(edge, y+41, w, in.Place, style{size: 7.5, gray: 60})
	w = c.reading - c.expect - 6
	// In ohms, as the place for the reading says.
	p.fit(c.expect, y+13, w, in.expect(), style{size: 10, bold: true})
	if in.High > 0 {
		p.fit(c.expect, y+48, w, fmt.Sprintf("accept %s to %s ohm", digits(in.Low), digits(in.High)), style{size: 7.5, bold: true})
	}
	p.fit(c.expect, y+23, w, "resistor "+orBlank(in.Resistor)+", wire up to "+orBlank(in.Wire), style{size: 8})
	for i, l := range p.wrap(in.Source, w, 2, style{size: 7, gray: 60}) {
		p.fit(c.expect, y+32+8*float64(i), w, l, style{size: 7, gray: 60})
	}
	p.readingFields(c, t.Circuit, in.end(), y)
	p.rule(edge, y+inputHeight-1, c.right, y+inputHeight-1, 0.5, 120)
}

// toFill is a line on which a person writes what nobody has given.
const toFill = "______"

// expect is what the meter should read, as far as the listing's figures are given.
func (c InputCircuit) expect() string {
	least, most := toFill, toFill
	if c.Resistor > 0 {
		least = digits(c.Resistor)
		if c.Wire > 0 {
			most = digits(c.Resistor + c.Wire)
		}
	}
	return least + " to " + most + " ohm"
}

// orBlank writes a resistance, or a line to write it on.
func orBlank(ohm float64) string {
	if ohm == 0 {
		return toFill + " ohm"
	}
	return ohms(ohm)
}

// title names the circuit by its module.
func (c InputCircuit) title() string {
	s := c.ID
	if c.Address > 0 {
		s += fmt.Sprintf(" [%d]", c.Address)
	}
	if c.Of > 1 {
		s += fmt.Sprintf(" · circuit %d of %d", c.N, c.Of)
	}
	return s
}

// ohms writes a resistance as it stands on resistors.
func ohms(v float64) string {
	for _, u := range []struct {
		size float64
		word string
	}{{1e6, "Mohm"}, {1e3, "kohm"}} {
		if v >= u.size {
			return strconv.FormatFloat(v/u.size, 'g', 4, 64) + " " + u.word
		}
	}
	return digits(v) + " ohm"
}

// digits writes a number to the hundredth, without zeros at its end.
func digits(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }
