package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// Measure is one thing of a drawing whose true size is known well enough to
// tell the drawing's units by.
type Measure struct {
	What     string
	Size     float64 // drawing units
	From, To float64 // metres between which it truly is
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

// UnitsFit says how well the units that a drawing may be drawn in fit what is on it.
type UnitsFit struct {
	Header   string // unit of the header, "" if it says none
	From     string // header, assumed or unknown
	Measures []Measure
	Best     string // unit that fits best, "" if nothing on the drawing tells
	Sure     bool   // no other unit fits everything too
}

// candidates are the units that buildings are drawn in.
var candidates = []string{"in", "ft", "mm", "cm", "m"}

// fits returns how many of the measures a unit agrees with.
func (u UnitsFit) fits(unit string) int {
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
	v := e.Size * metre
	return v >= e.From/rejectBeyondFactor && v <= e.To*rejectBeyondFactor
}

// Doubts lists what speaks against a unit, in words.
func (u UnitsFit) Doubts(unit string) []string {
	m, err := measure.MetresPer(unit)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range u.Measures {
		if !e.in(m) {
			out = append(out, fmt.Sprintf("%s would be %s", e.What, measure.Both(e.Size*m)))
		}
	}
	return out
}

// Sizes lists the measures as they come out in a unit, in words.
func (u UnitsFit) Sizes(unit string) string {
	m, err := measure.MetresPer(unit)
	if err != nil {
		return ""
	}
	var out []string
	for _, e := range u.Measures {
		out = append(out, e.What+" "+measure.Both(e.Size*m))
	}
	return strings.Join(out, ", ")
}

// extent is what the size of a storey is called.
const extent = "the longer side of what is drawn"

// fitUnits weighs what is on a drawing, or in the part of it that a plan shows.
func fitUnits(s *scene, p Plan) UnitsFit {
	h := s.d.Units()
	u := UnitsFit{Header: h.Name, From: h.From}
	add := func(what string, size, from, to float64) {
		if size > 0 && !math.IsInf(size, 0) && !math.IsNaN(size) {
			u.Measures = append(u.Measures, Measure{what, size, from, to})
		}
	}
	b := s.storey(p)
	heights, survey := s.spotHeights(p)
	to := extentTo
	if survey {
		to = siteTo
	}
	add(extent, max(b.Width(), b.Height()), extentFrom, to)
	add("a door", s.doorWidth(p), doorFrom, doorTo)
	add("the lettering", s.lettering(p), textFrom, textTo)
	add("from device to device", s.spacing(p), spacingFrom, spacingTo)
	if m, ok := s.insertScale(p); ok {
		u.Measures = append(u.Measures, m)
	}
	if survey {
		u.Measures = append(u.Measures, heights)
	}
	u.Best, u.Sure = best(u)
	return u
}

// best picks the unit that agrees with most; of equals the header's own, then
// the one whose door, or else storey, is nearest the usual size.
func best(u UnitsFit) (string, bool) {
	if len(u.Measures) == 0 {
		return "", false
	}
	// Where nothing but the size speaks against the header, and not by much, it is
	// rather a site of several buildings than a drawing in another unit.
	if m, err := measure.MetresPer(u.Header); err == nil && len(u.Measures) == 1 && u.Measures[0].What == extent {
		if v := u.Measures[0].Size * m; v > extentTo && v < 10*extentTo {
			return u.Header, false
		}
	}
	ranked := slices.Clone(candidates)
	slices.SortStableFunc(ranked, func(a, b string) int {
		return cmp.Or(cmp.Compare(u.fits(b), u.fits(a)), cmp.Compare(u.odd(a), u.odd(b)))
	})
	top := u.fits(ranked[0])
	if 3*top < 2*len(u.Measures) { // nothing fits: a map, a single part, or several sheets
		return "", false
	}
	return ranked[0], top > u.fits(ranked[1]) && top == len(u.Measures)
}

// Rivals lists the other units that fit as much as the best one does.
func (u UnitsFit) Rivals() []string {
	var out []string
	for _, c := range candidates {
		if c != u.Best && u.Best != "" && u.fits(c) == u.fits(u.Best) {
			out = append(out, c)
		}
	}
	return out
}

// odd is how far the measures lie, in all, from the middle of their ranges.
func (u UnitsFit) odd(unit string) float64 {
	m, _ := measure.MetresPer(unit)
	sum := 0.0
	for _, e := range u.Measures {
		mid := math.Log(e.From*e.To) / 2
		sum += math.Abs(math.Log(e.Size*m)-mid) / math.Log(e.To/e.From)
	}
	return sum
}

// storey is the box around the walls, or around all symbols and texts where no walls are known.
func (s *scene) storey(p Plan) geom.Box {
	layers := p.Walls
	if len(layers) == 0 {
		layers = s.wallLayers()
	}
	b := geom.EmptyBox()
	for _, wall := range s.walls(layers, p.Region) {
		b = b.Extend(wall.A).Extend(wall.B)
	}
	all := geom.EmptyBox()
	if len(p.Walls) == 0 { // few lines on a layer that sounds like walls are not the plan
		all = s.marks(p)
	}
	if sizeless(b) || max(b.Width(), b.Height()) < 0.2*max(all.Width(), all.Height()) {
		b = all
	}
	if sizeless(b) {
		b = s.marks(p)
	}
	if sizeless(b) {
		b = s.extent(p, func(sh *dxf.Shape) bool { return b.Empty() || len(sh.Path) == 0 }) // a lone symbol's own lines are no plan
	}
	return b
}

// sizeless reports whether a box is empty or one point: it measures nothing.
func sizeless(b geom.Box) bool { return b.Empty() || max(b.Width(), b.Height()) == 0 }

// marks is the box around all symbols and texts of a plan.
func (s *scene) marks(p Plan) geom.Box {
	b := geom.EmptyBox()
	for i := range s.inserts {
		if in := &s.inserts[i]; !in.Paper && in.Visible && inPlan(p, []dxf.Vec3{in.Pos}) {
			b = b.Extend(plane(in.Pos))
		}
	}
	for i := range s.texts {
		if t := &s.texts[i]; !t.Paper && t.Visible && inPlan(p, []dxf.Vec3{t.Pos}) {
			b = b.Extend(plane(t.Pos))
		}
	}
	return b
}

// doorWidth is the middle width of the doors: the radius of the quarter circles
// that doors swing along, known by the name of their layer or block or by the
// leaf drawn from the hinge. 0 where none are drawn.
func (s *scene) doorWidth(p Plan) float64 {
	var named, all []float64
	var leaves *leafIndex
	door := words.Remembered(words.IsDoor)
	for i := range s.shapes {
		sh := &s.shapes[i]
		if sh.Kind != dxf.ArcShape || sh.Paper || !sh.Visible || !inPlan(p, sh.Points) {
			continue
		}
		r, sweep, ok := arcOf(sh.Points)
		if !ok || sweep < 60 || sweep > 100 {
			continue
		}
		if door(sh.EffLayer) || slices.ContainsFunc(sh.Path, door) {
			named = append(named, r)
			continue
		}
		if leaves == nil {
			leaves = s.leaves()
		}
		if leaves.hangs(sh.Points, r) {
			all = append(all, r)
		}
	}
	if len(named) > 0 {
		return median(named)
	}
	if len(all) >= 3 { // fewer may be anything
		return median(all)
	}
	return 0
}

// leafIndex finds lines by their ends.
type leafIndex struct{ tree rtree.RTreeG[geom.Segment] }

func (s *scene) leaves() *leafIndex {
	x := &leafIndex{}
	for i := range s.shapes {
		sh := &s.shapes[i]
		if sh.Paper || !sh.Visible || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			a, b := plane(sh.Points[k]), plane(sh.Points[(k+1)%len(sh.Points)])
			x.tree.Insert([2]float64{a.X, a.Y}, [2]float64{a.X, a.Y}, geom.Segment{A: a, B: b})
			x.tree.Insert([2]float64{b.X, b.Y}, [2]float64{b.X, b.Y}, geom.Segment{A: b, B: a})
		}
	}
	return x
}

