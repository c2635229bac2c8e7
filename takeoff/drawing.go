package takeoff

import (
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// reader takes the symbols off one plan.
type reader struct {
	t       *taker
	index   int // of the plan
	plan    Plan
	level   *Level
	sheet   *Sheet
	s       *scene
	figures []sampled
	rules   *classifier
	regions []recognize.Region
	out     yield

	other []candidate     // unexplained: kept until the layers looked at are known
	holds map[string]bool // blocks, as stored, that hold a device
	drawn map[string]bool // blocks, as stored, that are a device's symbol
}

// candidate is a symbol that no rule explains, with its block as stored.
type candidate struct {
	Device
	block string
}

func newReader(t *taker, i int, figures []sampled) *reader {
	p := t.req.Plans[i]
	level, sheet := t.sheet(i)
	r := &reader{t: t, index: i, plan: p, level: level, sheet: sheet, s: t.files.byName[p.Drawing], figures: figures,
		rules: newClassifier(t.rules), holds: map[string]bool{}, drawn: map[string]bool{}}
	sheet.Wires = wires(r.s.Page, p, sheet.ToBuilding)
	return r
}

func (r *reader) find(f Finding) { r.out.findings = append(r.out.findings, f) }

// take reads the plan.
func (r *reader) take() yield {
	r.regions = r.s.look.Regions(r.s.index)
	r.takeInserts()
	r.takeTexts()
	r.takeFigures()
	r.remarks()
	r.unexplained()
	r.looksLikeSeveral()
	r.tellRegions()
	r.tellLegends()
	for i := range r.out.devices {
		r.out.devices[i].plan = r.index
	}
	r.out.tallies = r.rules.tallies
	return r.out
}

// takeInserts recognises inserts. What a recognised symbol is drawn with inside
// is part of it, even where a rule would fit.
func (r *reader) takeInserts() {
	var outer dxf.Handle
	inside := -1 // nesting depth of the recognised symbol that the reading is in
	for i := range r.s.Inserts {
		in := &r.s.Inserts[i]
		depth := len(in.Path)
		if depth == 0 {
			outer = in.Handle
		}
		if inside >= 0 && depth <= inside {
			inside = -1
		}
		if r.insert(i, outer, inside >= 0) && inside < 0 {
			inside = depth
		}
	}
}

// insert recognises one insert, if a rule explains it.
func (r *reader) insert(i int, outer dxf.Handle, inside bool) bool {
	in := &r.s.Inserts[i]
	s := symbolOf(in)
	if r.landmark(i, outer, s) {
		return true
	}
	rule := r.rules.classify(s)
	if rule < 0 && inside {
		return false
	}
	d := r.device(i, outer, s)
	if !r.claims(&d, in.Paper) {
		return rule >= 0
	}
	d.Reason = r.exclusion(d, shown{in.Visible, in.Paper, in.Style})
	if rule < 0 {
		if d.Reason == "" && !r.xref(in) {
			r.other = append(r.other, candidate{d, in.Block})
		}
		return false
	}
	d.Type, d.Status = r.t.req.Types[r.t.rules[rule].typ].Type, Counted
	d.rule, d.block = rule, in.Block
	r.drawn[in.Block] = true
	for _, b := range in.Path {
		r.holds[b] = true
	}
	if inside && d.Reason == "" {
		d.Reason = Duplicate
		r.find(Finding{Code: codeNearby, Severity: Warning, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true,
			Message: "block " + d.Block + " is drawn inside the symbol of another device and counts as part of it"})
	}
	if d.Reason != "" {
		d.Status = Excluded
	}
	r.out.devices = append(r.out.devices, d)
	return true
}

// xref reports whether an insert stands for another drawing: the reader has said so already.
func (r *reader) xref(in *dxf.Insert) bool {
	b, ok := r.s.Drawing.Block(in.Block)
	return ok && b.Xref()
}

func symbolOf(in *dxf.Insert) words.Symbol {
	s := words.Symbol{Block: in.Effective, Layer: in.EffLayer, Linetype: in.Style.Linetype, Color: in.Style.Color}
	if len(in.Attribs) > 0 {
		s.Attribs = make(map[string]string, len(in.Attribs))
		for _, a := range in.Attribs {
			s.Attribs[a.Tag] = a.Value
		}
	}
	return s
}

func (r *reader) device(i int, outer dxf.Handle, s words.Symbol) Device {
	in := &r.s.Inserts[i]
	at := plan.At(in.Pos)
	return Device{
		Level: r.level.Name, Drawing: r.plan.Drawing, Handle: outer.String(), Path: in.Path,
		Block: in.Effective, Layer: in.EffLayer, Attribs: s.Attribs,
		At: at, Rotation: in.Rotation, Symbol: r.s.Symbols[i], Pos: r.sheet.ToBuilding.Apply(at),
	}
}

// takeTexts recognises devices that are bare letters.
func (r *reader) takeTexts() {
	asked := false
	for _, ru := range r.t.rules {
		asked = asked || ru.Text != ""
	}
	if !asked {
		return
	}
	for i := range r.s.Texts {
		t := &r.s.Texts[i]
		if r.partOfSymbol(t.Path) {
			continue
		}
		rule := r.rules.classify(words.Symbol{Layer: t.EffLayer, Text: t.Text, Linetype: t.Style.Linetype, Color: t.Style.Color})
		if rule < 0 {
			continue
		}
		at := plan.At(t.Pos)
		d := Device{
			Type: r.t.req.Types[r.t.rules[rule].typ].Type, Status: Counted, Level: r.level.Name, Drawing: r.plan.Drawing,
			Handle: r.s.Outermost(t.Path, t.Handle, at).String(), Path: t.Path, Layer: t.EffLayer,
			At: at, Rotation: t.Rotation, Symbol: plan.TextBox(t), Pos: r.sheet.ToBuilding.Apply(at), form: recognize.Text,
		}
		if !r.claims(&d, t.Paper) {
			continue
		}
		if d.Reason = r.exclusion(d, shown{t.Visible, t.Paper, t.Style}); d.Reason != "" {
			d.Status = Excluded
		}
		r.out.devices = append(r.out.devices, d)
	}
}

// partOfSymbol reports whether something inside the blocks of path is drawn inside a device's symbol.
func (r *reader) partOfSymbol(path []string) bool {
	for _, b := range path {
		if r.drawn[b] {
			return true
		}
	}
	return false
}

// unexplained lists every symbol on a layer that the rules look at which no
// rule explains: a layer is looked at if a rule names it, or if a symbol that
// was recognised stands on it.
func (r *reader) unexplained() {
	looked := map[string]bool{}
	for _, d := range r.out.devices {
		if d.Reason != InLegend && d.Reason != OutOfRegion {
			looked[d.Layer] = true
		}
	}
	for _, c := range r.other {
		d := c.Device
		if r.holds[d.Block] || r.holds[c.block] || !looked[d.Layer] && !namedLayer(r.t.rules, d.Layer) {
			continue
		}
		d.Status, d.Reason = Excluded, Unknown
		r.out.devices = append(r.out.devices, d)
	}
}
