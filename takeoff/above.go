package takeoff

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/levels"
	"loopwright/takeoff/plan"
)

// How plans of different levels are judged to stand above each other. Common practice, no
// source, but for what follows from the measures themselves.
const (
	sameSpot    = 0.3  // metres: a mark that stands above itself
	offBy       = 0.6  // metres: less is drafting
	leastMarks  = 3    // marks that must agree: two may by chance
	marksShare  = 0.3  // of all marks that two plans share
	markReach   = 10.0 // metres around the walls in which a grid is lettered
	wallsMeet   = 0.5  // share of the walls of a plan that lie on those of another
	wallsMiss   = 0.25 // share under which two plans do not lie over each other
	wallsFound  = 0.6  // the same where another place is looked for: some lie on others by chance
	wallsBetter = 1.6  // how many times as much must lie on walls there
	riserOff    = 1.5  // metres: the symbol of a shaft may stand anywhere in it
	sideBySide  = 0.5  // metres: levels less than this apart do not stand above each other
	hardly      = 0.3  // share of a level's footprint over every other level
	betterTurn  = 1.25 // how much better another turn must be: a building may look the same turned by half
	mostPoints  = 20000
)

// stand is a plan as it is laid over the others.
type stand struct {
	plan  int
	marks [4]levels.Marks // metres, turned by so many quarters more than the job has it
	walls []geom.Segment  // metres
	grid  wallRaster
}

// relation is how one plan lies to another: by how far it is off, and by how many quarters
// it is turned too much.
type relation struct {
	known   bool
	off     bool
	by      geom.Point // metres, of the plan as it should be turned
	quarter int
	why     string
}

// notAbove reports plans that do not stand above the others, by the marks that both show or
// by their walls, with the datum that would bring them together; and levels over which no
// other level stands.
func (t *taker) notAbove() {
	if len(t.res.Levels) < 2 {
		return
	}
	stands := t.stands()
	off := map[int]relation{}
	against := map[int]int{}
	group := t.together(stands)
	for i := range stands {
		if slices.Contains(group, i) {
			continue
		}
		for _, j := range group {
			if r := t.relate(&stands[j], &stands[i]); r.known && r.off {
				off[i], against[i] = r, j
				break
			}
		}
	}
	told := map[string]bool{}
	for i := range stands {
		r, ok := off[i]
		if !ok {
			continue
		}
		p := t.req.Plans[stands[i].plan]
		told[p.Level] = true
		t.tellOff(stands[i].plan, stands[against[i]].plan, r)
	}
	t.turnedForNothing(stands)
	if len(told) == 0 {
		t.risersApart(told)
	}
	if len(told) == 0 {
		t.standAlone()
	}
}

// risersApart reports risers that stand once on each of several levels and not above
// themselves: cable goes straight up in a shaft. It notes the levels that it has told of.
func (t *taker) risersApart(told map[string]bool) {
	for k, m := range t.req.Risers {
		at := map[string][]Spot{}
		for _, s := range t.res.Risers {
			if s.Name == m.Name && m.At == nil {
				at[s.Level] = append(at[s.Level], s)
			}
		}
		var last *Spot
		for i := range t.res.Levels {
			spots := at[t.res.Levels[i].Name]
			if len(spots) != 1 || t.unbelieved(&t.res.Levels[i]) {
				continue
			}
			s := &spots[0]
			if last == nil || last.Pos.Dist(s.Pos) <= riserOff {
				last = s
				continue
			}
			told[s.Level] = true
			i := slices.IndexFunc(t.req.Plans, func(p Plan) bool { return p.Level == s.Level && p.Drawing == s.Drawing })
			_, sheet := t.sheet(i)
			datum := t.datumOf(i).Add(s.Pos.Sub(last.Pos).Mul(1 / sheet.MetrePer).Turn(t.turnOf(i)))
			t.find(Finding{Code: codeNotAbove, Severity: Warning, Drawing: s.Drawing, Handle: s.Handle, At: s.At, Placed: true, Key: fmt.Sprintf("risers[%d].match", k), Message: fmt.Sprintf(
				"riser %s stands %s apart on %s and %s, and cable goes straight up in it: datum: [%s, %s] in the row of %s would bring them together; where the shaft does shift, give each part a name of its own",
				m.Name, t.req.Units.Length(s.Pos.Dist(last.Pos), 1), last.Level, s.Level, tidyUnit(datum.X), tidyUnit(datum.Y), s.Level)})
			break
		}
	}
}

