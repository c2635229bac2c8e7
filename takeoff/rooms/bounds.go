package rooms

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// What bounds rooms, in metres. Common practice, no source: furniture and symbols are
// smaller than the walls of a room are long, walls are 0.06 to 0.5 m thick, steps
// of stairs, boards and tiles of ceilings 0.2 to 1.3 m apart.
const (
	furniture  = 2.6  // the longer side of what stands in a room
	thickWall  = 0.5  // the shorter side of a piece of wall drawn as a closed outline
	looseWork  = 1.6  // lines that hang together and span less are no wall
	touching   = 0.03 // ends nearer than this to a line touch it
	leastTread = 0.2
	mostTread  = 1.3
	flight     = 4   // treads that make a flight of stairs
	curve      = 1.5 // a circle with a smaller radius is no wall
	leastLeaf  = 0.5 // of a door
	mostLeaf   = 2.0
	thickLeaf  = 0.08
	shortArc   = 2.0  // an arc that spans less is no wall
	atSymbol   = 0.25 // a wire ends so far from a symbol at most
	fromCrown  = 0.3  // a line that crosses another farther from its end goes through it
)

// lineWork is a straight piece of what may bound rooms.
type lineWork struct {
	geom.Segment
	layer string
	shape int // it is part of
}

func without(work []lineWork, drop []bool) []lineWork {
	out := work[:0:0]
	for i, w := range work {
		if !drop[i] {
			out = append(out, w)
		}
	}
	return out
}

