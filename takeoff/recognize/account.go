package recognize

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// AccountRow says what became of one figure of a drawing: a block, loose linework or a
// short text that repeats. All its places belong to exactly one of: counted, left out
// for a reason, landmarks, and the rest, which is explained by Is or by nothing.
type AccountRow struct {
	Drawing  string         `json:"drawing"`
	Form     string         `json:"form"` // block, figure or text
	Name     string         `json:"name"`
	Placed   int            `json:"placed"`           // in model space and paper space
	Hidden   int            `json:"hidden,omitempty"` // of those placed: on layers that are off or frozen, or invisible
	Counted  int            `json:"counted"`
	Out      map[string]int `json:"left_out,omitempty"`
	Landmark int            `json:"landmarks,omitempty"` // panels and risers
	Rest     int            `json:"rest,omitempty"`
	// Is says what the rest is where something tells: furniture, building, sheet, lettering, or another
	// trade's; "" where nothing does.
	Is string `json:"is,omitempty"`
	// X and Y are a place of the rest, or of the figure where there is no rest; drawing units.
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Layer  string  `json:"layer,omitempty"` // of the figure there
	Sketch *Sketch `json:"-"`               // of a figure that is unexplained; nil for others
	// Letters are those inside a loose figure.
	Letters string `json:"-"`
	// Ours says that some of the rest stands on a layer of fire alarm work, or on one where devices stand.
	Ours   bool            `json:"-"`
	box    geom.Box        // around the figure there
	layers map[string]bool // of the rest
}

// Unexplained reports whether something of a row stands for nothing that is known.
func (a *AccountRow) Unexplained() bool { return a.Rest > 0 && a.Is == "" }

// What became of a figure, besides the reasons for which it is left out.
const (
	FateCounted  = "counted"
	FateLandmark = "landmark"
)

// Known is a figure of which it was decided what becomes of it; without a name it is
// the figure that stands at a place, if any does.
type Known struct {
	Form Form
	Name string // of the block
	At   geom.Point
	Box  geom.Box
	Fate string // FateCounted, FateLandmark, or why it is left out; "" for what is none of ours
	Is   string // what it is if it is none of ours
	Call string // its row, where it is no figure of its own
}

// OtherTrades are the figures of a page that are known to be another trade's.
func (r *Result) OtherTrades(page int) []Known {
	var out []Known
	for i := range r.Figures {
		f := &r.Figures[i]
		if k := &r.Kinds[f.Kind]; f.Page == page && k.Concept.Group() == "other" {
			out = append(out, Known{Form: f.Form, Name: f.Name, At: f.At, Box: f.Box, Call: k.Text, Is: "another trade's"})
		}
	}
	return out
}

// Account makes the account of a page: every block that is a figure, every loose figure
// and every short text that repeats, and all that is known, each place in exactly one
// row and there under exactly one head. Samples of the legends and what stands in paper
// space are left out as such. The rows that matter most stand first.
func (r *Result) Account(page int, known []Known) []AccountRow {
	return r.Pages[page].account(page, known, r.InLegend, r.words)
}

func (p *Page) account(page int, known []Known, inLegend func(*Mark) bool, rd *reader) []AccountRow {
	a := accountant{p: p, v: rd.v, languages: rd.languages, rows: map[string]*AccountRow{}, known: known, taken: make([]bool, len(known)), at: map[[2]int64][]int{},
		counted: map[string]int{}, rest: map[string]int{}}
	for i := range known {
		k := &known[i]
		a.at[spot(k.At)] = append(a.at[spot(k.At)], i)
		switch at := k.Box.Center(); {
		case k.Name+k.Call == "":
			a.places = append(a.places, i)
		case k.Form == Loose:
			a.loose.Insert([2]float64{at.X, at.Y}, [2]float64{at.X, at.Y}, i)
		}
	}
	loose, letters := p.repeats(page)
	for _, r := range loose {
		for _, m := range r.at {
			is := ""
			if r.door {
				is = "building"
			}
			a.add(&m, inLegend, is).Letters = r.letters
		}
	}
	a.bubbles(loose)
	for i := range p.Marks {
		m := &p.Marks[i]
		if m.Form == Text && m.Index >= 0 && len(p.Texts[m.Index].Path) == 0 && letters[p.Texts[m.Index].Offset] {
			continue // inside a loose figure
		}
		a.add(m, inLegend, "")
	}
	for i := range known {
		if k := &known[i]; !a.taken[i] && k.Fate != "" && k.Name+k.Call != "" {
			a.row(k.Form, cmp.Or(k.Name, k.Call), k.Is).put(&Mark{At: k.At, Box: k.Box, Visible: true}, k.Fate)
		}
	}
	return a.list()
}