// datumOf is the datum of a plan, the drawing's origin where none is given.
func (t *taker) datumOf(i int) geom.Point {
	if d := t.req.Plans[i].Datum; d != nil {
		return *d
	}
	return geom.Point{}
}

// turnedForNothing reports plans that the job turns against the others, although one of which
// it says nothing lies on its sheet as they do.
func (t *taker) turnedForNothing(stands []stand) {
	for i := range stands {
		p := t.req.Plans[stands[i].plan]
		if p.Turned == nil || math.Abs(math.Remainder(*p.Turned, 360)) < turnNoise {
			continue
		}
		for j := range stands {
			o := t.req.Plans[stands[j].plan]
			if o.Turned != nil || math.Abs(math.Remainder(t.turnOf(stands[i].plan)-t.turnOf(stands[j].plan), 360)) > turnNoise {
				continue
			}
			if r := t.relate(&stands[j], &stands[i]); r.known && !r.off {
				t.find(Finding{Code: codeNotAbove, Severity: Warning, Drawing: p.Drawing, Key: planKey(stands[i].plan, "turned"), Message: fmt.Sprintf(
					"%s lies on its sheet as %s does, and is not turned against it by %.4g degrees: leave turned out, or write it for both", p.Level, o.Level, *p.Turned)})
				break
			}
		}
	}
}

// stands lists the plans of drawings whose units can be believed.
func (t *taker) stands() []stand {
	var out []stand
	for i, p := range t.req.Plans {
		if p.Drawing == "" || t.badUnits[i] {
			continue
		}
		_, s := t.sheet(i)
		st := stand{plan: i}
		if st.walls = t.wallsOf(i); len(st.walls) == 0 {
			st.walls = t.longLines(i)
		}
		st.grid = wallRaster{}
		alongWalls(st.walls, func(at geom.Point) { st.grid.mark(at) })
		at := t.marksOf(i, t.storeyBox(s).Grow(markReach))
		for q := range st.marks {
			tr := toBuilding(p, s.MetrePer, t.turnOf(i)+90*float64(q))
			st.marks[q] = levels.Marks{}
			for what, ps := range at {
				for _, v := range ps {
					st.marks[q][what] = append(st.marks[q][what], tr.Apply(v))
				}
			}
		}
		out = append(out, st)
	}
	return out
}

// leastLine is the length in metres from which a line may be one of a wall.
const leastLine = 1.5

