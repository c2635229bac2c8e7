package recognize

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Remark is why some figures are no new work of this contractor.
type Remark struct {
	Plan   int
	Status string // demolition, existing or others
	Layer  string // one of layer, attribute, look and text is given
	Tag    string
	Value  string
	// Of how the figures themselves are drawn; "" and 0 for none.
	Linetype string
	Color    int
	Text     string
	Count    int
	Why      string // of a look: what tells its meaning; "" if nothing does
}

// remarkReach is how far in h from a figure a remark about it stands.
const remarkReach = 4.0

// statusOf is what a concept says about who builds something.
func statusOf(c words.Concept) string {
	switch c {
	case "status.demolition", "status.relocate":
		return "demolition"
	case "status.existing":
		return "existing"
	case "status.by_others":
		return "others"
	}
	return ""
}

// remark tells what a text says about who builds something, if it says little else.
func (rd *reader) remark(text string, name bool) string {
	rs := rd.v.Read(text, rd.languages, "status")
	if name {
		rs = rd.v.ReadName(text, rd.languages, "status")
	}
	if room := rd.v.Read(text, rd.languages, "room"); !name && len(room) > 0 && room[0].Evidence == words.Named && (len(rs) == 0 || rs[0].Letters <= room[0].Letters) {
		return ""
	}
	n := 0
	for _, c := range text {
		if unicode.IsLetter(c) {
			n++
		}
	}
	for _, d := range rs {
		said := d.Letters
		if c := []rune(d.Word); len(c) > 0 && c[0] > 0x2e80 { // a sign counts as two letters there
			said /= 2
		}
		whole := d.Evidence < words.Shortened || d.Evidence == words.Abbreviated && d.Letters >= 3 && (name || said >= n)
		if s := statusOf(d.Concept); s != "" && whole && d.Letters >= 2 && (name && d.Letters >= 3 || !name && 2*said >= n) {
			return s
		}
	}
	return ""
}

// statuses tells which figures are to be removed, stand already, or are somebody else's:
// by the name of the layer, by an attribute, or by a remark beside the figure.
func (r *Result) statuses(rd *reader) {
	layers := map[string]string{}
	type key struct {
		plan                     int
		status, layer, tag, text string
		look                     dxf.Style
	}
	count := map[key]int{}
	var order []key
	note := func(k key) {
		if count[k] == 0 {
			order = append(order, k)
		}
		count[k]++
	}
	for i := range r.Figures {
		f := &r.Figures[i]
		if f.Plan < 0 || !r.Kinds[f.Kind].Ours {
			continue
		}
		s, ok := layers[f.Layer]
		if !ok {
			s = rd.remark(words.Unprefixed(f.Layer), true)
			layers[f.Layer] = s
		}
		if s != "" {
			f.Status = s
			note(key{plan: f.Plan, status: s, layer: f.Layer})
			continue
		}
		for _, a := range f.Attribs {
			if s := rd.remark(a.Value, false); s != "" {
				f.Status = s
				note(key{plan: f.Plan, status: s, tag: a.Tag, text: strings.TrimSpace(a.Value)})
				break
			}
		}
	}
	for i, p := range r.Pages {
		r.remarks(rd, i, p, func(plan int, status, text string) { note(key{plan: plan, status: status, text: text}) })
	}
	status, why := r.meant(rd)
	for i, look := range r.looks() {
		if look != (dxf.Style{}) {
			f := &r.Figures[i]
			f.Status = status
			note(key{plan: f.Plan, status: status, look: look})
		}
	}
	for _, k := range order {
		m := Remark{Plan: k.plan, Status: k.status, Layer: k.layer, Tag: k.tag, Text: k.text, Linetype: k.look.Linetype, Color: k.look.Color, Count: count[k]}
		if k.look != (dxf.Style{}) {
			m.Why = why
		}
		if k.tag != "" {
			m.Value, m.Text = k.text, ""
		}
		r.Remarks = append(r.Remarks, m)
	}
}

