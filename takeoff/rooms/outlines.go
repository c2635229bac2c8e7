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

// Outlines are the closed outlines of a plan that hold one room name each.
type Outlines struct {
	rings []geom.Ring // metres, building's frame, the smallest first
	names []int       // index of the name in each, -1 where it holds none or several
	tree  rtree.RTreeG[int]
}

// outlinesOf finds the outlines of rooms. A name belongs to the smallest outline
// around it; an outline that is left with one name is that room's.
func outlinesOf(sheets []Sheet, names []Label) *Outlines {
	o := &Outlines{}
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
	for k, n := range names {
		if i := o.around(n.Pos, func(int) bool { return true }); i >= 0 {
			held[i] = append(held[i], k)
		}
	}
	for i, ks := range held {
		other := func(k int) bool { return names[k].Text() != names[ks[0]].Text() }
		if len(ks) == 0 || slices.ContainsFunc(ks, other) {
			continue
		}
		// Where outlines cross, as the frames of two sheets do, none is a room's.
		crossed := false
		b := o.rings[i].Box()
		o.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, j int) bool {
			crossed = j != i && slices.ContainsFunc(held[j], func(k int) bool { return other(k) && o.rings[i].Contains(names[k].Pos) }) &&
				!encloses(b.Grow(0.1), o.rings[j].Box())
			return !crossed
		})
		if !crossed {
			o.names[i] = ks[0]
		}
	}
	return o
}

// around returns the smallest outline around p that ok admits, -1 if none.
func (o *Outlines) around(p geom.Point, ok func(i int) bool) int {
	best := -1
	o.tree.Search([2]float64{p.X, p.Y}, [2]float64{p.X, p.Y}, func(_, _ [2]float64, i int) bool {
		if (best < 0 || i < best) && ok(i) && o.rings[i].Contains(p) {
			best = i
		}
		return true
	})
	return best
}

// Room returns the name of the room whose outline is the smallest named one around p.
func (o *Outlines) Room(p geom.Point) (name int, ring geom.Ring) {
	if i := o.around(p, func(i int) bool { return o.names[i] >= 0 }); i >= 0 {
		return o.names[i], o.rings[i]
	}
	return -1, nil
}

func encloses(b, in geom.Box) bool { return b.Contains(in.Min) && b.Contains(in.Max) }
