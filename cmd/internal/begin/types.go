package begin

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// kind is a device type with the blocks that show it.
type kind struct {
	device
	blocks []blockReason
}

type blockReason struct {
	block  string
	match  string    // the rule as it stands in the job file
	attrib [2]string // tag and value that it must have besides; "" for none
	why    string
	placed int
	hidden int
	height string // at which it is mounted as the drawings say, "" if they do not
	says   string // where they do
}

// use is a block in the plans of all drawings.
type use struct {
	name           string
	placed, hidden int
	layers         map[string]int
	values         map[string]map[string]int // of attributes: tag, value
}

// uses sums the blocks in plans by name.
func (d *draft) uses() []use {
	byName := map[string]*use{}
	for _, p := range d.look.Pages {
		for i := range p.Marks {
			m := &p.Marks[i]
			if m.Form != recognize.Block || d.look.PlanOf(m) < 0 {
				continue
			}
			key := strings.ToUpper(m.Name)
			u := byName[key]
			if u == nil {
				u = &use{name: m.Name, layers: map[string]int{}, values: map[string]map[string]int{}}
				byName[key] = u
			}
			if m.Visible {
				u.placed++
			} else {
				u.hidden++
			}
			u.layers[m.Layer]++
			for _, a := range m.Attribs {
				if u.values[a.Tag] == nil {
					u.values[a.Tag] = map[string]int{}
				}
				u.values[a.Tag][strings.ToUpper(strings.TrimSpace(a.Value))]++ // rules fold case too
			}
		}
	}
	var out []use
	for _, k := range slices.Sorted(maps.Keys(byName)) {
		out = append(out, *byName[k])
	}
	return out
}

// sort decides what each figure is: a device, the panel, a riser, something to ask
// about, or nothing of ours.
func (d *draft) sort() {
	kinds := kindSet{}
	devices, others := map[string]int{}, map[string]int{} // layers in plans, by what stands there
	for i := range d.look.Kinds {
		k := &d.look.Kinds[i]
		for l, n := range k.Layers {
			switch {
			case k.Ours:
				devices[l] += n
			case k.Concept != "":
				others[l] += n
			}
		}
	}
	known := map[string]bool{}
	for i := range d.look.Kinds {
		k := &d.look.Kinds[i]
		if k.Form == recognize.Block {
			known[strings.ToUpper(k.Name)] = true
		}
		if k.Count+k.Hidden > 0 || k.Text != "" && k.Form != recognize.Loose {
			d.kind(i, kinds, devices, others)
		}
	}
	d.unnamed(kinds, known, devices)
	for _, c := range catalogue {
		if k := kinds[c.Type]; k != nil {
			d.kinds = append(d.kinds, *k)
			delete(kinds, c.Type)
		}
	}
	for _, t := range slices.Sorted(maps.Keys(kinds)) {
		d.kinds = append(d.kinds, *kinds[t])
	}
	d.splitFirst()
}

// splitFirst puts the types that take some inserts of a block by an attribute before
// the one that takes its others: the first rule that fits decides.
func (d *draft) splitFirst() {
	whole := map[string]bool{}
	for _, k := range d.kinds {
		for _, b := range k.blocks {
			if b.attrib[0] == "" {
				whole[strings.ToUpper(b.block)] = true
			}
		}
	}
	slices.SortStableFunc(d.kinds, func(a, b kind) int {
		split := func(k kind) int {
			if slices.ContainsFunc(k.blocks, func(b blockReason) bool { return b.attrib[0] != "" && whole[strings.ToUpper(b.block)] }) {
				return 0
			}
			return 1
		}
		return split(a) - split(b)
	})
}