// longLines lists the long straight lines of a plan in the building's frame, in metres, for
// plans of which no walls are known. What devices are drawn with is left out.
func (t *taker) longLines(i int) []geom.Segment {
	p := t.req.Plans[i]
	_, s := t.sheet(i)
	page := t.files.byName[p.Drawing]
	var out []geom.Segment
	for k := range page.Shapes {
		sh := &page.Shapes[k]
		if sh.Paper || !sh.Visible || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape || t.isDevice(sh.Path) || !p.part().Holds(sh.Points...) {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for m := range n {
			l := geom.Segment{A: s.ToBuilding.Apply(plan.At(sh.Points[m])), B: s.ToBuilding.Apply(plan.At(sh.Points[(m+1)%len(sh.Points)]))}
			if l.Len() >= leastLine {
				out = append(out, l)
			}
		}
	}
	return out
}

// marksOf lists what of a plan may stand above itself on another: short texts, blocks with
// what is written in them, and risers, in drawing units. Devices stand where they are needed. near is in metres.
func (t *taker) marksOf(i int, near geom.Box) levels.Marks {
	p := t.req.Plans[i]
	page := t.files.byName[p.Drawing]
	_, s := t.sheet(i)
	out := levels.Marks{}
	add := func(what string, at geom.Point) {
		if near.Contains(s.ToBuilding.Apply(at)) && p.part().Within(at) && !p.part().Ignores(at) && !page.inLegend(at) {
			out[what] = append(out[what], at)
		}
	}
	for k := range page.Texts {
		if x := &page.Texts[k]; !x.Paper && x.Visible && len([]rune(x.Text)) <= 12 && !t.isDevice(x.Path) {
			add("text "+x.Text, plan.At(x.Pos))
		}
	}
	for k := range page.Inserts {
		in := &page.Inserts[k]
		if in.Paper || !in.Visible || t.deviceBlocks[in.Block] || t.isDevice(in.Path) {
			continue
		}
		var says []string
		for _, a := range in.Attribs {
			says = append(says, a.Tag+"="+a.Value)
		}
		sort.Strings(says)
		add("block "+in.Effective+" "+strings.Join(says, " "), plan.At(in.Pos))
	}
	return out
}

func (t *taker) isDevice(path []string) bool {
	return slices.ContainsFunc(path, func(b string) bool { return t.deviceBlocks[b] })
}

// turnOf is by how many degrees a plan is turned, as the job says or as was found.
func (t *taker) turnOf(i int) float64 {
	_, s := t.sheet(i)
	return -s.ToBuilding.ApplyVector(geom.Pt(1, 0)).Angle()
}

// together is the largest set of plans that stand above each other, by index; of equal ones
// the one with the lowest level. A plan of which nothing is known is in it.
func (t *taker) together(stands []stand) []int {
	order := make([]int, len(stands))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return t.sheetAt[stands[a].plan].level - t.sheetAt[stands[b].plan].level })
	var groups [][]int
	for _, i := range order {
		at := -1
		for g := range groups {
			last := groups[g][len(groups[g])-1]
			switch r := t.relate(&stands[last], &stands[i]); {
			case r.known && !r.off:
				at = g
			case !r.known && at < 0 && g == 0:
				at = 0
			}
		}
		if at < 0 {
			groups = append(groups, []int{i})
			continue
		}
		groups[at] = append(groups[at], i)
	}
	var best []int
	for _, g := range groups {
		if len(g) > len(best) {
			best = g
		}
	}
	return best
}

// relate tells how plan b lies to plan a. Two plans on one height show two parts of a level,
// or two buildings.
func (t *taker) relate(a, b *stand) relation {
	if math.Abs(t.req.Plans[a.plan].Elevation-t.req.Plans[b.plan].Elevation) < sideBySide {
		return relation{}
	}
	marks := byMarks(a, b)
	if marks.off {
		return marks
	}
	walls := t.byWalls(a, b)
	if marks.known && walls.off {
		return relation{} // marks of the sheet, not of the building, or walls of another shape
	}
	if marks.known {
		return marks
	}
	return walls
}

// byMarks relates two plans by what stands once on each.
func byMarks(a, b *stand) relation {
	best, most := relation{}, 0
	for q := range b.marks {
		by, n, of := levels.Shift(a.marks[0], b.marks[q], sameSpot)
		if n < leastMarks || float64(n) < marksShare*float64(of) || q > 0 && n < 2*most {
			continue
		}
		most = max(most, n)
		best = relation{known: true, off: q > 0 || by.Len() > offBy, by: by, quarter: q, why: fmt.Sprintf("%d texts and symbols that stand once on each", n)}
	}
	if best.off && best.quarter == 0 && len(a.walls) > 0 && len(b.walls) > 0 && a.grid.share(b.walls, best.by.Mul(-1)) < a.grid.share(b.walls, geom.Point{}) {
		return relation{} // the walls say otherwise: those are marks of the sheet, not of the building
	}
	return best
}

