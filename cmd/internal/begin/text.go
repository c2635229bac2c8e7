package begin

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"loopwright/cmd/internal/job"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// writer writes lines of YAML with comments.
type writer struct{ strings.Builder }

// line writes one line. Names of a drawing stand in comments as they are: a
// control character in one, a line end above all, must not begin a line of the job.
func (w *writer) line(format string, args ...any) {
	w.WriteString(strings.TrimRight(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return '?'
		}
		return r
	}, fmt.Sprintf(format, args...)), " ") + "\n")
}

// note writes a comment below an indent, wrapped.
func (w *writer) note(indent, text string) {
	const width = 110
	line := indent + "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > width && line != indent+"#" {
			w.line("%s", line)
			line = indent + "#"
		}
		line += " " + word
	}
	w.line("%s", line)
}

// quoted writes a text so that every YAML reader takes it as one.
func quoted(s string) string { return strconv.Quote(s) }

func list(ss []string) string {
	q := make([]string, len(ss))
	for i, s := range ss {
		q[i] = quoted(s)
	}
	return "[" + strings.Join(q, ", ") + "]"
}

// box writes a box in round numbers that still hold it.
func box(b geom.Box, unit float64) string {
	step := math.Pow(10, math.Floor(math.Log10(0.05/unit))) // about a hand's breadth
	down := func(v float64) float64 { return tidy(math.Floor(v/step) * step) }
	up := func(v float64) float64 { return tidy(math.Ceil(v/step) * step) }
	return fmt.Sprintf("[%s, %s, %s, %s]", num(down(b.Min.X)), num(down(b.Min.Y)), num(up(b.Max.X)), num(up(b.Max.Y)))
}

func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }
func num(v float64) string   { return strconv.FormatFloat(v, 'f', -1, 64) }

// text writes the job file.
func (d *draft) text() string {
	var w writer
	w.note("", "A draft, made from the drawings alone. Every proposal gives its reason. Read it top to bottom and correct it; then run: loopwright build "+
		"with this file. "+takeoff.Caution)
	w.line("")
	w.line("job: %s", job.Quote(d.jobName()))
	report, why := "imperial", "most drawings are in inches or feet"
	if d.metric {
		report, why = "metric", "most drawings are in metric units"
	}
	w.line("report: %-26s # %s", report, why)
	w.note("", "edition: 2022   # of the fire alarm code adopted locally; it picks the battery margin")
	w.line("")
	w.line("plans:")
	for i := range d.plans {
		d.planRow(&w, i)
	}
	w.line("")
	d.typeRows(&w)
	w.line("")
	d.panelRows(&w)
	d.circuitRows(&w)
	d.routeRow(&w)
	bidRows(&w)
	d.accountRows(&w)
	return w.String()
}

func (d *draft) jobName() string {
	for _, s := range d.sheets {
		if s.Project != "" {
			return s.Project
		}
	}
	abs, err := filepath.Abs(d.sheets[0].File)
	if err != nil {
		return "Untitled"
	}
	return filepath.Base(filepath.Dir(abs))
}

func (d *draft) planRow(w *writer, i int) {
	p := d.plans[i]
	s := p.sheet
	unit := s.Units.Unit()
	metre, unknown := measure.MetresPer(unit)
	if unknown != nil {
		metre = 1
	}
	w.line("  - drawing: %s", quoted(s.name))
	w.line("    level: %-26s # %s", quoted(p.Name), p.Why)
	d.unitsLine(w, s, unit)
	if unknown == nil {
		w.note("    ", fmt.Sprintf("the level is then %s x %s", measure.Both(p.Box.Width()*metre), measure.Both(p.Box.Height()*metre)))
	} else {
		w.note("    ", fmt.Sprintf("the level is %.4g x %.4g of the drawing's units", p.Box.Width(), p.Box.Height()))
	}
	floor := d.floor(i)
	step := fmt.Sprintf("%d ft", 14*floor)
	if d.metric {
		step = fmt.Sprintf("%g m", 4*float64(floor))
	}
	w.line("    elevation: %-22s # a guess from the order of the levels: the cable between levels depends on it", step)
	if p.index >= 0 && !p.Whole {
		w.line("    region: %s", box(p.bounds, metre))
		if p.Only {
			w.note("    ", "the extents of the plan; nothing outside them is counted")
		} else {
			w.note("    ", "the extents of one of the plans on the drawing")
		}
	}
	if p.index >= 0 && d.datums[p.index].Given {
		t := d.datums[p.index]
		w.line("    datum: [%s, %s]", num(tidy(t.At.X)), num(tidy(t.At.Y)))
		w.note("    ", t.Why+": the same point on every level")
	} else if len(d.plans) > 1 {
		w.note("    ", "datum: [0, 0]   # the same point on every level; the drawing's origin if left out")
	}
	d.wallsLine(w, p)
	if len(s.Wiring) > 0 {
		w.line("    wiring: %s", list(s.Wiring))
		w.note("    ", "found by name; circuits are drawn on these layers")
	}
	d.ignoreRows(w, p, metre)
	w.line("    hidden: exclude                # layers that are off or frozen are not counted; count: they are")
	d.statusLines(w, p)
	d.askedLayers(w, p)
}