// accountant makes one account.
type accountant struct {
	p             *Page
	v             *words.Vocabulary
	languages     []string
	rows          map[string]*AccountRow
	known         []Known
	taken         []bool
	at            map[[2]int64][]int
	places        []int             // of known, those without a name
	loose         rtree.RTreeG[int] // of known, by middle
	counted, rest map[string]int    // figures by layer
}

// spot is a place to the thousandth of a drawing unit.
func spot(p geom.Point) [2]int64 {
	return [2]int64{int64(math.Round(p.X * 1000)), int64(math.Round(p.Y * 1000))}
}

func (a *accountant) row(form Form, name, is string) *AccountRow {
	key := form.String() + "\x00" + strings.ToUpper(name)
	r := a.rows[key]
	if r == nil {
		r = &AccountRow{Drawing: a.p.Name, Form: form.String(), Name: name, Out: map[string]int{}, Is: is}
		a.rows[key] = r
	}
	return r
}

// add puts one figure into its row.
func (a *accountant) add(m *Mark, inLegend func(*Mark) bool, is string) *AccountRow {
	key := m.Form.String() + "\x00" + strings.ToUpper(m.Name)
	if a.rows[key] == nil {
		a.row(m.Form, m.Name, cmp.Or(is, a.whatIs(m)))
	}
	r := a.rows[key]
	fate := ""
	if k := a.find(m); k >= 0 && !a.taken[k] {
		a.taken[k] = true // copies on one spot are as many
		fate = a.known[k].Fate
		r.Is = cmp.Or(r.Is, a.known[k].Is)
	}
	if fate == "" {
		switch {
		case inLegend(m):
			fate = "legend"
		case m.Paper:
			fate = "paper"
		}
	}
	r.put(m, fate)
	switch fate {
	case FateCounted:
		a.counted[m.Layer]++
	case "":
		a.rest[m.Layer]++
		if r.layers == nil {
			r.layers = map[string]bool{}
		}
		r.layers[m.Layer] = true
	}
	return r
}

// put counts one place under the head that it belongs to.
func (r *AccountRow) put(m *Mark, fate string) {
	r.Placed++
	if !m.Visible {
		r.Hidden++
	}
	switch fate {
	case FateCounted:
		r.Counted++
	case FateLandmark:
		r.Landmark++
	case "":
		r.Rest++
	default:
		r.Out[fate]++
	}
	if r.Placed == 1 || fate == "" && r.Rest == 1 {
		r.X, r.Y, r.Layer, r.box = m.At.X, m.At.Y, m.Layer, m.Box
	}
}

// looseReach is the share of its size within which a loose figure is the one that is known there.
const looseReach = 0.35

// find is what is known of a figure, -1 if nothing.
func (a *accountant) find(m *Mark) int {
	if m.Form == Loose {
		best, off := -1, looseReach*side(m.Box)
		reach := off
		a.loose.Search([2]float64{m.At.X - reach, m.At.Y - reach}, [2]float64{m.At.X + reach, m.At.Y + reach}, func(_, _ [2]float64, i int) bool {
			if d := a.known[i].Box.Center().Dist(m.At); !a.taken[i] && (d < off || d == off && (best < 0 || i < best)) {
				best, off = i, d
			}
			return true
		})
		if best >= 0 {
			return best
		}
	}
	for _, i := range a.at[spot(m.At)] {
		k := &a.known[i]
		if !a.taken[i] && k.Form == m.Form && (m.Form == Text || strings.EqualFold(words.Unprefixed(k.Name), m.Name)) {
			return i
		}
	}
	for _, i := range a.places {
		if m.Box.Contains(a.known[i].At) {
			return i
		}
	}
	return -1
}

