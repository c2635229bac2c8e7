package begin

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/recognize"
)

// asked is what becomes of a figure in the account of a draft that asks about it.
const asked = "asked"

// fate says what the draft makes of a kind of figures: the type that it proposes, or asked,
// or recognize.FateLandmark; "" for nothing.
type fate struct{ typ, what string }

// nameKey is a block, or those of its inserts that have an attribute of a value.
func nameKey(block string, attrib [2]string) string {
	return strings.ToUpper(strings.Join([]string{block, attrib[0], attrib[1]}, "\x00"))
}

// accountFor makes the account of each drawing: what of it the draft proposes, leaves out
// or asks about, and what nothing explains.
func (d *draft) accountFor() {
	for i, p := range d.look.Pages {
		known := d.look.OtherTrades(i)
		for k := range d.look.Figures {
			f := &d.look.Figures[k]
			if f.Page != i {
				continue
			}
			n := recognize.Known{Form: f.Form, Name: f.Name, At: f.At, Box: f.Box, Call: d.look.Kinds[f.Kind].Text}
			made := d.fates[f.Kind]
			if made.what == "" {
				continue
			}
			n.Fate = d.becomes(f, made)
			known = append(known, n)
		}
		for k := range p.Marks {
			m := &p.Marks[k]
			made, ok := d.fateOf(m)
			if m.Form != recognize.Block || !ok {
				continue
			}
			f := recognize.Figure{Mark: *m, Plan: d.look.PlanOf(m)}
			known = append(known, recognize.Known{Form: m.Form, Name: m.Name, At: m.At, Box: m.Box, Fate: d.becomes(&f, made)})
		}
		rows := d.look.Account(i, known)
		for k := range rows {
			rows[k].Drawing = d.sheets[i].name
			d.question(&rows[k], rows)
		}
		d.account = append(d.account, rows...)
	}
}

// fateOf is what the draft makes of a block that no kind stands for.
func (d *draft) fateOf(m *recognize.Mark) (fate, bool) {
	for _, a := range m.Attribs {
		if f, ok := d.named[nameKey(m.Name, [2]string{a.Tag, strings.TrimSpace(a.Value)})]; ok {
			return f, true
		}
	}
	f, ok := d.named[nameKey(m.Name, [2]string{})]
	return f, ok
}

// becomes is what becomes of one figure of a kind, as a build of the draft will say.
func (d *draft) becomes(f *recognize.Figure, made fate) string {
	switch {
	case f.Paper:
		return string(takeoff.OnPaper)
	case d.look.InLegend(&f.Mark):
		return string(takeoff.InLegend)
	case made.what == asked:
		return asked
	}
	if !f.Visible && made.typ != "" {
		d.hide(f, made.typ)
	}
	switch {
	case f.Plan < 0:
		if made.typ != "" && !recognize.InRegion(d.sheets[f.Page].Regions, f.Box.Center()) {
			d.outside(f, made.typ)
		}
		return string(takeoff.OutOfRegion)
	case !f.Visible:
		return string(takeoff.HiddenLayer)
	case f.Status != "":
		return f.Status
	}
	return made.what
}

// hide notes a device that cannot be seen.
func (d *draft) hide(f *recognize.Figure, typ string) {
	if d.hidden == nil {
		d.hidden = map[int]*hidden{}
	}
	h := d.hidden[f.Page]
	if h == nil {
		h = &hidden{map[string]int{}, map[string]bool{}}
		d.hidden[f.Page] = h
	}
	h.types[typ]++
	h.layers[f.Layer] = true
}

// outside notes a device that stands in no plan, and in no part that is known to be none.
func (d *draft) outside(f *recognize.Figure, typ string) {
	if d.apart == nil {
		d.apart = map[int]*apart{}
	}
	a := d.apart[f.Page]
	if a == nil {
		a = &apart{types: map[string]int{}, first: f.At}
		d.apart[f.Page] = a
	}
	a.types[typ]++
}

// apart are the devices of a drawing that stand in none of its plans, by type.
type apart struct {
	types map[string]int
	first geom.Point
}

// hidden are the devices of a drawing that cannot be seen, by type, and their layers.
type hidden struct {
	types  map[string]int
	layers map[string]bool
}

// question asks about a loose figure or text that repeats where devices stand. A text that
// stands in loose figures too is not asked about: a rule on it would take those as well.
func (d *draft) question(a *recognize.AccountRow, all []recognize.AccountRow) {
	inside := func(o recognize.AccountRow) bool { return o.Letters != "" && strings.EqualFold(o.Letters, a.Name) }
	if a.Form == recognize.Text.String() && slices.ContainsFunc(all, inside) {
		return
	}
	if !a.Unexplained() || !a.Ours || a.Rest < 2 || a.Form == recognize.Block.String() {
		return
	}
	match := fmt.Sprintf("{text: %s}", quoted(a.Name))
	what := "a text"
	if a.Form == recognize.Loose.String() {
		match = fmt.Sprintf("{sample: [%s, %s], drawing: %s}", num(tidy(a.X)), num(tidy(a.Y)), quoted(a.Drawing))
		what = "a figure that is not a block, " + a.Name
	}
	d.figures = append(d.figures, fmt.Sprintf("- {type: ?, match: [%s]}   # %s, %d on %s, layer %s: say what it is", match, what, a.Rest, a.Drawing, a.Layer))
	a.Out[asked], a.Rest = a.Rest, 0
}

