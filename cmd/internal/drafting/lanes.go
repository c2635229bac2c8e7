package drafting

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// Cable is routed along the middle of the way, where runs lie upon one another.
// On a drawing every run must be followed with the eye: where two share a line
// they part, by lanes, and where a run is alone it stays on its line. (Parting
// runs only where they meet is known from connectors in diagrams as nudging:
// Wybrow, Marriott and Stuckey, Graph Drawing 2009.)

// Measures of lanes in text heights.
const (
	laneWidth = 0.7 // between two runs on one line
	laneShare = 0.3 // two runs share a line when so long side by side
	laneMost  = 64  // lanes tried
	laneClear = 8   // of these, the ones tried to keep off symbols and walls
	offWall   = 0.5 // from a wall that a run follows
)

// What a run had better not do, in lanes that it goes aside rather.
const (
	overSymbol = 9
	onWall     = 5
)

// lane numbers lanes from the middle outward: 0, 1, -1, 2, -2.
func lane(i int) float64 {
	if i%2 == 1 {
		return float64(i/2 + 1)
	}
	return -float64(i / 2)
}

// stretch is a straight piece of a leg. Its line is given by the direction and
// the distance from the origin; it lies between two places along the direction.
type stretch struct {
	leg    *leg
	seg    geom.Segment
	class  int // its direction, from 0 to 180 degrees, in thousandths
	across float64
	lo, hi float64
	shift  float64 // across
}

// directions is how many parts of a degree runs are told apart by: finer than a
// run is long in text heights, coarser than the noise of worked out coordinates.
const directions = 1000

func newStretch(l *leg, s geom.Segment) stretch {
	st := stretch{leg: l, seg: s}
	st.class = int(math.Round(s.B.Sub(s.A).Angle()*directions)) % (180 * directions)
	u := st.along()
	st.across = s.A.Lerp(s.B, 0.5).Cross(u)
	st.lo, st.hi = s.A.Dot(u), s.B.Dot(u)
	if st.lo > st.hi {
		st.lo, st.hi = st.hi, st.lo
	}
	return st
}

// along is the unit vector of the direction; the shift is to its right.
func (s *stretch) along() geom.Point {
	return geom.Pt(1, 0).Turn(float64(s.class) / directions)
}

// moved is the stretch with a shift.
func (s *stretch) moved(shift float64) geom.Segment {
	u := s.along()
	by := geom.Pt(u.Y, -u.X).Mul(shift)
	return geom.Segment{A: s.seg.A.Add(by), B: s.seg.B.Add(by)}
}

// lanes gives every stretch of a view its lane.
type lanes struct {
	height float64
	taken  map[int]*rtree.RTreeGN[float64, *leg] // by class: places along and across
	walls  map[int]*rtree.RTreeGN[float64, struct{}]
	marks  rtree.RTreeGN[float64, string]
	rects  map[string]label.Rect
}

func (d *draft) newLanes() *lanes {
	ls := &lanes{height: d.sheet.height, taken: map[int]*rtree.RTreeGN[float64, *leg]{}, walls: map[int]*rtree.RTreeGN[float64, struct{}]{}, rects: d.rects}
	for name, r := range d.rects {
		b := boxOf(r)
		ls.marks.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, name)
	}
	for _, o := range d.scene.lines {
		if s := o.Segment; o.Cost == 0 && s.A != s.B && s.A.IsFinite() && s.B.IsFinite() {
			w := newStretch(nil, s)
			insert(ls.walls, w.class, w.lo, w.hi, w.across, struct{}{})
		}
	}
	return ls
}

// insert notes a line by its direction, between two places along it.
func insert[T any](trees map[int]*rtree.RTreeGN[float64, T], class int, lo, hi, across float64, v T) {
	t := trees[class]
	if t == nil {
		t = &rtree.RTreeGN[float64, T]{}
		trees[class] = t
	}
	t.Insert([2]float64{lo, across}, [2]float64{hi, across}, v)
}

// layLanes returns the legs of a view as they are drawn, from symbol to symbol.
func (d *draft) layLanes(v *view) map[*leg]way {
	ls := d.newLanes()
	var ends, between []*stretch
	legs := map[*leg][]stretch{}
	for i := range v.routes {
		for k := range v.routes[i].legs {
			l := &v.routes[i].legs[k]
			ss := stretches(l)
			legs[l] = ss
			for n := range ss {
				if n == 0 && l.start || n == len(ss)-1 && l.end {
					ends = append(ends, &ss[n])
				} else {
					between = append(between, &ss[n])
				}
			}
		}
	}
	// Runs that end at a symbol choose first: they lead straight into it.
	for _, s := range slices.Concat(ends, between) {
		ls.choose(s)
	}
	ways := map[*leg]way{}
	for l, ss := range legs {
		ways[l] = ls.wayOf(ss)
	}
	return ways
}