// Aside is a layer on which few devices stand, with symbols that stand elsewhere too: what is
// existing or to be removed may be told by its layer alone, and only a person knows.
type Aside struct {
	Plan  int
	Layer string
	Count int
	Of    int    // devices in all
	Usual string // layer on which most devices stand
}

// fewAside is the share of the devices that stand on such a layer at most.
const fewAside = 0.2

// Asides lists the layers that must be asked about, plan by plan.
func (r *Result) Asides() []Aside {
	onLayer := map[string]map[int]int{} // kinds by layer
	all := 0
	for i := range r.Figures {
		if f := &r.Figures[i]; f.Plan >= 0 && f.Visible && r.Kinds[f.Kind].Ours && f.Status == "" {
			if onLayer[f.Layer] == nil {
				onLayer[f.Layer] = map[int]int{}
			}
			onLayer[f.Layer][f.Kind]++
			all++
		}
	}
	usual, most := "", 0
	sum := map[string]int{}
	for _, l := range slices.Sorted(maps.Keys(onLayer)) {
		for _, n := range onLayer[l] {
			sum[l] += n
		}
		if sum[l] > most {
			usual, most = l, sum[l]
		}
	}
	var out []Aside
	for _, l := range slices.Sorted(maps.Keys(onLayer)) {
		alike := l != usual && float64(sum[l]) <= fewAside*float64(all)
		for k := range onLayer[l] {
			alike = alike && onLayer[usual][k] > onLayer[l][k]
		}
		if !alike {
			continue
		}
		in := map[int]int{}
		for i := range r.Figures {
			if f := &r.Figures[i]; f.Plan >= 0 && f.Visible && r.Kinds[f.Kind].Ours && f.Status == "" && f.Layer == l {
				in[f.Plan]++
			}
		}
		for _, p := range slices.Sorted(maps.Keys(in)) {
			out = append(out, Aside{Plan: p, Layer: l, Count: in[p], Of: all, Usual: usual})
		}
	}
	return out
}

// fewLooks is the share of the devices that may be drawn dashed or grey for it to mean something.
const fewLooks = 0.25

// looks tells by figure in what look of its own it is drawn, if few devices are drawn
// so while the others are not: a linetype, or a grey.
func (r *Result) looks() []dxf.Style {
	out := make([]dxf.Style, len(r.Figures))
	n := map[dxf.Style]int{}
	all := 0
	for i := range r.Figures {
		f := &r.Figures[i]
		if f.Plan < 0 || !f.Visible || !r.Kinds[f.Kind].Ours {
			continue
		}
		all++
		if f.Status != "" {
			continue
		}
		switch {
		case f.Style.Linetype != "" && !strings.EqualFold(f.Style.Linetype, "CONTINUOUS"):
			out[i] = dxf.Style{Linetype: f.Style.Linetype}
		case f.Style.Gray():
			out[i] = dxf.Style{Color: f.Style.Color}
		}
		n[out[i]]++
	}
	for i, s := range out {
		if float64(n[s]) > fewLooks*float64(all) {
			out[i] = dxf.Style{}
		}
	}
	return out
}

// meant is what the drawings say of who builds what is drawn otherwise: by the one
// status that notes and legends name; existing work where they name none or several.
func (r *Result) meant(rd *reader) (status, why string) {
	said := map[string]string{}
	for _, p := range r.Pages {
		for i := range p.lines {
			l := &p.lines[i]
			if len([]rune(l.text)) > 60 {
				continue
			}
			for _, d := range rd.v.Read(l.text, rd.languages, "status") {
				if s := statusOf(d.Concept); s != "" && d.Evidence < words.Shortened && d.Letters >= 4 && said[s] == "" {
					said[s] = l.text
				}
			}
		}
	}
	if len(said) == 1 {
		for s, text := range said {
			return s, "a note reads " + strconv.Quote(text)
		}
	}
	return "existing", ""
}