// wallsLine proposes the layers of walls: by name, or by what their lines do.
func (d *draft) wallsLine(w *writer, p plan) {
	found, ok := p.sheet.Bounds[p.index]
	switch {
	case len(p.sheet.Walls) > 0:
		w.line("    walls: %s", list(p.sheet.Walls))
		w.note("    ", "found by name; these layers bound rooms and guide cable")
	case ok && len(found.Layers) > 0:
		w.line("    walls: %s", list(found.Layers))
		w.note("    ", fmt.Sprintf("found by shape: these lines part %d of the %d rooms that have a name; they bound rooms and guide cable", found.Parted, found.Labels))
	case ok && found.Parted > 0:
		w.note("    ", fmt.Sprintf("walls: []   # no layer holds walls alone; by the shape of all lines, %d of the %d rooms that have a name are parted; to guide cable too, list the layers that walls are drawn on",
			found.Parted, found.Labels))
	default:
		w.note("    ", "walls: []   # no layer name suggests walls: list the layers that walls are drawn on")
	}
}

// floor is the place of a plan's level among the levels, from the lowest: one for all plans of its name.
func (d *draft) floor(i int) int {
	var names []string
	for k := range d.plans {
		if d.plans[k].Name == d.plans[i].Name {
			break
		}
		if !slices.Contains(names, d.plans[k].Name) {
			names = append(names, d.plans[k].Name)
		}
	}
	return len(names)
}

// ignoreRows proposes the key plans and details in a plan's region as parts to ignore.
func (d *draft) ignoreRows(w *writer, p plan, metre float64) {
	begun := false
	defer func() {
		for _, l := range d.look.Maybe {
			if b := l.Box; l.Page == p.Page && !l.Paper && (p.bounds.Overlaps(b) || p.Whole) {
				if !begun {
					w.line("    # ignore:")
					begun = true
				}
				w.line("    #  - %-36s # the symbols here count, but may be the samples of a legend, beside %q", box(b, metre), l.Rows[0].Text)
			}
		}
	}()
	for _, r := range p.sheet.Regions {
		if p.index >= 0 && !p.bounds.Overlaps(r.Box) || p.Box.Contains(r.Box.Center()) && p.index >= 0 {
			continue
		}
		if !begun {
			begun = true
			w.line("    ignore:")
		}
		w.line("      - %-36s # %q, with %d symbols", box(r.Box, metre), r.Title, r.Symbols)
	}
}

func (d *draft) unitsLine(w *writer, s sheet, unit string) {
	u := s.Units
	switch {
	case unit == "":
		w.note("    ", "units: in   # NOTHING ON THE DRAWING GIVES THEM: measure something, then say in, ft, mm, cm or m here")
	case unit == u.Header && u.From == "header" && len(u.Doubts(unit)) == 0:
		w.line("    units: %-26s # as the header says; it fits: %s", unit, u.Sizes(unit))
	case unit == u.Header && u.From == "header":
		w.line("    units: %-26s # as the header says, although %s: right for a site of several buildings; CHECK it", unit, strings.Join(u.Doubts(unit), " and "))
	case u.Header != "" && u.From == "header":
		w.line("    units: %-26s # the header says %s, but then %s", unit, u.Header, strings.Join(u.Doubts(u.Header), " and "))
		w.note("    ", "with "+unit+": "+u.Sizes(unit))
	default:
		w.line("    units: %-26s # the drawing does not say; with %s: %s", unit, unit, u.Sizes(unit))
	}
	if r := u.Rivals(); len(r) > 0 && (unit != u.Header || u.From != "header") {
		w.note("    ", "CHECK: "+strings.Join(r, " or ")+" would fit too; measure something, such as a door")
	}
}