// bubbles marks what is the same circle around many different letters as grid bubbles or callouts.
func (a *accountant) bubbles(loose []repeat) {
	of := map[string][]*AccountRow{}
	for i := range loose {
		if r := &loose[i]; r.letters != "" && strings.HasPrefix(r.outline, "circle") {
			of[r.outline] = append(of[r.outline], a.row(Loose, r.name, ""))
		}
	}
	for _, rows := range of {
		few := 0
		for _, r := range rows {
			if r.Placed <= leastOfLetters && r.Rest == r.Placed {
				few++
			}
		}
		if few >= 3 && 4*few >= 3*len(rows) {
			for _, r := range rows {
				if r.Placed <= leastOfLetters && r.Is == "" {
					r.Is = "sheet"
				}
			}
		}
	}
}

// list is the account in order, with the sketches of what is unexplained.
func (a *accountant) list() []AccountRow {
	var out []AccountRow
	var sketches []*Sketch
	for _, key := range slices.Sorted(maps.Keys(a.rows)) {
		r := a.rows[key]
		if r.Form == Text.String() && r.Counted+r.Landmark+len(r.Out) == 0 && (r.Placed < leastRepeats || r.Is != "") {
			continue // lettering, not a figure
		}
		if r.Form == Text.String() && r.Rest > 0 && r.Rest < leastRepeats && r.Is == "" {
			r.Is = "lettering"
		}
		for l := range r.layers {
			r.Ours = r.Ours || a.alarm(l) || a.counted[l] > 0 && a.counted[l] >= a.rest[l]
		}
		if r.Form == Loose.String() && r.Ours && r.Is != "building" { // its first layer tells less
			r.Is = ""
		}
		if r.Unexplained() {
			r.Sketch = newSketch(r.box, a.p.H[0])
			sketches = append(sketches, r.Sketch)
		}
		out = append(out, *r)
	}
	a.p.draw(sketches)
	slices.SortStableFunc(out, func(a, b AccountRow) int {
		return cmp.Or(-boolCompare(a.Unexplained(), b.Unexplained()), -boolCompare(a.Unexplained() && a.Ours, b.Unexplained() && b.Ours), cmp.Compare(b.Placed, a.Placed))
	})
	return out
}

// alarm reports whether a layer is named as one of fire alarm work.
func (a *accountant) alarm(layer string) bool {
	return words.IsAlarm(layer) || slices.ContainsFunc(a.v.ReadName(layer, a.languages, "draw"), func(r words.Reading) bool { return r.Concept == "draw.fire_alarm_layer" })
}

// whatIs says by its name what a figure is if it is not a device.
func (a *accountant) whatIs(m *Mark) string {
	if m.Form == Text {
		if !lettered(m.Name) || len(a.v.Read(m.Name, a.languages, "room", "level", "title", "scale", "draw")) > 0 {
			return "lettering"
		}
		if slices.ContainsFunc(a.v.ReadName(m.Layer, a.languages, "title"), func(r words.Reading) bool { return r.Concept == "title.legend" }) {
			return "lettering"
		}
		return ""
	}
	if m.Form == Block {
		if d, ok := a.v.DeviceName(m.Name, a.languages); ok && d.Concept.Group() == "other" {
			return "another trade's"
		}
	}
	for _, name := range []string{m.Name, m.Layer} {
		if m.Form == Loose && name == m.Name {
			continue // of our own making
		}
		for _, r := range a.v.ReadName(name, a.languages, "draw", "title") {
			switch r.Concept {
			case "draw.furniture":
				return "furniture"
			case "draw.door", "draw.window", "draw.wall", "draw.column", "draw.grid", "draw.stair":
				return "building"
			case "title.plan", "title.schedule", "title.section", "title.detail", "title.key_plan", "title.riser", "title.legend":
				return "sheet"
			}
		}
	}
	for _, at := range m.Attribs {
		if len(a.v.Read(at.Value, a.languages, "room")) > 0 {
			return "lettering"
		}
	}
	return ""
}