// candidates lists, in metres, the straight pieces of all shapes but symbols, furniture, doors, frames of lettering, and wiring
// from symbol to symbol.
func (s *Sheet) candidates(shapes []dxf.Shape, gs []group) []lineWork {
	p, of, toBuilding, symbols := s.Page, s.Part, s.ToBuilding, s.Symbols
	framed := lettered(s, gs)
	m := toBuilding.Scale()
	swings := map[*dxf.Shape]bool{}
	for _, w := range p.Swings() {
		if w.Radius*m <= mostLeaf {
			swings[w.Shape] = true
		}
	}
	small := smallBlocks(p, furniture/m)
	leaf := leaves(p, toBuilding)
	var at rtree.RTreeG[int]
	for i, b := range symbols {
		b = b.Grow(atSymbol / m)
		at.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	standsAt := func(v dxf.Vec3) int {
		hit := -1
		at.Search([2]float64{v.X, v.Y}, [2]float64{v.X, v.Y}, func(_, _ [2]float64, i int) bool {
			hit = i
			return false
		})
		return hit
	}
	var out []lineWork
	for i := range shapes {
		sh := &shapes[i]
		n := len(sh.Points)
		if sh.Paper || !sh.Visible || n < 2 || i < len(p.Shapes) && swings[&p.Shapes[i]] || slices.ContainsFunc(sh.Path, func(b string) bool { return small[b] }) {
			continue
		}
		if framed(sh) {
			continue
		}
		long, short := span(sh)
		long, short = long*m, short*m
		switch {
		case sh.Kind == dxf.CircleShape && long < 2*curve, sh.Kind == dxf.ArcShape && long < shortArc:
			continue
		case sh.Closed && (long < furniture && short > thickWall || clouded(sh, m)):
			continue
		}
		if a := standsAt(sh.Points[0]); !sh.Closed && a >= 0 {
			if b := standsAt(sh.Points[n-1]); b >= 0 && a != b && meets(sh.Points[1], sh.Points[0], symbols[a]) && meets(sh.Points[n-2], sh.Points[n-1], symbols[b]) || inOne(sh, symbols[a]) {
				continue
			}
		}
		if !sh.Closed {
			n--
		}
		for k := range n {
			w := geom.Segment{A: plan.At(sh.Points[k]), B: plan.At(sh.Points[(k+1)%len(sh.Points)])}
			if of.Ignores(w.A) && of.Ignores(w.B) || of.Region != nil && !of.Region.Contains(w.A) && !of.Region.Contains(w.B) && !w.HitsBox(*of.Region) {
				continue
			}
			w = geom.Segment{A: toBuilding.Apply(w.A), B: toBuilding.Apply(w.B)}
			if w.A.IsFinite() && w.B.IsFinite() && w.Len() > 1e-6 && !leaf(w) {
				out = append(out, lineWork{w, sh.EffLayer, i})
			}
		}
	}
	return out
}

// leaves tells which pieces, in metres, are the leaves of doors: they reach from the centre of a swing to its arc, or
// close the doorway.
func leaves(p *plan.Page, toBuilding geom.Affine) func(geom.Segment) bool {
	type swing struct {
		centre, a, b geom.Point
		radius       float64
	}
	var swings []swing
	var tree rtree.RTreeG[int]
	m := toBuilding.Scale()
	for _, s := range p.Swings() {
		r := s.Radius * m
		if r < leastLeaf || r > mostLeaf {
			continue
		}
		a, b := s.Ends()
		w := swing{toBuilding.Apply(s.Center), toBuilding.Apply(a), toBuilding.Apply(b), r}
		at := [2]float64{w.centre.X, w.centre.Y}
		tree.Insert(at, at, len(swings))
		swings = append(swings, w)
	}
	return func(s geom.Segment) bool {
		found := false
		for _, e := range []geom.Segment{s, {A: s.B, B: s.A}} {
			near(&tree, geom.BoxOf(e.A).Grow(thickLeaf), func(i int) {
				w := swings[i]
				if e.A.Dist(w.centre) <= thickLeaf && min(e.B.Dist(w.a), e.B.Dist(w.b)) <= thickLeaf && math.Abs(s.Len()-w.radius) <= thickLeaf {
					found = true
				}
			})
		}
		return found
	}
}

// clouded reports whether an outline is one of many small bows, as around what a revision has changed.
func clouded(sh *dxf.Shape, metres float64) bool {
	if len(sh.Points) < 24 {
		return false
	}
	length, long := 0.0, 0.0
	corners := make([]plan.Wall, len(sh.Points))
	for k, v := range sh.Points {
		s := geom.Segment{A: plan.At(v), B: plan.At(sh.Points[(k+1)%len(sh.Points)])}
		length, long = length+s.Len(), max(long, s.Len())
		corners[k].Segment = s
	}
	around := hull(corners)
	return len(around) > 2 && long*metres < 0.5 && length > 1.1*geom.PathLen(append(around, around[0]))
}

// span is how long and how wide a shape is, seen along its longest piece.
func span(sh *dxf.Shape) (long, short float64) {
	var along geom.Point
	for k := range sh.Points[1:] {
		if d := plan.At(sh.Points[k+1]).Sub(plan.At(sh.Points[k])); d.Len() > along.Len() {
			along = d
		}
	}
	turn := along.Angle()
	b := geom.EmptyBox()
	for _, v := range sh.Points {
		b = b.Extend(plan.At(v).Turn(-turn))
	}
	return max(b.Width(), b.Height()), min(b.Width(), b.Height())
}

// meets reports whether a line that comes from one point and ends at another ends at a symbol, or would run on into the middle of it.
func meets(from, end dxf.Vec3, b geom.Box) bool {
	a, e := plan.At(from), plan.At(end)
	if b.Grow(0.1 * max(b.Width(), b.Height())).Contains(e) {
		return true
	}
	if l := a.Dist(e); l > 0 {
		e = e.Add(e.Sub(a).Mul(2 * max(b.Width(), b.Height()) / l))
	}
	return geom.Segment{A: a, B: e}.HitsBox(geom.Around(b.Center(), b.Width()/2, b.Height()/2))
}

func inOne(sh *dxf.Shape, b geom.Box) bool {
	for _, v := range sh.Points {
		if !b.Contains(plan.At(v)) {
			return false
		}
	}
	return true
}

// smallBlocks are the blocks, as stored, that are nowhere larger than so many drawing units, and those with attributes.
func smallBlocks(p *plan.Page, size float64) map[string]bool {
	out := map[string]bool{}
	for i := range p.Inserts {
		b, in := p.Symbols[i], &p.Inserts[i]
		small, known := out[in.Block]
		out[in.Block] = (small || !known) && (max(b.Width(), b.Height()) < size || len(in.Attribs) > 0)
	}
	return out
}

func treeOf(work []lineWork) *rtree.RTreeG[int] {
	var t rtree.RTreeG[int]
	for i, w := range work {
		b := w.Box()
		t.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	return &t
}

func near(t *rtree.RTreeG[int], b geom.Box, visit func(i int)) {
	t.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
		visit(i)
		return true
	})
}