// kind files what was recognised: rule i.
func (d *draft) kind(i int, kinds kindSet, devices, others map[string]int) {
	k := &d.look.Kinds[i]
	row := blockReason{block: k.Name, placed: k.Count, hidden: k.Hidden, why: fmt.Sprintf("the legend calls it %q", k.Text)}
	if k.Text == "" {
		row.why = "as its name suggests: no legend explains it"
	}
	row.height, row.says = d.mountings(i)
	if k.Tag != "" {
		row.attrib = [2]string{k.Tag, k.Value}
	}
	switch k.Form {
	case recognize.Text:
		row.match = fmt.Sprintf("{text: %s}", quoted(k.Name))
	case recognize.Loose:
		row.match = d.sample(k)
		row.why = fmt.Sprintf("a figure that is not a block; the legend calls it %q", k.Text)
	default:
		row.match = fmt.Sprintf("{block: %s%s}", quoted(k.Name), attribOf(row.attrib))
	}
	switch dev, ok := deviceOf(k.Concept); {
	case k.Concept == panelConcept:
		d.fates[i] = fate{what: recognize.FateLandmark}
		d.thePanel(i)
	case k.Concept == riserConcept:
		d.fates[i] = fate{what: recognize.FateLandmark}
		if k.Form == recognize.Block {
			d.risers = append(d.risers, k.Name)
		}
	case ok:
		d.fates[i] = fate{dev.Type, recognize.FateCounted}
		kinds.add(dev, row)
	case k.Text == "" && k.Concept == "":
		d.fates[i] = fate{what: asked}
		d.ask = append(d.ask, ask{block: k.Name, attrib: row.attrib, placed: k.Count + k.Hidden, layers: slices.Sorted(maps.Keys(k.Layers))})
	case k.Concept.Group() == "other":
		if k.Count > 0 {
			d.notOurs = append(d.notOurs, fmt.Sprintf("%s   # %d placed: %s", row.match, k.Count, notOurs(k)))
		}
	case k.Text != "" && k.Count+k.Hidden > 0:
		// Words that are not known count where devices alone stand.
		sure := len(k.Layers) > 0
		for l := range k.Layers {
			sure = sure && devices[l] > 0 && others[l] == 0
		}
		if sure {
			d.fates[i] = fate{k.Text, recognize.FateCounted}
			kinds.add(named(k.Text), row)
			return
		}
		d.fates[i] = fate{what: asked}
		d.figures = append(d.figures, fmt.Sprintf("- {type: ?, match: [%s]}   # %d on %s; the legend calls it %q: say what it is",
			row.match, k.Count+k.Hidden, strings.Join(slices.Sorted(maps.Keys(k.Layers)), ", "), k.Text))
	}
}

func notOurs(k *recognize.Kind) string {
	if k.Text != "" {
		return fmt.Sprintf("the legend calls it %q, which is not a fire alarm device", k.Text)
	}
	return "its name says it is not a fire alarm device"
}

// thePanel takes the first panel that stands in a plan.
func (d *draft) thePanel(i int) {
	k := &d.look.Kinds[i]
	if k.Count == 0 || d.panel != "" || d.panelAt != "" {
		return
	}
	if k.Form == recognize.Block && k.Tag == "" {
		d.panel = k.Name
		return
	}
	if k.Form == recognize.Block {
		d.panel, d.panelAttrib = k.Name, [2]string{k.Tag, k.Value}
		return
	}
	for _, f := range d.look.Figures {
		if f.Kind == i && f.Plan >= 0 && f.Visible && f.Status == "" {
			d.panelAt = fmt.Sprintf("at: {level: %s, point: [%s, %s]}   # the first of %d figures that the legend calls %q",
				quoted(d.look.Plans[f.Plan].Name), num(tidy(f.At.X)), num(tidy(f.At.Y)), k.Count, k.Text)
			return
		}
	}
}

// sample writes the match that finds a loose figure.
func (d *draft) sample(k *recognize.Kind) string {
	at := k.Sample.At
	out := fmt.Sprintf("{sample: [%s, %s], drawing: %s", num(tidy(at.X)), num(tidy(at.Y)), quoted(d.sheets[k.Sample.Page].name))
	if k.Sample.Paper {
		out += ", space: paper"
	}
	if k.Figure != nil && k.Figure.Size > 0 {
		out += ", size: " + num(tidy(k.Figure.Size))
	}
	if k.Scale != 1 && k.Scale != 0 {
		out += ", scale: " + num(k.Scale)
	}
	return out + "}"
}

