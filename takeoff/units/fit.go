package units

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Measure is one thing of a drawing whose true size is known well enough to
// tell the drawing's units by.
type Measure struct {
	what     string
	size     float64 // drawing units
	from, to float64 // metres between which it truly is
}

// The sizes of things. Common practice, no source, except where marked.
const (
	doorFrom, doorTo   = 0.6, 1.25 // leaf of a door; clear width of at least 32 in: ADA Standards 2010, 404.2.3
	extentFrom         = 5.0       // a storey, along its longer side
	extentTo           = 300.0     //
	siteTo             = 20000.0   // what a survey shows
	textFrom, textTo   = 0.06, 0.9 // lettering: 1.5 to 4.5 mm on paper at 1:50 to 1:200
	rejectBeyondFactor = 1.15      // slack before a size speaks against a unit
)

// Fit says how well the units that a drawing may be drawn in fit what is on it.
type Fit struct {
	Header   string // unit of the header, "" if it says none
	From     string // header, assumed or unknown
	Measures []Measure
	Best     string // unit that fits best, "" if nothing on the drawing tells
	// Scales are units of a drawing as large as its paper, by the scales that are written on it: 50 mm at 1:50.
	Scales []string
}

// candidates are the units that buildings are drawn in.
var candidates = []string{"in", "ft", "mm", "cm", "m"}

// Fits returns how many of the measures a unit agrees with.
func (u Fit) Fits(unit string) int {
	m, err := measure.MetresPer(unit)
	if err != nil {
		return 0
	}
	n := 0
	for _, e := range u.Measures {
		if e.in(m) {
			n++
		}
	}
	return n
}

func (e Measure) in(metre float64) bool {
	v := e.size * metre
	return v >= e.from/rejectBeyondFactor && v <= e.to*rejectBeyondFactor
}

// Doubts lists what speaks against a unit, in words.
func (u Fit) Doubts(unit string) []string {
	m, err := measure.MetresPer(unit)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range u.Measures {
		if !e.in(m) {
			out = append(out, fmt.Sprintf("%s would be %s", e.what, measure.Both(e.size*m)))
		}
	}
	return out
}

// Sizes lists the measures as they come out in a unit, in words.
func (u Fit) Sizes(unit string) string {
	m, err := measure.MetresPer(unit)
	if err != nil {
		return ""
	}
	var out []string
	for _, e := range u.Measures {
		out = append(out, e.what+" "+measure.Both(e.size*m))
	}
	return strings.Join(out, ", ")
}

// extent is what the size of a storey is called.
const extent = "the longer side of the drawing"

// Weigh weighs what is on a part of a page. Symbols that are set aside stand
// closer than devices do and tell nothing.
func Weigh(p *plan.Page, of plan.Part, aside func(geom.Point) bool) Fit {
	h := p.Drawing.Units()
	u := Fit{Header: h.Name, From: h.From}
	add := func(what string, size, from, to float64) {
		if size > 0 && !math.IsInf(size, 0) && !math.IsNaN(size) {
			u.Measures = append(u.Measures, Measure{what, size, from, to})
		}
	}
	b := p.Storey(of)
	heights, survey := spotHeights(p, of)
	to := extentTo
	if survey {
		to = siteTo
	}
	add(extent, max(b.Width(), b.Height()), extentFrom, to)
	add("a door", doorWidth(p, of), doorFrom, doorTo)
	add("the lettering", p.Lettering(of), textFrom, textTo)
	add("the device spacing", spacing(p, of, aside), spacingFrom, spacingTo)
	if m, ok := insertScale(p, of); ok {
		u.Measures = append(u.Measures, m)
	}
	if survey {
		u.Measures = append(u.Measures, heights)
	}
	u.Best = best(u)
	if u.From != "header" || u.Fits(u.Header) < len(u.Measures) {
		u.Scales = writtenScales(p)
		u.Best = best(u)
	}
	return u
}

