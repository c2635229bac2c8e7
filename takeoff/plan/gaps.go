package plan

import (
	"math"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
)

// Width of an opening in a wall in metres: a door or a pair of doors. Common practice, no source.
const leastGap, mostGap = 0.55, 2.7

// inLine is how far in metres two ends of one wall may stand out of line.
const inLine = 0.06

// Gaps are the openings between two ends of walls that face each other, in metres.
type Gaps struct {
	gaps []geom.Segment
	tree rtree.RTreeG[int]
}

// GapsOf finds the openings in walls, in metres.
func GapsOf(walls []geom.Segment) *Gaps {
	g := &Gaps{}
	type end struct {
		at, out geom.Point // out: unit vector away from the wall
	}
	var ends []end
	var tree rtree.RTreeG[int]
	for _, w := range walls {
		l := w.Len()
		if !(l > 1e-3) || math.IsInf(l, 0) || !w.A.IsFinite() || !w.B.IsFinite() {
			continue
		}
		u := w.B.Sub(w.A).Mul(1 / l)
		for _, e := range []end{{w.A, u.Mul(-1)}, {w.B, u}} {
			tree.Insert([2]float64{e.at.X, e.at.Y}, [2]float64{e.at.X, e.at.Y}, len(ends))
			ends = append(ends, e)
		}
	}
	reach := float64(mostGap)
	for i, e := range ends {
		b := geom.BoxOf(e.at, e.at.Add(e.out.Mul(reach))).Grow(inLine)
		best, found := math.Inf(1), -1
		tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, j int) bool {
			to := ends[j].at.Sub(e.at)
			along := to.Dot(e.out)
			if along > leastGap && along <= reach && along < best && math.Abs(to.Cross(e.out)) <= inLine && ends[j].out.Dot(e.out) < -0.99 {
				best, found = along, j
			}
			return true
		})
		if found > i { // each opening once; the one that looks back may see a nearer end
			g.add(geom.Segment{A: e.at, B: ends[found].at})
		}
	}
	return g
}

func (g *Gaps) add(s geom.Segment) {
	b := s.Box()
	g.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, len(g.gaps))
	g.gaps = append(g.gaps, s)
}

// Filled reports whether a box spans one of the openings from side to side, as the symbol
// of a door or window does and that of a device beside it does not.
func (g *Gaps) Filled(b geom.Box) bool {
	size := max(b.Width(), b.Height())
	if b.Empty() || size == 0 {
		return false
	}
	near := b.Grow(0.1 * size)
	found := false
	g.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
		s := g.gaps[i]
		found = near.Contains(s.A) && near.Contains(s.B) && size <= 1.6*s.Len()
		return !found
	})
	return found
}