// hangs reports whether a line runs from the centre of an arc to one of its ends, as the leaf of a door does.
func (x *leafIndex) hangs(arc []dxf.Vec3, r float64) bool {
	a, b := plane(arc[0]), plane(arc[len(arc)-1])
	c, ok := circleThrough(a, plane(arc[len(arc)/2]), b)
	if !ok {
		return false
	}
	near := 0.06 * r
	found := false
	x.tree.Search([2]float64{c.X - near, c.Y - near}, [2]float64{c.X + near, c.Y + near}, func(_, _ [2]float64, s geom.Segment) bool {
		found = s.B.Dist(a) <= near || s.B.Dist(b) <= near
		return !found
	})
	return found
}

// arcOf measures a flattened arc: its radius and how many degrees it sweeps.
func arcOf(pts []dxf.Vec3) (radius, sweep float64, ok bool) {
	if len(pts) < 3 {
		return 0, 0, false
	}
	a, b, c := plane(pts[0]), plane(pts[len(pts)/2]), plane(pts[len(pts)-1])
	centre, ok := circleThrough(a, b, c)
	if !ok {
		return 0, 0, false
	}
	turn := func(p, q geom.Point) float64 {
		return math.Abs(math.Remainder(q.Sub(centre).Angle()-p.Sub(centre).Angle(), 360))
	}
	return centre.Dist(a), turn(a, b) + turn(b, c), true
}

// circleThrough returns the centre of the circle through three points; false if they lie on a line.
func circleThrough(a, b, c geom.Point) (geom.Point, bool) {
	u, v := b.Sub(a), c.Sub(a)
	d := 2 * u.Cross(v)
	if math.Abs(d) < 1e-12*(u.Dot(u)+v.Dot(v)) {
		return geom.Point{}, false
	}
	uu, vv := u.Dot(u), v.Dot(v)
	return a.Add(geom.Pt(v.Y*uu-u.Y*vv, u.X*vv-v.X*uu).Mul(1 / d)), true
}

// lettering is the middle height of the texts.
func (s *scene) lettering(p Plan) float64 {
	var hs []float64
	for i := range s.texts {
		t := &s.texts[i]
		if !t.Paper && t.Visible && t.Height > 0 && inPlan(p, []dxf.Vec3{t.Pos}) {
			hs = append(hs, t.Height)
		}
	}
	if len(hs) < 3 {
		return 0
	}
	return median(hs)
}

func median(v []float64) float64 {
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}