// writtenScale is a scale as drawings state it.
var writtenScale = regexp.MustCompile(`(^|[^\d.:/])1\s*[:：]\s*(5|10|20|25|50|75|100|125|150|200|250|300|400|500|1000|2000)($|[^\d.:/])`)

// writtenScales lists the units that a drawing has if it is as large as its paper, by the scales written on it.
func writtenScales(p *plan.Page) []string {
	var out []string
	add := func(text string) {
		if m := writtenScale.FindStringSubmatch(text); m != nil && !slices.Contains(out, m[2]+" mm") {
			out = append(out, m[2]+" mm")
		}
	}
	for i := range p.Texts {
		add(p.Texts[i].Text)
	}
	for i := range p.Inserts {
		for _, a := range p.Inserts[i].Attribs {
			add(a.Value)
		}
	}
	return out
}

// best picks the unit that agrees with most; of equals the header's own, then
// the one whose door, or else storey, is nearest the usual size.
func best(u Fit) string {
	if len(u.Measures) == 0 {
		return ""
	}
	// Where nothing but the size speaks against the header, and not by much, it is
	// rather a site of several buildings than a drawing in another unit.
	if m, err := measure.MetresPer(u.Header); err == nil && len(u.Measures) == 1 && u.Measures[0].what == extent {
		if v := u.Measures[0].size * m; v > extentTo && v < 10*extentTo {
			return u.Header
		}
	}
	ranked := append(slices.Clone(candidates), u.Scales...)
	slices.SortStableFunc(ranked, func(a, b string) int {
		return cmp.Or(cmp.Compare(u.Fits(b), u.Fits(a)), cmp.Compare(u.odd(a), u.odd(b)))
	})
	top := u.Fits(ranked[0])
	if 3*top < 2*len(u.Measures) { // nothing fits: a map, a single part, or several sheets
		return ""
	}
	return ranked[0]
}

// Rivals lists the other units that fit as much as the best one does.
func (u Fit) Rivals() []string {
	var out []string
	for _, c := range append(slices.Clone(candidates), u.Scales...) {
		if c != u.Best && u.Best != "" && u.Fits(c) == u.Fits(u.Best) {
			out = append(out, c)
		}
	}
	return out
}

// Unit is the unit to take: the header's where it fits what is drawn, else the
// one that fits best; "" if nothing gives it away.
func (u Fit) Unit() string {
	if _, err := measure.MetresPer(u.Header); err == nil && u.From == "header" && len(u.Doubts(u.Header)) == 0 {
		return u.Header
	}
	return u.Best
}

// odd is how far the measures lie, in all, from the middle of their ranges.
func (u Fit) odd(unit string) float64 {
	m, _ := measure.MetresPer(unit)
	sum := 0.0
	for _, e := range u.Measures {
		mid := math.Log(e.from*e.to) / 2
		sum += math.Abs(math.Log(e.size*m)-mid) / math.Log(e.to/e.from)
	}
	return sum
}

// doorWidth is the middle width of the doors: the radius of the quarter circles
// that doors swing along, known by the name of their layer or block or by the
// leaf drawn from the hinge. 0 where none are drawn.
func doorWidth(p *plan.Page, of plan.Part) float64 {
	var named, all []float64
	var leaves *plan.Leaves
	door := words.Remembered(words.IsDoor)
	for _, sw := range p.Swings() {
		switch {
		case !of.Holds(sw.Points...):
			continue
		case door(sw.EffLayer) || slices.ContainsFunc(sw.Path, door):
			named = append(named, sw.Radius)
			continue
		case leaves == nil:
			leaves = p.Leaves()
		}
		if leaves.Hang(sw) {
			all = append(all, sw.Radius)
		}
	}
	if len(named) > 0 {
		return plan.Median(named)
	}
	if len(all) >= 3 { // fewer may be anything
		return plan.Median(all)
	}
	return 0
}
