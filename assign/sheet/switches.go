package sheet

import (
	"fmt"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
)

// Circuit is one circuit with its devices in walking order.
type Circuit struct {
	Name    string
	Kind    takeoff.CircuitKind
	Panel   string
	Pathway string // A, B or X
	Cable   string
	Scheme  assign.Scheme // of its addresses; the zero value where there are none
	Rows    []Row
}

// Row is one device at its place in the walk.
type Row struct {
	Order        int // 0 for what is to be added and has no number in the walk
	ID           string
	Type         string // its name
	Level        string
	Room         string
	Address      int // 0 for none
	Span         int // consecutive addresses
	Setting      *assign.Setting
	Options      []assign.OptionSetting
	Points       []assign.NumberedPoint
	Isolates     bool
	EndOfLine    int     // resistors that its own input circuits need
	EndOfLineOhm float64 // of each; 0 if not known
	Note         string  // anything else to know; "" for none
	In           []Neighbor
	Out          []Neighbor
}

// Neighbor is where a cable of a device comes from or goes to.
type Neighbor struct {
	Name    string  // id of a device, name of the panel or of a branch point
	Address int     // 0 for none
	Length  float64 // of the leg, metres
	Return  bool    // on the way back to the panel
}

// SwitchOptions are the choices that a user has about switch sheets.
type SwitchOptions struct {
	sideways bool // switches one above the other, ON to the right; otherwise side by side, ON up
}

const rowHeight = 65.0

// columns are where the parts of a row stand.
type columns struct{ order, address, bank, text, form, right float64 }

func columnsOf(paper size) columns {
	right := paper.w - edge
	return columns{order: edge, address: edge + 24, bank: edge + 96, text: edge + 268, form: right - 124, right: right}
}

// switchPage is the part of a circuit that stands on one page.
type switchPage struct {
	circuit *Circuit
	rows    []lineRow
	first   bool // the circuit's first page
}

// lineRow is a row with its text broken into lines, and as high as they need.
type lineRow struct {
	Row
	told   []assign.OptionSetting // extra switches that are written out and not drawn
	lines  []line
	height float64
}

// line is one line of text with the distance of its baseline from the one above.
type line struct {
	text string
	style
	down float64
}

// SwitchSheets draws, circuit by circuit in walking order, one row per device:
// its address, its switches as they look, what and where it is, where its cable
// comes from and goes to, and fields to fill in on site (see ReadForm).
func SwitchSheets(j Job, circuits []Circuit, opt SwitchOptions) (Document, error) {
	p, err := newPen(j, "switch settings")
	if err != nil {
		return Document{}, err
	}
	pages := p.switchPages(circuits, opt)
	for i, pg := range pages {
		p.AddPage()
		f := frame{title: "Switch settings", page: i + 1, of: len(pages), notes: pg.notes()}
		p.switchPage(pg, f, opt)
	}
	if len(pages) == 0 {
		p.AddPage()
		f := frame{title: "Switch settings", page: 1, of: 1}
		p.head(f, "No devices", "no circuit of this job has devices")
		p.foot(f)
	}
	return p.document()
}

// switchPages cuts each circuit into pages; a circuit starts on a page of its own.
func (p *pen) switchPages(circuits []Circuit, opt SwitchOptions) []switchPage {
	paper := p.job.paper()
	room := paper.h - 2*edge - headSpace - footSpace
	col := columnsOf(paper)
	var pages []switchPage
	for i := range circuits {
		c := &circuits[i]
		used := room
		for k, r := range c.Rows {
			l := lineRow{Row: r, told: told(r, opt)}
			l.lines, l.height = p.description(col, l)
			if used+l.height > room {
				pages = append(pages, switchPage{circuit: c, first: k == 0})
				used = 0
			}
			last := &pages[len(pages)-1]
			last.rows = append(last.rows, l)
			used += l.height
		}
	}
	return pages
}

// notes are the lines at the foot that this page's rows call for.
func (pg switchPage) notes() []string {
	for _, r := range pg.rows {
		if len(r.Options) > 0 {
			return []string{fmt.Sprintf("Extra switches are set for class %s, the class of circuit %s. They follow the device's own input circuit: where that is wired in another class, set them by it.",
				pg.circuit.Pathway, pg.circuit.Name)}
		}
	}
	return nil
}

func (p *pen) switchPage(pg switchPage, f frame, opt SwitchOptions) {
	p.head(f, pg.circuit.Name, pg.circuit.detail())
	p.foot(f)
	if pg.first {
		p.Bookmark(pg.circuit.Name, 0, 0)
	}
	col := columnsOf(p.job.paper())
	p.columnHeads(col, pg.circuit, opt)
	y := edge + headSpace
	level := ""
	if !pg.first {
		level = pg.rows[0].Level
	}
	for i, r := range pg.rows {
		if r.Level != level || pg.first && i == 0 {
			level = r.Level
			p.Bookmark(level, 1, y)
		}
		p.deviceRow(col, y, pg.circuit, r, opt)
		y += r.height
		p.rule(edge, y, col.right, y, 0.5, 120)
	}
}

