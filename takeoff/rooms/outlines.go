package rooms

import (
	"cmp"
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// Least and greatest area in square metres of an outline that may be a room's.
const (
	leastRoom    = 1.0
	greatestRoom = 20000.0
)

// outlines are the closed outlines of a plan that hold one room name each.
type outlines struct {
	rings []geom.Ring // metres, building's frame, the smallest first
	names []int       // index of the name in each, -1 where it holds none or several
	tree  rtree.RTreeG[int]
}

// outlinesOf finds the outlines of rooms. A name belongs to the smallest outline
// around it; an outline that is left with one name is that room's.
func outlinesOf(sheets []Sheet, names []Label) *outlines {
	o := &outlines{}
	for _, s := range sheets {
		metres := s.ToBuilding.Scale()
		for i := range s.Page.Shapes {
			sh := &s.Page.Shapes[i]
			if !sh.Closed || sh.Kind != dxf.PolylineShape || sh.Paper || !sh.Visible || len(sh.Points) < 3 || len(sh.Points) > 5000 {
				continue
			}
			ring := make(geom.Ring, len(sh.Points))
			for k, v := range sh.Points {
				ring[k] = plan.At(v)
			}
			if a := math.Abs(ring.Area()) * metres * metres; a < leastRoom || a > greatestRoom || !s.Keep(ring.Box().Center()) {
				continue
			}
			for k := range ring {
				ring[k] = s.ToBuilding.Apply(ring[k])
			}
			o.rings = append(o.rings, ring)
		}
	}
	slices.SortStableFunc(o.rings, func(a, b geom.Ring) int { return cmp.Compare(math.Abs(a.Area()), math.Abs(b.Area())) })
	o.names = make([]int, len(o.rings))
	held := make([][]int, len(o.rings))
	for i, r := range o.rings {
		b := r.Box()
		o.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
		o.names[i] = -1
	}
	in := make([]int, len(names))
	for k, n := range names {
		if in[k] = o.around(n.Pos, func(int) bool { return true }); in[k] >= 0 {
			held[in[k]] = append(held[in[k]], k)
		}
	}
	for i, ks := range held { // the smallest first
		other := func(k int) bool { return names[k].Text() != names[ks[0]].Text() }
		if len(ks) == 0 || slices.ContainsFunc(ks, other) {
			continue
		}
		// What else it holds has outlines of its own inside it: the frames of two sheets that lie over each other have not.
		alone := true
		for k := range names {
			if j := in[k]; alone && j != i && other(k) && o.rings[i].Box().Contains(names[k].Pos) && o.rings[i].Contains(names[k].Pos) {
				alone = j >= 0 && o.names[j] >= 0 && encloses(o.rings[i].Box().Grow(touching), o.rings[j].Box())
			}
		}
		if alone {
			o.names[i] = ks[0]
		}
	}
	return o
}

// around returns the smallest outline around p that ok admits, -1 if none.
func (o *outlines) around(p geom.Point, ok func(i int) bool) int {
	best := -1
	o.tree.Search([2]float64{p.X, p.Y}, [2]float64{p.X, p.Y}, func(_, _ [2]float64, i int) bool {
		if (best < 0 || i < best) && ok(i) && o.rings[i].Contains(p) {
			best = i
		}
		return true
	})
	return best
}

// room returns the name of the room whose outline is the smallest named one around p.
func (o *outlines) room(p geom.Point) (name int, ring geom.Ring) {
	if i := o.around(p, func(i int) bool { return o.names[i] >= 0 }); i >= 0 {
		return o.names[i], o.rings[i]
	}
	return -1, nil
}

func encloses(b, in geom.Box) bool { return b.Contains(in.Min) && b.Contains(in.Max) }
