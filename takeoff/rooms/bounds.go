package rooms

import (
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// What bounds rooms, in metres. Common practice, no source: furniture and symbols are
// smaller than the walls of a room are long, walls are 0.06 to 0.5 m thick, steps
// of stairs 0.2 to 0.45 m deep.
const (
	furniture  = 2.6  // the longer side of what stands in a room
	thickWall  = 0.5  // the shorter side of a piece of wall drawn as a closed outline
	looseWork  = 1.6  // lines that hang together and span less are no wall
	touching   = 0.03 // ends nearer than this to a line touch it
	leastTread = 0.2
	mostTread  = 0.45
	flight     = 4   // treads that make a flight of stairs
	curve      = 1.5 // an arc or a circle with a smaller radius is no wall
	fromCrown  = 0.6 // a line that crosses another farther from its end goes through it
)

// piece of linework that may bound rooms.
type lineWork struct {
	geom.Segment
	layer string
	shape int // it is part of
}

// bounds lists the linework of a part of a page that bounds rooms by its shape: long lines,
// closed outlines and what hangs together with them. Furniture, symbols, doors, stairs,
// wiring from symbol to symbol and lines that go through walls are none. toBuilding brings drawing
// units into metres; symbols are the boxes of devices, in drawing units.
func bounds(p *plan.Page, of plan.Part, toBuilding geom.Affine, symbols []geom.Box) []plan.Wall {
	work := candidates(p, of, toBuilding, symbols)
	work = without(work, treads(work))
	work = without(work, looseEnds(work))
	work = without(work, through(work))
	out := make([]plan.Wall, len(work))
	for i, w := range work {
		out[i] = plan.Wall{Segment: w.Segment, Layer: w.layer}
	}
	return out
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

// candidates lists the straight pieces of all shapes but small ones, doors, and wiring.
func candidates(p *plan.Page, of plan.Part, toBuilding geom.Affine, symbols []geom.Box) []lineWork {
	m := toBuilding.Scale()
	small := smallBlocks(p, furniture/m)
	swings := map[*dxf.Shape]bool{}
	for _, s := range p.Swings() {
		if s.Radius*m <= curve {
			swings[s.Shape] = true
		}
	}
	var at rtree.RTreeG[int]
	for i, b := range symbols {
		b = b.Grow(0.1 / m)
		at.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	atSymbol := func(v dxf.Vec3) int {
		hit := -1
		at.Search([2]float64{v.X, v.Y}, [2]float64{v.X, v.Y}, func(_, _ [2]float64, i int) bool {
			hit = i
			return false
		})
		return hit
	}
	var out []lineWork
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		n := len(sh.Points)
		if sh.Paper || !sh.Visible || n < 2 || swings[sh] || slices.ContainsFunc(sh.Path, func(b string) bool { return small[b] }) {
			continue
		}
		box := geom.EmptyBox()
		for _, v := range sh.Points {
			box = box.Extend(plan.At(v))
		}
		long, short := max(box.Width(), box.Height())*m, min(box.Width(), box.Height())*m
		switch {
		case sh.Kind == dxf.CircleShape && long < 2*curve, sh.Kind == dxf.ArcShape && long < curve:
			continue
		case sh.Closed && long < furniture && short > thickWall:
			continue
		}
		if a := atSymbol(sh.Points[0]); !sh.Closed && a >= 0 {
			if b := atSymbol(sh.Points[n-1]); b >= 0 && a != b || inOne(sh, symbols[a]) {
				continue
			}
		}
		if !sh.Closed {
			n--
		}
		for k := range n {
			s := geom.Segment{A: plan.At(sh.Points[k]), B: plan.At(sh.Points[(k+1)%len(sh.Points)])}
			if of.Ignores(s.A) && of.Ignores(s.B) || of.Region != nil && !of.Region.Contains(s.A) && !of.Region.Contains(s.B) && !s.HitsBox(*of.Region) {
				continue
			}
			s = geom.Segment{A: toBuilding.Apply(s.A), B: toBuilding.Apply(s.B)}
			if s.A.IsFinite() && s.B.IsFinite() && s.Len() > 1e-6 {
				out = append(out, lineWork{s, sh.EffLayer, i})
			}
		}
	}
	return out
}

func inOne(sh *dxf.Shape, b geom.Box) bool {
	for _, v := range sh.Points {
		if !b.Contains(plan.At(v)) {
			return false
		}
	}
	return true
}

// smallBlocks are the blocks, as stored, that are nowhere larger than so many drawing units.
func smallBlocks(p *plan.Page, size float64) map[string]bool {
	out := map[string]bool{}
	for i := range p.Inserts {
		b, in := p.Symbols[i], &p.Inserts[i]
		small, known := out[in.Block]
		out[in.Block] = (small || !known) && max(b.Width(), b.Height()) < size
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
			if j == i || math.Abs(o.Len()-w.Len()) > 0.2*w.Len() || math.Abs(o.B.Sub(o.A).Cross(u)) > 0.02*o.Len() {
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
		if n := work[i].Len(); n < 0.6 || n > 6 {
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

// looseEnds marks the lines that hang together with others to less than a wall's length.
func looseEnds(work []lineWork) []bool {
	parent := make([]int, len(work))
	for i := range parent {
		parent[i] = i
	}
	root := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
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
			if w.shape == o.shape || min(w.Dist(o.A), w.Dist(o.B), o.Dist(w.A), o.Dist(w.B)) <= touching {
				a, b := root(i), root(j)
				parent[max(a, b)] = min(a, b)
			}
		})
	}
	boxes := map[int]geom.Box{}
	for i, w := range work {
		b, ok := boxes[root(i)]
		if !ok {
			b = geom.EmptyBox()
		}
		boxes[root(i)] = b.Extend(w.A).Extend(w.B)
	}
	drop := make([]bool, len(work))
	for i := range work {
		b := boxes[root(i)]
		drop[i] = max(b.Width(), b.Height()) < looseWork
	}
	// A short piece between two doors carries on the line of a wall.
	var kept []lineWork
	for i, w := range work {
		if !drop[i] {
			kept = append(kept, w)
		}
	}
	walls := treeOf(kept)
	for i, w := range work {
		if !drop[i] || w.Len() < 2*touching {
			continue
		}
		u := w.B.Sub(w.A).Mul(1 / w.Len())
		near(walls, w.Box().Grow(doorGap), func(j int) {
			k := kept[j]
			if k.Len() > w.Len() && math.Abs(k.A.Sub(w.A).Cross(u)) < inLine && math.Abs(k.B.Sub(w.A).Cross(u)) < inLine {
				drop[i] = false
			}
		})
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
			if x, ok := w.Meet(o.Segment); ok && x.Dist(w.A) > fromCrown && x.Dist(w.B) > fromCrown && x.Dist(o.A) > touching && x.Dist(o.B) > touching {
				crossed++
			}
		})
		drop[i] = crossed >= 2
	}
	return drop
}