// statusLines proposes what is no new work, each rule with how many figures say so.
func (d *draft) statusLines(w *writer, p plan) {
	for _, status := range []string{"demolition", "existing", "others"} {
		var rules, why []string
		for _, m := range d.look.Rules(p.index, status) {
			switch {
			case m.Layer != "":
				rules = append(rules, quoted(words.Unbound(m.Layer)))
				why = append(why, fmt.Sprintf("the layer's name, of %d", m.Count))
			case m.Tag != "":
				rules = append(rules, fmt.Sprintf("{attrib: {%s: %s}}", quoted(m.Tag), quoted(m.Value)))
				why = append(why, fmt.Sprintf("an attribute of %d", m.Count))
			case m.Linetype != "" || m.Color != 0:
				rule, what := fmt.Sprintf("{linetype: %s}", quoted(m.Linetype)), "drawn with this linetype"
				if m.Color != 0 {
					rule, what = fmt.Sprintf("{color: %d}", m.Color), "drawn in this gray"
				}
				rules = append(rules, rule)
				why = append(why, fmt.Sprintf("%d are %s; %s", m.Count, what, cmp.Or(m.Why, "CHECK: nothing on the drawings says what that means")))
			default:
				rules = append(rules, fmt.Sprintf("{text: %s}", quoted(m.Text)))
				why = append(why, fmt.Sprintf("a remark beside %d", m.Count))
			}
		}
		if len(rules) > 0 {
			w.line("    %s: [%s]   # %s", status, strings.Join(rules, ", "), strings.Join(why, "; "))
		}
	}
}

// askedLayers asks about layers on which few devices stand, without deciding.
func (d *draft) askedLayers(w *writer, p plan) {
	for _, a := range d.look.Asides() {
		if a.Plan == p.index {
			w.line("    # existing: [%s]   # CHECK: %d of %d devices stand on this layer, with symbols that else stand on %s: are they existing, to be removed (demolition) or by others?",
				quoted(words.Unbound(a.Layer)), a.Count, a.Of, words.Unbound(a.Usual))
		}
	}
}

func (d *draft) typeRows(w *writer) {
	w.note("", "The first rule that fits a symbol decides. Currents come from the equipment's listing: standby and alarm are reported as missing until you give them.")
	if len(d.kinds) == 0 {
		w.note("", "No symbol was recognised by a legend or by its block's name: list the types here.")
		w.line("types: []")
	} else {
		w.line("types:")
	}
	for _, k := range d.kinds {
		d.typeRow(w, k)
	}
	for _, a := range d.ask {
		text := fmt.Sprintf("- {type: ?, match: [{block: %s%s}]}   # %d on %s", quoted(a.block), attribOf(a.attrib), a.placed, strings.Join(a.layers, ", "))
		w.line("  # %s: say what it is", text)
	}
	for _, row := range d.figures {
		w.line("  # %s", row)
	}
	if len(d.notOurs) > 0 {
		w.line("  # Also on the drawings, and left out:")
		for _, row := range d.notOurs {
			w.line("  #   %s", row)
		}
	}
	if len(d.kinds)+len(d.ask) == 0 {
		d.otherRows(w)
	}
}

// attribOf writes the part of a match that asks for an attribute.
func attribOf(a [2]string) string {
	if a[0] == "" {
		return ""
	}
	return fmt.Sprintf(", attrib: {%s: %s}", quoted(a[0]), quoted(a[1]))
}

// mostOthers is how many blocks are listed where nothing says which are devices.
const mostOthers = 25

// otherRows lists the blocks on a drawing on which no device was recognised, the
// most frequent first, so that a person finds the devices among them.
func (d *draft) otherRows(w *writer) {
	if len(d.others) == 0 {
		return
	}
	slices.SortStableFunc(d.others, func(a, b use) int { return b.placed - a.placed })
	w.line("  # These blocks are on the drawings; for each that is a device, remove its # and the [] above and give its type:")
	for i, u := range d.others {
		if i == mostOthers {
			w.line("  # and %d more: loopwright survey lists them all", len(d.others)-i)
			break
		}
		w.line("  # - {type: ?, match: [{block: %s}]}   # %d on %s", quoted(u.name), u.placed, strings.Join(slices.Sorted(maps.Keys(u.layers)), ", "))
	}
}

// sources parts where a type's defaults come from into what is said of its
// event codes and of the rest, each as a comment.
func sources(why string) (codes, rest string) {
	var c, r []string
	for s := range strings.SplitSeq(why, "; ") {
		if strings.HasPrefix(s, "event code") {
			c = append(c, s)
		} else {
			r = append(r, s)
		}
	}
	return comment(c), comment(r)
}

func comment(parts []string) string {
	if len(parts) == 0 {
		return ""
	}
	return "# " + strings.Join(parts, "; ")
}