// byWalls relates two plans by how much of the walls of b lies on those of a.
func (t *taker) byWalls(a, b *stand) relation {
	if len(a.walls) == 0 || len(b.walls) == 0 {
		return relation{}
	}
	as := a.grid.share(b.walls, geom.Point{})
	if as >= wallsMeet {
		return relation{known: true}
	}
	p := t.req.Plans[b.plan]
	_, s := t.sheet(b.plan)
	back, err := s.ToBuilding.Inverse()
	if err != nil {
		return relation{}
	}
	best, score := relation{}, max(wallsFound, wallsBetter*as)
	axis, _ := axisOf(asWalls(a.walls))
	square := turnedBy(a.walls, -axis)
	for k, q := range t.quarters(b.plan) {
		if k > 0 && as > wallsMiss { // a building may look much the same turned
			break
		}
		tr := back.Then(toBuilding(p, s.MetrePer, t.turnOf(b.plan)+90*float64(q)))
		walls := make([]geom.Segment, len(b.walls))
		for k, w := range b.walls {
			walls[k] = geom.Segment{A: tr.Apply(w.A), B: tr.Apply(w.B)}
		}
		least := score
		if best.known {
			least *= betterTurn
		}
		squared := turnedBy(walls, -axis)
		for _, by := range levels.WallShifts(square, squared) {
			by = levels.Refine(square, squared, by).Turn(axis)
			if m := a.grid.share(walls, by.Mul(-1)); m > least && (q > 0 || by.Len() > offBy) {
				score, least = m, m
				best = relation{known: true, off: true, by: by, quarter: q, why: fmt.Sprintf("%.0f%% of its walls, of which %.0f%% lie on walls there as it is", 100*m, 100*as)}
			}
		}
	}
	return best
}

func asWalls(segs []geom.Segment) []plan.Wall {
	out := make([]plan.Wall, len(segs))
	for i, s := range segs {
		out[i].Segment = s
	}
	return out
}

// turnedBy turns walls about the origin, by so many degrees.
func turnedBy(walls []geom.Segment, deg float64) []geom.Segment {
	out := make([]geom.Segment, len(walls))
	for i, w := range walls {
		out[i] = geom.Segment{A: w.A.Turn(deg), B: w.B.Turn(deg)}
	}
	return out
}

// quarters are the turns to try, as quarters more than a plan is turned: first that by which
// it lies as it is drawn, then what the job says, then the others.
func (t *taker) quarters(i int) []int {
	upright := (4 - int(math.Round(t.turnOf(i)/90))%4) % 4
	out := []int{upright}
	for q := range 4 {
		if q != upright {
			out = append(out, q)
		}
	}
	return out
}

// tellOff reports plan i, which does not stand above plan j.
func (t *taker) tellOff(i, j int, r relation) {
	p, o := t.req.Plans[i], t.req.Plans[j]
	_, s := t.sheet(i)
	turn := math.Remainder(t.turnOf(i)+90*float64(r.quarter), 360)
	if turn == -180 {
		turn = 180
	}
	datum := t.datumOf(i).Add(r.by.Mul(1 / s.MetrePer).Turn(turn))
	f := Finding{Code: codeNotAbove, Severity: Warning, Drawing: p.Drawing, Key: planKey(i, "datum")}
	would := fmt.Sprintf("datum: [%s, %s]", tidyUnit(datum.X), tidyUnit(datum.Y))
	is := fmt.Sprintf("%s away from where it stands above %s", t.req.Units.Length(r.by.Len(), 1), o.Level)
	switch moved := r.by.Len() > offBy; {
	case r.quarter > 0 && !moved:
		f.Key, would, is = planKey(i, "turned"), fmt.Sprintf("turned: %.4g", turn), "turned against "+o.Level
	case r.quarter > 0:
		f.Key, would, is = planKey(i, "turned"), fmt.Sprintf("turned: %.4g and %s", turn, would), "turned against "+o.Level+" and stands elsewhere"
	}
	f.Message = fmt.Sprintf("%s is %s: %s would bring them together, by %s; cable between them is measured by it", p.Level, is, would, r.why)
	t.find(f)
}