// stretches cuts a leg at its bends.
func stretches(l *leg) []stretch {
	var ss []stretch
	w := way(l.points).tidy()
	for i := 1; i < len(w); i++ {
		s := newStretch(l, geom.Segment{A: w[i-1], B: w[i]})
		if n := len(ss); n > 0 && ss[n-1].class == s.class && ss[n-1].seg.B.Sub(ss[n-1].seg.A).Dot(s.seg.B.Sub(s.seg.A)) > 0 {
			ss[n-1] = newStretch(l, geom.Segment{A: ss[n-1].seg.A, B: s.seg.B})
			continue
		}
		ss = append(ss, s)
	}
	return ss
}

// choose gives a stretch the lane next to its line that no other run has, and
// one somewhat farther where it would lie on a wall or run over a symbol.
func (ls *lanes) choose(s *stretch) {
	least, found := math.Inf(1), false
	for i := range laneMost {
		if found && (i >= laneClear || float64(i) >= least) {
			break
		}
		shift := lane(i) * laneWidth * ls.height
		if ls.shared(s, shift) {
			continue
		}
		price := float64(i)
		if ls.crosses(s, shift) {
			price += overSymbol
		}
		if ls.followsWall(s, shift) {
			price += onWall
		}
		if price < least {
			s.shift, least, found = shift, price, true
		}
	}
	insert(ls.taken, s.class, s.lo, s.hi, s.across+s.shift, s.leg)
}

// band is the room that a stretch with a shift shares with what lies along it;
// false if it is too short to run beside anything.
func (ls *lanes) band(s *stretch, shift, side float64) (lo, hi [2]float64, ok bool) {
	reach, at := laneShare*ls.height/2, s.across+shift
	lo, hi = [2]float64{s.lo + reach, at - side*ls.height}, [2]float64{s.hi - reach, at + side*ls.height}
	return lo, hi, lo[0] <= hi[0]
}

// shared reports whether another run lies on the line already.
func (ls *lanes) shared(s *stretch, shift float64) bool {
	t := ls.taken[s.class]
	const side = 0.99 * laneWidth // neighbours do not share
	lo, hi, ok := ls.band(s, shift, side)
	if t == nil || !ok {
		return false
	}
	found := false
	t.Search(lo, hi, func(_, _ [2]float64, l *leg) bool {
		found = l != s.leg
		return !found
	})
	return found
}

// followsWall reports whether the stretch would lie on a wall.
func (ls *lanes) followsWall(s *stretch, shift float64) bool {
	t := ls.walls[s.class]
	lo, hi, ok := ls.band(s, shift, offWall)
	if t == nil || !ok {
		return false
	}
	found := false
	t.Search(lo, hi, func(_, _ [2]float64, _ struct{}) bool {
		found = true
		return false
	})
	return found
}

// crosses reports whether the stretch would run over a symbol that it does not join.
func (ls *lanes) crosses(s *stretch, shift float64) bool {
	g := s.moved(shift)
	b := geom.BoxOf(g.A, g.B)
	found := false
	ls.marks.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, name string) bool {
		r := ls.rects[name]
		own := name == s.leg.from && s.leg.start || name == s.leg.to && s.leg.end
		found = !own && !inside(r, s.seg.A) && !inside(r, s.seg.B) && runsOver(r, g)
		return !found
	})
	return found
}

func runsOver(r label.Rect, g geom.Segment) bool {
	local := geom.Segment{A: g.A.Sub(r.Center).Turn(-r.Angle), B: g.B.Sub(r.Center).Turn(-r.Angle)}
	_, hit := clip(local, geom.Around(geom.Point{}, r.Width, r.Height))
	return hit
}

// wayOf joins stretches in their lanes. The ends stay where they were, inside
// the symbols that they join; between lines that hardly turn it steps across.
func (ls *lanes) wayOf(ss []stretch) way {
	if len(ss) == 0 {
		return nil
	}
	w := way{ss[0].seg.A, ss[0].moved(ss[0].shift).A}
	for i := 1; i < len(ss); i++ {
		a, b := ss[i-1].moved(ss[i-1].shift), ss[i].moved(ss[i].shift)
		far := 2 * (math.Abs(ss[i-1].shift) + math.Abs(ss[i].shift))
		if p, ok := crossing(a, b); ok && p.Dist(ss[i].seg.A) <= far {
			w = append(w, p)
			continue
		}
		w = append(w, a.B, b.A)
	}
	last := &ss[len(ss)-1]
	return append(w, last.moved(last.shift).B, last.seg.B).tidy()
}

// crossing is where the lines of two segments cross; false where they are parallel.
func crossing(s, t geom.Segment) (geom.Point, bool) {
	d, e := s.B.Sub(s.A), t.B.Sub(t.A)
	den := d.Cross(e)
	if den == 0 {
		return geom.Point{}, false
	}
	return s.A.Add(d.Mul(t.A.Sub(s.A).Cross(e) / den)), true
}