// Note is a remark about some figure.
type Note struct {
	Text string
	At   geom.Point // where the lettering begins, drawing units
	Box  geom.Box
	Turn float64 // whole degrees
}

// NoteOf is a text as a remark.
func NoteOf(t *dxf.Text) Note {
	return Note{strings.Join(strings.Fields(t.Text), " "), plane(t.Pos), textBox(t), math.Mod(math.Round(t.Rotation), 360)}
}

// leastVotes is how many remarks must stand at one offset for it to tell.
const leastVotes = 3

// Belong gives each remark to a figure near it, -1 where none is; h is the ruler. Remarks of one office
// stand at one offset from their figures: that which most remarks share decides, then the nearest.
func Belong(h float64, notes []Note, figures []geom.Box) []int {
	var tree rtree.RTreeG[int]
	for i, b := range figures {
		tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	type near struct {
		figure int
		cell   [2]int
		off    float64
	}
	votes := map[[2]int]int{}
	all := make([][]near, len(notes))
	for k, n := range notes {
		g := n.Box.Grow(remarkReach * h)
		tree.Search([2]float64{g.Min.X, g.Min.Y}, [2]float64{g.Max.X, g.Max.Y}, func(_, _ [2]float64, j int) bool {
			v := figures[j].Center().Sub(n.At).Turn(-n.Turn)
			all[k] = append(all[k], near{j, [2]int{int(math.Round(v.X / h)), int(math.Round(v.Y / h))}, apart(n.Box, figures[j]) + 0.01*v.Len()})
			return true
		})
		slices.SortFunc(all[k], func(a, b near) int { return a.figure - b.figure })
		for _, n := range all[k] {
			votes[n.cell]++
		}
	}
	around := func(c [2]int) int {
		n := 0
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				n += votes[[2]int{c[0] + dx, c[1] + dy}]
			}
		}
		return n
	}
	out := make([]int, len(notes))
	for k := range notes {
		best, most, off := -1, 0, math.Inf(1)
		for _, n := range all[k] {
			v := around(n.cell)
			if v < leastVotes {
				v = 1
			}
			if v > most || v == most && n.off < off {
				best, most, off = n.figure, v, n.off
			}
		}
		out[k] = best
	}
	return out
}

// remarks gives each remark of a page to the figure that it is about.
func (r *Result) remarks(rd *reader, page int, p *Page, note func(plan int, status, text string)) {
	var boxes []geom.Box
	var of []int
	for i := range r.Figures {
		if f := &r.Figures[i]; f.Page == page && f.Plan >= 0 {
			boxes, of = append(boxes, f.Box), append(of, i)
		}
	}
	if len(boxes) == 0 {
		return
	}
	says := map[string]string{}
	var notes []Note
	for i := range p.Texts {
		t := &p.Texts[i]
		if t.Paper || !t.Visible || t.Height <= 0 || len(t.Text) > 120 || p.inFigure(t.Path) {
			continue
		}
		n := NoteOf(t)
		s, ok := says[n.Text]
		if !ok {
			s = rd.remark(n.Text, false)
			says[n.Text] = s
		}
		if s != "" {
			notes = append(notes, n)
		}
	}
	for k, j := range Belong(p.H[0], notes, boxes) {
		if j < 0 {
			continue
		}
		f := &r.Figures[of[j]]
		if r.Kinds[f.Kind].Ours && f.Status == "" {
			f.Status = says[notes[k].Text]
			note(f.Plan, f.Status, notes[k].Text)
		}
	}
}

// apart is the distance between two boxes, 0 where they meet.
func apart(a, b geom.Box) float64 {
	return math.Hypot(max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, 0), max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y, 0))
}

// Rules lists the remarks of a plan with one status.
func (r *Result) Rules(plan int, status string) []Remark {
	return slices.DeleteFunc(slices.Clone(r.Remarks), func(m Remark) bool { return m.Plan != plan || m.Status != status })
}