// detail says in one line what a circuit is.
func (c *Circuit) detail() string {
	parts := []string{strings.ToUpper(string(c.Kind)) + " class " + c.Pathway, "panel " + c.Panel}
	if c.Cable != "" {
		parts = append(parts, "cable "+c.Cable)
	}
	n := 0
	for _, r := range c.Rows {
		n += r.Span
	}
	parts = append(parts, fmt.Sprintf("%d devices", len(c.Rows)))
	if n > 0 {
		parts = append(parts, fmt.Sprintf("%d addresses", n))
	}
	return strings.Join(parts, " · ")
}

func (p *pen) columnHeads(col columns, c *Circuit, opt SwitchOptions) {
	y := edge + headSpace - 4
	st := style{size: 7, gray: 60}
	p.write(col.order, y, "walk", st)
	p.write(col.address, y, "address", st)
	p.fit(col.bank+4, y, col.text-col.bank-8, how(c.Scheme, opt), st)
	p.write(col.text, y, "device, place, cable", st)
	p.write(col.form, y, "done and found on site", st)
	p.rule(edge, y+4, col.right, y+4, 0.5, 120)
}

// how says how the drawn switches are read.
func how(s assign.Scheme, opt SwitchOptions) string {
	switch s.Name {
	case "decade":
		return "dials: tens and ones"
	case "none", "":
		return "setting"
	}
	on := "black and up"
	if opt.sideways {
		on = "black and right"
	}
	if s.OnMeansZero {
		return "switches: " + on + " is ON; OFF counts"
	}
	return "switches: " + on + " is ON; value under each"
}

func (p *pen) deviceRow(col columns, y float64, c *Circuit, r lineRow, opt SwitchOptions) {
	order := fmt.Sprint(r.Order)
	if r.Order == 0 {
		order = "+"
	}
	p.write(col.order, y+14, order, style{size: 10})
	p.addressCell(col, y, r.Row)
	p.bank(col, y, c.Scheme, r, opt)
	at := y
	for _, l := range r.lines {
		at += l.down
		p.fit(col.text, at, col.form-col.text-6, l.text, l.style)
	}
	p.rowFields(col, y, c, r.Row)
}

// bank draws the switches of a row: the same setting is drawn once for all rows
// that have it.
func (p *pen) bank(col columns, y float64, s assign.Scheme, r lineRow, opt SwitchOptions) {
	b := bank{pen: p, x: col.bank, y: y, w: col.text - col.bank - 6, sideways: opt.sideways}
	drawn := r.Options[:len(r.Options)-len(r.told)]
	switch {
	case r.Setting == nil && len(r.Options) == 0:
		p.fit(col.bank+4, y+26, b.w, nothingToSet(r.Row), style{size: 9, gray: 60})
	case r.Setting != nil && r.Setting.Row == "":
		b.draw(s, r.Address, r.Setting, drawn)
	default:
		name := fmt.Sprint("bank ", s, r.Address, r.Setting, drawn, opt)
		b.x, b.y = 0, 0
		p.stamp(name, col.bank, y, size{col.text - col.bank, rowHeight}, func() { b.draw(s, r.Address, r.Setting, drawn) })
	}
}

// told returns the extra switches that have no room beside the others.
func told(r Row, opt SwitchOptions) []assign.OptionSetting {
	room := 5
	switch {
	case r.Setting == nil:
	case r.Setting.Scheme == "decade" || r.Setting.Row == "":
		room = 0
	case opt.sideways:
		room = 2
	default:
		room = 1
	}
	return r.Options[min(room, len(r.Options)):]
}

func nothingToSet(r Row) string {
	if r.Isolates {
		return "isolator: nothing to set"
	}
	return "nothing to set"
}

// addressCell writes the address as large as it can be.
func (p *pen) addressCell(col columns, y float64, r Row) {
	w := col.bank - col.address - 6
	if r.Address == 0 {
		p.fit(col.address, y+26, w, "no address", style{size: 9, gray: 60})
		return
	}
	p.fit(col.address, y+38, w, fmt.Sprint(r.Address), style{size: 36, bold: true})
	if r.Span > 1 {
		p.fit(col.address, y+52, w, fmt.Sprintf("to %d", r.Address+r.Span-1), style{size: 10, bold: true})
	}
}