// treads marks lines of one length side by side at one distance, as steps are drawn.
func treads(work []lineWork) []bool {
	drop := make([]bool, len(work))
	tree := treeOf(work)
	// next lists the lines of about the length of i that run beside it: by how far to the left, negative to the right.
	beside := func(i int) (left, right float64, l, r int) {
		w := work[i]
		u := w.B.Sub(w.A).Mul(1 / w.Len())
		left, right, l, r = math.Inf(1), math.Inf(1), -1, -1
		near(tree, w.Box().Grow(mostTread), func(j int) {
			o := work[j]
			if j == i || math.Abs(o.Len()-w.Len()) > 0.01*w.Len() || math.Abs(o.B.Sub(o.A).Cross(u)) > 0.02*o.Len() {
				return
			}
			v := geom.Point{X: (o.A.X + o.B.X - w.A.X - w.B.X) / 2, Y: (o.A.Y + o.B.Y - w.A.Y - w.B.Y) / 2}
			if d := u.Cross(v); math.Abs(v.Dot(u)) < 0.2*w.Len() && math.Abs(d) <= mostTread && math.Abs(d) > touching {
				if d > 0 && d < left {
					left, l = d, j
				}
				if d < 0 && -d < right {
					right, r = -d, j
				}
			}
		})
		return left, right, l, r
	}
	type link struct{ l, r int }
	links := make([]link, len(work))
	for i := range work {
		links[i] = link{-1, -1}
		if work[i].Len() < 0.6 {
			continue
		}
		left, right, l, r := beside(i)
		if l >= 0 && r >= 0 && left >= leastTread && right >= leastTread && math.Abs(left-right) < 0.1*left {
			links[i] = link{l, r}
		}
	}
	for i := range work {
		if links[i].l < 0 || drop[i] {
			continue
		}
		// Those that have one on either side, next to each other.
		run := []int{i}
		seen := map[int]bool{i: true}
		for k := 0; k < len(run); k++ {
			for _, j := range []int{links[run[k]].l, links[run[k]].r} {
				if links[j].l >= 0 && !seen[j] {
					seen[j] = true
					run = append(run, j)
				}
			}
		}
		if len(run)+2 < flight {
			continue
		}
		for _, k := range run {
			drop[k], drop[links[k].l], drop[links[k].r] = true, true, true
		}
	}
	return drop
}

// touch reports whether one of two lines ends at the other, or runs on through it by no more than a wall is thick.
func touch(w, o geom.Segment) bool {
	if min(w.Dist(o.A), w.Dist(o.B), o.Dist(w.A), o.Dist(w.B)) <= touching {
		return true
	}
	x, ok := w.Meet(o)
	return ok && min(x.Dist(w.A), x.Dist(w.B), x.Dist(o.A), x.Dist(o.B)) <= thickWall
}

// parts are lines that hang together: each touches another with an end, or is part of the same shape.
type parts struct {
	of    []int // part of each line
	boxes map[int]geom.Box
	lines map[int]int
}

func partsOf(work []lineWork) parts {
	p := parts{of: make([]int, len(work)), boxes: map[int]geom.Box{}, lines: map[int]int{}}
	for i := range p.of {
		p.of[i] = i
	}
	root := func(i int) int {
		for p.of[i] != i {
			p.of[i] = p.of[p.of[i]]
			i = p.of[i]
		}
		return i
	}
	tree := treeOf(work)
	for i, w := range work {
		near(tree, w.Box().Grow(touching), func(j int) {
			if j <= i || root(i) == root(j) {
				return
			}
			o := work[j]
			if w.shape == o.shape || touch(w.Segment, o.Segment) {
				a, b := root(i), root(j)
				p.of[max(a, b)] = min(a, b)
			}
		})
	}
	for i, w := range work {
		k := root(i)
		p.of[i] = k
		b, ok := p.boxes[k]
		if !ok {
			b = geom.EmptyBox()
		}
		p.boxes[k] = b.Extend(w.A).Extend(w.B)
		p.lines[k]++
	}
	return p
}

// Frames of sheets, in metres and lines.
const (
	frameLines = 24  // a frame with its title block has fewer, the outer walls with what abuts them more
	frameGap   = 0.8 // between a frame and the plan, on three sides at least
)