// tidyUnit writes a coordinate in drawing units to a thousandth, without noise.
func tidyUnit(v float64) string { return fmt.Sprintf("%.9g", math.Round(v*1000)/1000+0) }

// standAlone reports levels over which hardly any other level stands.
func (t *taker) standAlone() {
	for k := range t.res.Levels {
		l := &t.res.Levels[k]
		box := t.footprint(l)
		if box.Empty() || len(t.res.Levels) < 2 || t.unbelieved(l) {
			continue
		}
		best, next := -1.0, 0
		for o := range t.res.Levels {
			other := t.footprint(&t.res.Levels[o])
			if o == k || other.Empty() || t.unbelieved(&t.res.Levels[o]) {
				continue
			}
			if v := shared(box, other); v > best {
				best, next = v, o
			}
		}
		if best < 0 || best >= hardly || t.res.Levels[next].Elevation == l.Elevation || k < next && len(t.res.Levels) == 2 {
			continue
		}
		i := slices.IndexFunc(t.req.Plans, func(p Plan) bool { return p.Level == l.Name })
		p := t.req.Plans[i]
		_, s := t.sheet(i)
		other := t.footprint(&t.res.Levels[next])
		datum := t.datumOf(i).Add(box.Min.Sub(other.Min).Mul(1 / s.MetrePer).Turn(t.turnOf(i)))
		t.find(Finding{Code: codeNotAbove, Severity: Warning, Drawing: p.Drawing + p.Devices, Key: planKey(i, "datum"), Message: fmt.Sprintf(
			"%s stands over hardly anything of %s (%.0f%% of the smaller one): give each a datum, a point that is above itself on both; [%s, %s] here would bring their lower left corners together",
			l.Name, t.res.Levels[next].Name, 100*best, tidyUnit(datum.X), tidyUnit(datum.Y))})
	}
}

// unbelieved reports a level of which a plan's units are in doubt.
func (t *taker) unbelieved(l *Level) bool {
	for i, p := range t.req.Plans {
		if p.Level == l.Name && t.badUnits[i] {
			return true
		}
	}
	return false
}

// alongWalls visits points along walls, about every meetWithin, and not more than mostPoints.
func alongWalls(walls []geom.Segment, visit func(geom.Point)) {
	total := 0.0
	for _, w := range walls {
		if l := w.Len(); w.A.IsFinite() && w.B.IsFinite() {
			total += l
		}
	}
	step := max(meetWithin, total/mostPoints)
	for _, w := range walls {
		if !w.A.IsFinite() || !w.B.IsFinite() {
			continue
		}
		n := int(w.Len() / step)
		for k := range n {
			visit(w.A.Lerp(w.B, (float64(k)+0.5)/float64(n)))
		}
	}
}

// mark marks the squares in and around which a wall stands.
func (r wallRaster) mark(p geom.Point) {
	x, y := int(math.Floor(p.X/meetWithin)), int(math.Floor(p.Y/meetWithin))
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			word, bit := r.cell(x+dx, y+dy)
			r[word] |= bit
		}
	}
}

// share is the share of some walls that lies on walls of the raster once they are moved.
func (r wallRaster) share(walls []geom.Segment, by geom.Point) float64 {
	n, hit := 0, 0
	alongWalls(walls, func(p geom.Point) {
		p = p.Add(by)
		n++
		word, bit := r.cell(int(math.Floor(p.X/meetWithin)), int(math.Floor(p.Y/meetWithin)))
		if r[word]&bit != 0 {
			hit++
		}
	})
	if n == 0 {
		return 0
	}
	return float64(hit) / float64(n)
}