// mostListed is how many unexplained figures a draft lists.
const mostListed = 40

// accountRows writes the account: a sum for each drawing, and what is unexplained.
func (d *draft) accountRows(w *writer) {
	w.line("")
	w.note("", "The account: every block, every loose figure and every short text that repeats, once, and what this draft makes of it. Of what it proposes, a build counts copies on one spot and what two sheets show once.")
	var open []recognize.AccountRow
	for _, s := range d.sheets {
		var sum recognize.AccountRow
		sum.Out = map[string]int{}
		explained, unexplained := 0, 0
		for _, a := range d.account {
			if a.Drawing != s.name {
				continue
			}
			sum.Placed, sum.Counted, sum.Landmark = sum.Placed+a.Placed, sum.Counted+a.Counted, sum.Landmark+a.Landmark
			for k, n := range a.Out {
				sum.Out[k] += n
			}
			if a.Unexplained() {
				unexplained += a.Rest
				open = append(open, a)
			} else {
				explained += a.Rest
			}
		}
		out := 0
		var why []string
		for _, k := range slices.Sorted(maps.Keys(sum.Out)) {
			if k != asked {
				out += sum.Out[k]
				why = append(why, fmt.Sprintf("%s %d", k, sum.Out[k]))
			}
		}
		left := fmt.Sprintf("%d left out", out)
		if out > 0 {
			left += " (" + strings.Join(why, ", ") + ")"
		}
		w.line("# %s: %d placed = %d proposed + %s + %d panels and risers + %d asked about + %d building, furniture, sheet or another trade's + %d unexplained",
			s.name, sum.Placed, sum.Counted, left, sum.Landmark, sum.Out[asked], explained, unexplained)
	}
	if len(open) == 0 {
		return
	}
	w.line("# Unexplained, and counted nowhere:")
	slices.SortStableFunc(open, func(a, b recognize.AccountRow) int { return b.Rest - a.Rest })
	rest := 0
	for i, a := range open {
		if i >= mostListed {
			rest += a.Rest
			continue
		}
		w.line("#   %s %s: %d on %s, the first at %s, %s, layer %s", a.Form, quoted(a.Name), a.Rest, a.Drawing, num(tidy(a.X)), num(tidy(a.Y)), a.Layer)
	}
	if rest > 0 {
		w.line("#   and %d more kinds, %d in all: a build lists each with its picture on the workbook's sheet Account", len(open)-mostListed, rest)
	}
}

// numbered lists types with their numbers.
func numbered(types map[string]int) string {
	var parts []string
	for _, t := range slices.Sorted(maps.Keys(types)) {
		parts = append(parts, fmt.Sprintf("%d %s", types[t], t))
	}
	return strings.Join(parts, ", ")
}

// openApart says which devices stand in no plan and so do not count.
func (d *draft) openApart() []string {
	var out []string
	for i, s := range d.sheets {
		if a := d.apart[i]; a != nil {
			out = append(out, fmt.Sprintf("%s: symbols of devices outside every plan do not count: %s, the first at %s, %s; if they stand in a plan, widen its region",
				s.name, numbered(a.types), num(tidy(a.first.X)), num(tidy(a.first.Y))))
		}
	}
	return out
}

// openHidden says which devices cannot be seen and so do not count.
func (d *draft) openHidden() []string {
	var out []string
	for i, s := range d.sheets {
		if h := d.hidden[i]; h != nil {
			out = append(out, fmt.Sprintf("%s: devices on layers that are off or frozen (%s) do not count: %s; if they are meant, write hidden: count in its row under plans",
				s.name, strings.Join(slices.Sorted(maps.Keys(h.layers)), ", "), numbered(h.types)))
		}
		var blocks []string
		for _, a := range d.account {
			if a.Drawing == s.name && a.Hidden > 0 && a.Ours && a.Hidden > a.Out[string(takeoff.HiddenLayer)] && a.Rest+a.Out[asked] > 0 {
				blocks = append(blocks, fmt.Sprintf("%d %s %s", a.Hidden, a.Form, quoted(a.Name)))
			}
		}
		if len(blocks) > 0 {
			out = append(out, fmt.Sprintf("%s: symbols on fire alarm layers that are off or frozen, and that nothing explains: %s", s.name, strings.Join(blocks, ", ")))
		}
	}
	return out
}
