package sheet

import (
	"cmp"
	"fmt"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// Test is what there is to meter on one circuit.
type Test struct {
	Circuit     string
	Kind        takeoff.CircuitKind
	Panel       string
	Pathway     string // A, B or X
	Cable       string
	Basis       string  // of the resistances, in words
	Temperature float64 // degrees C of Ohm; NaN if the resistance was given without one
	Isolators   int     // on the circuit as drawn
	IsolatorOhm float64 // that all of them put in series, closed
	Start       float64 // volts at the panel with which those at the ends are computed; 0 if not given
	Ends        []End
	Inputs      []InputCircuit // of its modules, in walking order
}

// End is one far end of a circuit: a branch end, or the panel's return terminals.
type End struct {
	ID      string // of the device; the panel's name for the return terminals
	Place   string // level and room
	Address int    // 0 for none
	Return  bool   // the return terminals of a class A or X circuit
	Length  float64
	Ohm     float64 // to be read with the far end shorted, at the job's temperature
	Ohm20   float64 // the same at 20 C; 0 if not known
	Low     float64 // readings between which one is as computed, in ohms
	High    float64
	Limit   float64 // ohm; 0 if not given
	Volt    float64 // computed; 0 where none is worked out
	State   string  // of the system in which Volt is least: standby or alarm
	Lowest  string  // id of the device where Volt is expected, if that is not ID
	Least   float64 // volts that a device needs; 0 if not given
}

// TestSheet draws, circuit by circuit, what to short, what the meter should read
// and blanks for what it reads (see ReadForm).
func TestSheet(j Job, tests []Test) (Document, error) {
	p, err := newPen(j, "test sheet")
	if err != nil {
		return Document{}, err
	}
	var blocks []block
	for i := range tests {
		blocks = append(blocks, p.testBlocks(&tests[i])...)
	}
	if len(blocks) == 0 {
		blocks = append(blocks, block{height: 20, draw: func(y float64) { p.write(edge, y+18, "No circuit of this job has devices.", style{size: 10}) }})
	}
	pages := paginate(blocks, j.paper().h-2*edge-headSpace-footSpace-9*float64(len(testNotes)))
	for i, pg := range pages {
		p.AddPage()
		f := frame{title: "Loop and voltage test", page: i + 1, of: len(pages), notes: testNotes}
		p.head(f, "Test sheet", "power off first, devices connected; readings circuit by circuit, lengths one way")
		p.foot(f)
		y := edge + headSpace - 4
		for _, b := range pg {
			b.draw(y)
			y += b.height
		}
	}
	return p.document()
}

// testNotes stand on every test sheet.
var testNotes = []string{
	"Power off first, mains and battery. Resistance is metered with devices connected and the conductors lifted at the panel. Follow the equipment's instructions.",
	"Remove end-of-line resistors of the circuit under test and put them back after. What to accept allows for length, temperature, resistors of 1 % and 5 %, and the meter.",
	"A reading below what to accept points to a short before the end; one above it, to a bad joint, a longer run or a thinner wire.",
}

// block is a part of a page that is not broken.
type block struct {
	height float64
	stay   bool // on the page of the block that follows
	draw   func(y float64)
	head   *block // stands above it again where a page begins with it; nil for none
}

// paginate fills pages from the top; a block that stays goes with the next.
func paginate(blocks []block, room float64) [][]block {
	pages := [][]block{nil}
	used := 0.0
	for i := 0; i < len(blocks); {
		group := 1
		h := blocks[i].height
		for blocks[i+group-1].stay && i+group < len(blocks) {
			h += blocks[i+group].height
			group++
		}
		if used > 0 && used+h > room {
			pages = append(pages, nil)
			used = 0
		}
		last := len(pages) - 1
		if head := blocks[i].head; used == 0 && head != nil {
			pages[last] = append(pages[last], *head)
			used += head.height
		}
		pages[last] = append(pages[last], blocks[i:i+group]...)
		used += h
		i += group
	}
	return pages
}

func (p *pen) testBlocks(t *Test) []block {
	rows, height := len(t.Ends), endHeight
	if t.Kind != takeoff.SLC {
		rows++ // the panel's volts
	}
	bs := p.section(testHeadHeight, func(y float64, again bool) { p.testHead(t, y, again) }, rows, height, func(i int, y float64) {
		if i == len(t.Ends) {
			p.testTerminals(t, y)
			return
		}
		p.testEnd(t, t.Ends[i], y)
	})
	if len(t.Inputs) == 0 {
		return bs
	}
	return append(bs, p.section(testHeadHeight, func(y float64, again bool) { p.inputHead(t, y, again) }, len(t.Inputs), inputHeight, func(i int, y float64) { p.input(t, t.Inputs[i], y) })...)
}

// section is a head with n rows under it. The head stands at the top of every
// page that the rows run to.
func (p *pen) section(headHeight float64, head func(y float64, again bool), n int, height float64, row func(i int, y float64)) []block {
	bs := []block{{height: headHeight, stay: n > 0, draw: func(y float64) { head(y, false) }}}
	again := &block{height: headHeight, draw: func(y float64) { head(y, true) }}
	for i := range n {
		bs = append(bs, block{height: height, draw: func(y float64) { row(i, y) }, head: again})
	}
	return bs
}

const (
	testHeadHeight = 44.0
	endHeight      = 72.0 // of the row of an end
)

// isolators says how those on a circuit are counted, and what to do where they are open.
func (t *Test) isolators() string {
	if t.Isolators == 0 {
		return "no isolators on the plans"
	}
	return fmt.Sprintf("%s counted as closed, %.4g ohm in all; those that open without power: meter from one to the next", measure.Count(t.Isolators, "isolator"), t.IsolatorOhm)
}

// TerminalsEnd names a panel's own terminals, where the volts of a circuit are metered.
func TerminalsEnd(panel string) string { return panel + " terminals" }

// testTerminals draws the row for the volts at the panel, on which those at the ends depend.
func (p *pen) testTerminals(t *Test, y float64) {
	c := testColumns(p.job.paper().w - edge)
	end := TerminalsEnd(t.Panel)
	w := c.expect - edge - 10
	p.fit(edge, y+13, w, "terminals of "+t.Panel, style{size: 10, bold: true})
	at := y + 23
	for _, l := range p.wrap("With power on and the circuit connected, meter volts at the circuit's terminals in the state in which its ends are metered.", w, 3, style{size: 7.5}) {
		p.fit(edge, at, w, l, style{size: 7.5})
		at += 8.5
	}
	start := toFill + " V at the panel, not given"
	if t.Start > 0 {
		start = fmt.Sprintf("computed with %.1f V", t.Start)
	}
	p.fit(c.expect, y+13, c.reading-c.expect-6, start, style{size: 10, bold: true})
	p.blank(box{c.reading, y + 5, 52, 18}, FieldName(t.Circuit, end, FieldVolt), "volts metered at "+end)
	p.write(c.reading+55, y+17, "V", style{size: 8})
	p.blank(box{c.initials, y + 5, 40, 18}, FieldName(t.Circuit, end, FieldInitials), "initials, "+end)
	p.blank(box{c.date, y + 5, c.right - c.date, 18}, FieldName(t.Circuit, end, FieldDate), "date, "+end)
	p.rule(edge, y+endHeight-1, c.right, y+endHeight-1, 0.5, 120)
}

func (p *pen) testHead(t *Test, y float64, again bool) {
	if !again {
		p.Bookmark(t.Circuit, 0, y)
	}
	about := fmt.Sprintf("%s class %s · panel %s · cable %s · %s", strings.ToUpper(string(t.Kind)), t.Pathway, t.Panel, t.Cable, t.isolators())
	p.sectionHead(y, t.Circuit, again, about, t.Basis, "what to short, where to meter")
}

// sectionHead draws the name of a section, a line about it, what its values rest
// on and the heads of its columns.
func (p *pen) sectionHead(y float64, name string, again bool, about, basis, first string) {
	right := p.job.paper().w - edge
	if again {
		about = "continued · " + about
	}
	p.write(edge, y+18, name, style{size: 15, bold: true})
	x := edge + p.width(name, style{size: 15, bold: true}) + 10
	p.fit(x, y+18, right-x, about, style{size: 9})
	p.fit(edge, y+28, right-edge, basis, style{size: 7})
	c := testColumns(right)
	st := style{size: 7, gray: 60}
	p.write(edge, y+40, first, st)
	p.write(c.expect, y+40, "expected", st)
	p.write(c.reading, y+40, "reading", st)
	p.write(c.initials, y+40, "initials", st)
	p.write(c.date, y+40, "date", st)
	p.rule(edge, y+43, right, y+43, 0.8, 0)
}

type testColumn struct{ expect, reading, initials, date, right float64 }

func testColumns(right float64) testColumn {
	return testColumn{expect: right - 330, reading: right - 196, initials: right - 116, date: right - 70, right: right}
}

func (p *pen) testEnd(t *Test, e End, y float64) {
	c := testColumns(p.job.paper().w - edge)
	w := c.expect - edge - 10
	p.fit(edge, y+13, w, e.title(t), style{size: 10, bold: true})
	at := y + 23
	for _, l := range p.wrap(e.action(t), w, 3, style{size: 7.5}) {
		p.fit(edge, at, w, l, style{size: 7.5})
		at += 8.5
	}
	p.fit(edge, at, w, strings.TrimLeft(e.Place+" · "+p.job.length(e.Length)+" of cable", " ·"), style{size: 7.5, gray: 60})
	p.expected(c, e, t, y)
	p.readingFields(c, t.Circuit, e.ID, y)
	if e.Volt > 0 {
		p.blank(box{c.reading, y + 44, 52, 18}, FieldName(t.Circuit, e.ID, FieldVolt), "volts metered at "+e.ID)
		p.write(c.reading+55, y+56, "V", style{size: 8})
	}
	p.rule(edge, y+endHeight-1, c.right, y+endHeight-1, 0.5, 120)
}

// readingFields are the places for the ohms metered at one end, and by whom and when.
func (p *pen) readingFields(c testColumn, circuit, end string, y float64) {
	name := func(what string) string { return FieldName(circuit, end, what) }
	p.blank(box{c.reading, y + 5, 52, 18}, name(FieldOhm), "ohms metered at "+end)
	p.write(c.reading+55, y+17, "ohm", style{size: 8})
	p.blank(box{c.initials, y + 5, 40, 18}, name(FieldInitials), "initials, "+end)
	p.blank(box{c.date, y + 5, c.right - c.date, 18}, name(FieldDate), "date, "+end)
}

// title names an end.
func (e End) title(t *Test) string {
	if e.Return {
		return "return terminals of " + t.Panel
	}
	if e.Address > 0 {
		return fmt.Sprintf("%s [%d]", e.ID, e.Address)
	}
	return e.ID
}

// action says what to do before metering.
func (e End) action(t *Test) string {
	if e.Return {
		return fmt.Sprintf("Lift both ends at %s. Short the two conductors of the return pair there. Meter across the outgoing pair. Take the short out again.", t.Panel)
	}
	return fmt.Sprintf("Lift the circuit at %s. Short the two conductors at %s, and at no other end. Meter across the pair at %s. Take the short out again.", t.Panel, e.ID, t.Panel)
}

// expected writes what the meter should read, and under which conditions.
func (p *pen) expected(c testColumn, e End, t *Test, y float64) {
	w := c.reading - c.expect - 6
	p.fit(c.expect, y+13, w, fmt.Sprintf("expected %.1f ohm", cmp.Or(e.Ohm20, e.Ohm)), style{size: 10, bold: true})
	accept := fmt.Sprintf("accept %.1f to %.1f", e.Low, e.High)
	switch {
	case e.Limit > 0:
		accept += fmt.Sprintf(", limit %.1f ohm", e.Limit)
	case t.Kind == takeoff.SLC:
		accept += ", limit " + toFill + " ohm"
	}
	p.fit(c.expect, y+24, w, accept, style{size: 8, bold: true})
	computed := fmt.Sprintf("computed %.2f ohm", e.Ohm)
	if e.Ohm20 > 0 {
		computed = fmt.Sprintf("computed %.2f ohm at 20 °C", e.Ohm20)
		p.fit(c.expect, y+42, w, fmt.Sprintf("%.2f ohm at %.0f °C", e.Ohm, t.Temperature), style{size: 7.5})
	}
	p.fit(c.expect, y+33, w, computed, style{size: 7.5})
	if t.Kind == takeoff.SLC {
		return
	}
	volt, least := toFill+" V, not computed", "least "+toFill+" V"
	if e.Volt > 0 {
		volt = fmt.Sprintf("%.2f V in %s at %s", e.Volt, e.State, cmp.Or(e.Lowest, e.ID))
	}
	if e.Least > 0 {
		least = fmt.Sprintf("least %.1f V", e.Least)
	}
	if e.Volt > 0 && t.Start > 0 {
		least += fmt.Sprintf("; computed at %.1f V at the panel", t.Start)
	}
	p.fit(c.expect, y+54, w, volt, style{size: 9, bold: true})
	p.fit(c.expect, y+64, w, least, style{size: 7.5})
}