// unnamed asks about blocks that nothing explains and that stand where devices do,
// and reads those whose attributes tell types apart.
func (d *draft) unnamed(kinds kindSet, known map[string]bool, devices map[string]int) {
	for _, u := range d.uses() {
		if known[strings.ToUpper(u.name)] {
			continue
		}
		ours := false
		for l := range u.layers {
			ours = ours || devices[l] > 0 || words.IsAlarm(l)
		}
		if !ours && u.placed > 0 {
			d.others = append(d.others, u)
		}
		if !ours || u.placed+u.hidden == 0 || d.building(u.name) {
			continue
		}
		d.addDevice(u, kinds)
	}
}

// building reports whether a block's name says that it is part of the building, or furniture.
func (d *draft) building(name string) bool {
	for _, r := range words.Usual().ReadName(name, d.look.Languages, "draw", "room") {
		switch r.Concept {
		case "draw.door", "draw.window", "draw.wall", "draw.furniture", "draw.column", "draw.grid", "draw.stair":
			return true
		}
	}
	return false
}

// addDevice files a block by the attribute that tells its kinds apart, or among what must be asked.
func (d *draft) addDevice(u use, kinds kindSet) {
	tag := u.tellingTag()
	if tag == "" {
		d.askOf(ask{block: u.name, placed: u.placed + u.hidden, layers: slices.Sorted(maps.Keys(u.layers))})
		return
	}
	rest := u.placed + u.hidden
	defer func() {
		if rest > 0 { // those in which the attribute says nothing
			d.askOf(ask{block: u.name, placed: rest, layers: slices.Sorted(maps.Keys(u.layers))})
		}
	}()
	for _, v := range slices.Sorted(maps.Keys(u.values[tag])) {
		n := u.values[tag][v]
		rest -= n
		r, ok := words.Usual().Device(v, d.look.Languages)
		if !ok && len(v) > 1 { // one letter means what the drawing's maker likes
			r, ok = words.Usual().DeviceName(v, d.look.Languages)
		}
		dev, known := deviceOf(r.Concept)
		if ok && known && len(v) > 1 {
			d.named[nameKey(u.name, [2]string{tag, v})] = fate{dev.Type, recognize.FateCounted}
			kinds.add(dev, blockReason{block: u.name, attrib: [2]string{tag, v}, why: "as the attribute's value suggests", placed: n,
				match: fmt.Sprintf("{block: %s%s}", quoted(u.name), attribOf([2]string{tag, v}))})
		} else {
			d.askOf(ask{block: u.name, attrib: [2]string{tag, v}, placed: n, layers: slices.Sorted(maps.Keys(u.layers))})
		}
	}
}

// askOf puts a block among what must be asked.
func (d *draft) askOf(a ask) {
	d.ask = append(d.ask, a)
	d.named[nameKey(a.block, a.attrib)] = fate{what: asked}
}

// kindSet are the types found so far, by name.
type kindSet map[string]*kind

func (ks kindSet) add(dev device, b blockReason) {
	k := ks[dev.Type]
	if k == nil {
		k = &kind{device: dev}
		ks[dev.Type] = k
	}
	k.blocks = append(k.blocks, b)
}

// mostKinds is how many values of an attribute may stand for types: beyond that
// they are numbers, places or remarks.
const mostKinds = 12

// tellingTag is the attribute whose values divide a block into types: a few
// values, each used more than once on the whole. "" if there is none.
func (u use) tellingTag() string {
	best, most := "", 1
	for _, tag := range slices.Sorted(maps.Keys(u.values)) {
		vs := u.values[tag]
		sum, named := 0, 0
		for v, n := range vs {
			if strings.IndexFunc(v, unicode.IsLetter) >= 0 {
				named++
				sum += n
			}
		}
		if named > most && len(vs) <= mostKinds && 2*named <= sum {
			best, most = tag, named
		}
	}
	return best
}