// description breaks into lines what a device is, where it is and how its cable
// runs, and says how high a row they need.
func (p *pen) description(col columns, r lineRow) ([]line, float64) {
	w := col.form - col.text - 6
	var ls []line
	height := 2.5
	add := func(text string, most int, st style, down float64) {
		for i, l := range p.wrap(text, w, most, st) {
			d := down
			if i > 0 {
				d = st.size + 0.8
			}
			ls = append(ls, line{l, st, d})
			height += d
		}
	}
	add(r.Room, 3, style{size: 10, bold: true}, 11.5)
	add(r.Type, 2, style{size: 9}, 10.5)
	add(strings.Trim(r.Level+" · "+r.ID, " ·"), 2, style{size: 8}, 9.5)
	add(remarks(r), 6, style{size: 7.2}, 9)
	cable := style{size: 7.5, bold: true}
	before := len(ls)
	for _, l := range p.job.cableLines(r.Row) {
		add(l, 3, cable, 8.6)
	}
	if spare := rowHeight - height; spare > 0 && len(ls) > before {
		ls[before].down += spare // the cable stands at the foot of the row
	}
	return ls, max(rowHeight, height)
}

// remarks are the points and all other notes of a device in one line.
func remarks(r lineRow) string {
	var parts []string
	if len(r.Points) > 0 {
		parts = append(parts, pointsLine(r.Points))
	}
	for _, o := range r.told {
		word := "OFF"
		if o.On {
			word = "ON"
		}
		parts = append(parts, "switch "+o.Switch+": "+word)
	}
	if r.Isolates {
		parts = append(parts, "isolator: mind in and out")
	}
	if r.EndOfLine > 0 {
		s := "1 end-of-line resistor"
		if r.EndOfLine > 1 {
			s = fmt.Sprintf("%d end-of-line resistors", r.EndOfLine)
		}
		if r.EndOfLineOhm > 0 {
			s += ", " + ohms(r.EndOfLineOhm)
		}
		parts = append(parts, s)
	}
	if r.Note != "" {
		parts = append(parts, r.Note)
	}
	return strings.Join(parts, "; ")
}

// cableLines say where the cable comes from and where it goes.
func (j Job) cableLines(r Row) [2]string {
	in, out := j.neighbors(r.In), j.neighbors(r.Out)
	switch {
	case in == "" && out == "":
		return [2]string{}
	case out == "":
		return [2]string{"in:  " + in, "out: none, the last"}
	}
	return [2]string{"in:  " + in, "out: " + out}
}

func (j Job) neighbors(ns []Neighbor) string {
	var parts []string
	for _, n := range ns {
		s := n.Name
		if n.Address > 0 {
			s += fmt.Sprintf(" [%d]", n.Address)
		}
		s += ", " + j.length(n.Length)
		if n.Return {
			s += ", return"
		}
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
}

// spot is a box of a row's form, from the form's top left.
type spot struct {
	what  string // see FieldName
	label string
	tip   string // the device's id goes behind it
	at    box
	tick  bool
}

// spots are the boxes of a row's form.
func (p *pen) spots(width float64, sets, addressed bool) []spot {
	var ss []spot
	x := 0.0
	for _, what := range []string{FieldSet, FieldMounted, FieldTested} {
		if what == FieldSet && !sets {
			continue
		}
		ss = append(ss, spot{what, what, what + " ", box{x, 5, tickSize, tickSize}, true})
		x += 21 + p.width(what, style{size: 8})
	}
	serial := 0.0
	if addressed {
		ss = append(ss, spot{FieldFound, "address found", "address found at ", box{0, 26.5, 42, 14}, false})
		serial = 47
	}
	return append(ss,
		spot{FieldSerial, "serial", "serial number of ", box{serial, 26.5, width - serial, 14}, false},
		spot{FieldRemark, "remark", "remark on ", box{0, 48.5, width, 15}, false})
}

// rowFields draws the boxes to fill in and lays form fields over them.
func (p *pen) rowFields(col columns, y float64, c *Circuit, r Row) {
	sets, addressed := r.Setting != nil || len(r.Options) > 0, r.Address > 0
	spots := p.spots(col.right-col.form, sets, addressed)
	p.stamp(fmt.Sprint("form ", sets, addressed), col.form-1, y, size{col.right - col.form + 2, rowHeight}, func() {
		for _, s := range spots {
			p.spot(s)
		}
	})
	for _, s := range spots {
		p.field(box{col.form + s.at.x, y + s.at.y, s.at.w, s.at.h}, FieldName(c.Name, r.ID, s.what), s.tip+r.ID, s.tick)
	}
}

// spot draws a box to fill in, one point right of where it is.
func (p *pen) spot(s spot) {
	at := s.at
	at.x++
	if s.tick {
		p.outline(at, 0.8)
		p.write(at.x+14, at.y+8.5, s.label, style{size: 8})
		return
	}
	p.outline(at, 0.5)
	p.write(at.x, at.y-1.5, s.label, style{size: 6, gray: 60})
}