func (d *draft) typeRow(w *writer, k kind) {
	w.line("  - type: %s", job.Quote(k.Type))
	w.line("    name: %s", job.Quote(k.name))
	w.line("    match:")
	for _, b := range k.blocks {
		n := fmt.Sprintf("%d placed", b.placed)
		if b.hidden > 0 {
			n += fmt.Sprintf(", %d hidden", b.hidden)
		}
		w.line("      - %s   # %s; %s", b.match, b.why, n)
	}
	codes, heights := sources(k.why)
	mounting := k.mounting
	if b := slices.IndexFunc(k.blocks, func(b blockReason) bool { return b.height != "" }); b >= 0 {
		mounting, heights = k.blocks[b].height, "# "+k.blocks[b].says
		if slices.ContainsFunc(k.blocks, func(o blockReason) bool { return o.height != mounting }) {
			heights += "; CHECK the other symbols of this type"
		}
	}
	w.line("    mounting: %-23s %s", mounting, heights)
	w.line("    addresses: %d", k.addresses)
	w.line("    wired_to: [%s]", k.wiredTo)
	if k.isolates {
		w.line("    isolates: true")
	}
	if len(k.points) > 0 {
		var ps []string
		for _, p := range k.points {
			ps = append(ps, fmt.Sprintf("{function: %s, event: %s}", job.Quote(p[0]), quoted(p[1])))
		}
		w.line("    points: [%s]   %s", strings.Join(ps, ", "), codes)
	}
	if k.endOfLine > 0 {
		w.line("    end_of_line: %d", k.endOfLine)
		w.asks("    ", job.AsksOfInputs())
	}
}

func (d *draft) panelRows(w *writer) {
	w.line("panels:")
	w.line("  - panel: FACP")
	switch {
	case d.panel != "":
		w.line("    match: [{block: %s%s}]", quoted(d.panel), attribOf(d.panelAttrib))
	case d.panelAt != "":
		w.line("    %s", d.panelAt)
	default:
		p := d.plans[0]
		c := p.Box.Center()
		w.note("    ", "NO PANEL WAS FOUND: this is the middle of the level; give its location here, in drawing units")
		w.line("    at: {level: %s, point: [%s, %s]}", quoted(p.Name), num(math.Round(c.X)), num(math.Round(c.Y)))
	}
	if len(d.risers) > 0 {
		w.line("")
		w.line("risers:                            # where cable goes from level to level")
		for i, b := range d.risers {
			w.line("  - {riser: %s, match: [{block: %s}]}", job.Quote(fmt.Sprintf("Riser %d", i+1)), quoted(b))
		}
	}
}

// circuitRows shows how circuits are asked for, with a blank for each figure that only a listing gives.
func (d *draft) circuitRows(w *writer) {
	w.line("")
	w.note("", "Without circuits, one signaling line circuit is laid and split by its addresses. Notification appliances and 24 V need rows of their own. "+
		"Figures from the equipment's listing are yours to give: what you leave blank is not judged, and a warning says so.")
	w.line("# circuits:")
	circuit := func(kind takeoff.CircuitKind, lines ...string) {
		for _, l := range lines {
			w.line("#   %s", l)
		}
		w.asks("#     ", job.AsksOfCircuit(kind))
	}
	circuit(takeoff.SLC, "- circuit: SLC-1", "  circuits: auto", "  kind: slc", "  panel: FACP", "  pathway: A", "  cable: 16/2", "  addresses: {scheme: binary7}")
	circuit(takeoff.NAC, "- circuit: NAC-1", "  circuits: auto", "  kind: nac", "  panel: FACP", "  pathway: B", "  cable: 14/2")
	for _, l := range []string{
		"cables:",
		"  - {cable: 16/2, conductor: 16 AWG solid}",
		"  - {cable: 14/2, conductor: 14 AWG solid}",
	} {
		w.line("# %s", l)
	}
}

// wallsMost is the number of devices above which ways along walls are no proposal but
// a choice: finding them then takes several times as long as all else.
const wallsMost = 600

// routeRow proposes to lay circuits by what the drawings show: along drawn wiring where
// every level has it, or else along walls.
func (d *draft) routeRow(w *writer) {
	walls, wiring := false, true
	for _, p := range d.plans {
		walls = walls || len(p.sheet.Walls) > 0 || len(p.sheet.Bounds[p.index].Layers) > 0
		wiring = wiring && len(p.sheet.Wiring) > 0
	}
	devices := 0
	for _, k := range d.kinds {
		for _, b := range k.blocks {
			devices += b.placed
		}
	}
	switch {
	case wiring:
		w.line("")
		w.line("route: {along: wiring}             # circuits are laid as they are drawn")
	case walls && devices > wallsMost:
		w.line("")
		w.note("", fmt.Sprintf("With %d devices ways along walls take several times as long to find; without this line walls are ignored, and a warning says so.", devices))
		w.line("# route: {along: walls}")
	case walls:
		w.line("")
		w.line("route: {along: walls}              # cable keeps square to the building and goes through doorways")
	}
}

// asks leaves a blank for each figure.
func (w *writer) asks(indent string, asks []job.Ask) {
	for _, a := range asks {
		w.line("%s# %-28s # %s", indent, strings.TrimRight(a.Key+": ____ "+a.Unit, " "), a.Help)
	}
}