// inBuilding leaves out of the linework of a sheet what lies around and beside the building: frames, legends,
// title blocks. The building is where the devices that count stand.
func (s *Sheet) inBuilding(work []lineWork) []lineWork {
	if len(s.Counted) == 0 {
		return work
	}
	p := partsOf(work)
	order := slices.SortedFunc(maps.Keys(p.boxes), func(a, b int) int {
		return cmp.Or(cmp.Compare(p.boxes[b].Area(), p.boxes[a].Area()), cmp.Compare(a, b))
	})
	devices := make([]geom.Point, len(s.Counted))
	for i, b := range s.Counted {
		devices[i] = s.ToBuilding.Apply(b.Center())
	}
	around := geom.BoxOf(devices...)
	holds := map[int]bool{} // parts with a device in their box
	for _, a := range order {
		holds[a] = holdsAny(p.boxes[a], devices)
	}
	gone := map[int]bool{}
	for k, a := range slices.Backward(order) { // the innermost of several frames first
		if p.lines[a] > frameLines || !encloses(p.boxes[a], around) { // a frame is around all that counts
			continue
		}
		rest := geom.EmptyBox()
		inside := func(b geom.Box) bool { return encloses(p.boxes[a].Grow(touching), b) }
		for _, b := range order[k+1:] {
			if !gone[b] && holds[b] && inside(p.boxes[b]) {
				rest = rest.Union(p.boxes[b])
			}
		}
		o := p.boxes[a]
		gaps := 0
		for _, d := range []float64{rest.Min.X - o.Min.X, rest.Min.Y - o.Min.Y, o.Max.X - rest.Max.X, o.Max.Y - rest.Max.Y} {
			if d >= frameGap {
				gaps++
			}
		}
		gone[a] = gaps >= 3 && !rest.Empty() && encloses(rest.Grow(besideWall), around) // and so is the rest without it
	}
	// What stands in no box around a part with devices is beside the building.
	var kept rtree.RTreeG[int]
	for _, a := range order {
		if !gone[a] && holds[a] {
			b := p.boxes[a].Grow(pairGap)
			kept.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, a)
		}
	}
	if kept.Len() == 0 {
		return work
	}
	out := map[int]bool{}
	for _, a := range order {
		near := false
		kept.Search([2]float64{p.boxes[a].Min.X, p.boxes[a].Min.Y}, [2]float64{p.boxes[a].Max.X, p.boxes[a].Max.Y}, func(_, _ [2]float64, _ int) bool {
			near = true
			return false
		})
		out[a] = gone[a] || !near
	}
	drop := make([]bool, len(work))
	for i := range work {
		drop[i] = out[p.of[i]]
	}
	return without(work, drop)
}

func holdsAny(b geom.Box, ps []geom.Point) bool {
	b = b.Grow(besideWall)
	return slices.ContainsFunc(ps, b.Contains)
}

// looseEnds marks lines that hang together with others to less than a wall's length, and
// lone lines, unless they carry on a wall or are one face of it.
func looseEnds(work []lineWork) []bool {
	p := partsOf(work)
	drop := make([]bool, len(work))
	for i := range work {
		b := p.boxes[p.of[i]]
		drop[i] = p.lines[p.of[i]] == 1 || max(b.Width(), b.Height()) < looseWork
	}
	kept := without(work, drop)
	walls, all := treeOf(kept), treeOf(work)
	for i, w := range work {
		if !drop[i] || w.Len() < 2*touching {
			continue
		}
		u := w.B.Sub(w.A).Mul(1 / w.Len())
		// A piece between two doors carries on the line of a wall.
		near(walls, w.Box().Grow(doorGap), func(j int) {
			k := kept[j]
			if math.Abs(k.A.Sub(w.A).Cross(u)) < inLine && math.Abs(k.B.Sub(w.A).Cross(u)) < inLine {
				drop[i] = false
			}
		})
		// The two faces of a wall.
		if w.Len() >= looseWork {
			near(all, w.Box().Grow(thickWall), func(j int) {
				k := work[j]
				off := math.Abs(k.A.Sub(w.A).Cross(u))
				from, to := k.A.Sub(w.A).Dot(u), k.B.Sub(w.A).Dot(u)
				if j != i && k.Len() >= looseWork/2 && off > 2*touching && off < thickWall && math.Abs(math.Abs(k.B.Sub(w.A).Cross(u))-off) < inLine &&
					min(max(from, to), w.Len())-max(min(from, to), 0) > 0.5*min(w.Len(), k.Len()) {
					drop[i] = false
				}
			})
		}
	}
	return drop
}

// through marks lines that cross others and touch nothing at their ends, as the axes
// of a grid, match lines and leaders do.
func through(work []lineWork) []bool {
	drop := make([]bool, len(work))
	tree := treeOf(work)
	for i, w := range work {
		if w.Len() < 2*fromCrown {
			continue
		}
		crossed, held := 0, 0
		for _, e := range []geom.Point{w.A, w.B} {
			free := true
			near(tree, geom.BoxOf(e).Grow(touching), func(j int) {
				if j != i && work[j].Dist(e) <= touching {
					free = false
				}
			})
			if !free {
				held++
			}
		}
		if held > 0 {
			continue
		}
		near(tree, w.Box(), func(j int) {
			o := work[j]
			if j == i {
				return
			}
			if x, ok := w.Meet(o.Segment); ok && min(x.Dist(w.A), x.Dist(w.B), x.Dist(o.A), x.Dist(o.B)) > fromCrown {
				crossed++
			}
		})
		drop[i] = crossed >= 2
	}
	return drop
}
