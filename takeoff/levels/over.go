package levels

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// Marks are the things on one plan that may stand above themselves on another, by what
// they are: the texts of a grid, the symbols of stairs and shafts. Places are in one frame.
type Marks map[string][]geom.Point

// mostMarks bounds how many marks are compared: a grid has a few dozen.
const mostMarks = 400

// Shift is by how much the marks of b stand away from those of a: the shift on which most
// of those agree that stand once on each. n of them do, within a distance, of all that
// both have. One that leaves b where it is is preferred to another with as many.
func Shift(a, b Marks, within float64) (by geom.Point, n, of int) {
	var cands []geom.Point
	for what, p := range a {
		if q := b[what]; len(p) == 1 && len(q) == 1 {
			cands = append(cands, q[0].Sub(p[0]))
		}
	}
	slices.SortFunc(cands, func(p, q geom.Point) int {
		return cmp.Or(cmp.Compare(p.Len(), q.Len()), cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	cands = cands[:min(len(cands), mostMarks)]
	for _, c := range cands {
		k := 0
		for _, o := range cands {
			if o.Dist(c) <= within {
				k++
			}
		}
		if k > n {
			by, n = c, k
		}
	}
	return by, n, len(cands)
}

const (
	wallBin   = 0.1   // metres: walls are compared to a tenth
	wallReach = 400.0 // metres: the widest plan, and the farthest that one is looked for
	peaks     = 3     // shifts along each axis that are tried
)

// WallShifts are the shifts by which the walls of b may come to lie on those of a, both
// in metres and square to the axes: those along each axis for which most wall length meets.
func WallShifts(a, b []geom.Segment) []geom.Point {
	var out []geom.Point
	xs, ys := meeting(profile(a, 0), profile(b, 0)), meeting(profile(a, 1), profile(b, 1))
	for _, x := range xs {
		for _, y := range ys {
			out = append(out, geom.Pt(x, y))
		}
	}
	return out
}

// standing is the length of the walls across an axis (0: x, 1: y) by where they stand along it.
type standing struct {
	from int // bin of the first value
	sum  []float64
}

func profile(walls []geom.Segment, axis int) standing {
	at := map[int]float64{}
	lo, hi := math.MaxInt, math.MinInt
	for _, w := range walls {
		d := w.B.Sub(w.A)
		along, across, pos := d.X, d.Y, w.A.X
		if axis == 1 {
			along, across, pos = d.Y, d.X, w.A.Y
		}
		if math.Abs(along) > 0.02*math.Abs(across) || math.Abs(pos) > 1e7 {
			continue
		}
		k := int(math.Floor(pos / wallBin))
		at[k] += math.Abs(across)
		lo, hi = min(lo, k), max(hi, k)
	}
	if len(at) == 0 || float64(hi-lo) > wallReach/wallBin {
		return standing{}
	}
	p := standing{lo, make([]float64, hi-lo+1)}
	for k, v := range at {
		p.sum[k-lo] = v
	}
	return p
}

// meeting lists the shifts of b against a, in metres, at which the profiles agree best.
func meeting(a, b standing) []float64 {
	n, m := len(a.sum), len(b.sum)
	if n == 0 || m == 0 {
		return nil
	}
	score := make([]float64, n+m-1) // by shift of b against a, from -(n-1)
	for i, v := range a.sum {
		if v == 0 {
			continue
		}
		for j, w := range b.sum {
			if w != 0 {
				score[j-i+n-1] += math.Min(v, w)
			}
		}
	}
	order := make([]int, len(score))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(p, q int) int { return cmp.Compare(score[q], score[p]) })
	var out []float64
	var taken []int
	for _, k := range order {
		if len(out) == peaks || score[k] == 0 {
			break
		}
		if !slices.ContainsFunc(taken, func(o int) bool { return o-k < 3 && k-o < 3 }) {
			taken = append(taken, k)
			out = append(out, float64(k-(n-1)+b.from-a.from)*wallBin)
		}
	}
	return out
}

// Refine brings a shift of b's walls against a's, found to a tenth of a metre, to where the
// middle one of the walls that meet stands on the other.
func Refine(a, b []geom.Segment, by geom.Point) geom.Point {
	return by.Add(geom.Pt(offset(a, b, 0, by.X), offset(a, b, 1, by.Y)))
}

// offset is how far the middle one of b's walls across an axis still stands from a's, once shifted.
func offset(a, b []geom.Segment, axis int, by float64) float64 {
	pa, pb := positions(a, axis), positions(b, axis)
	var off []float64
	for _, p := range pb {
		at := p - by
		i, _ := slices.BinarySearch(pa, at)
		best := 2 * wallBin
		for _, k := range []int{i - 1, i} {
			if k >= 0 && k < len(pa) && math.Abs(at-pa[k]) < math.Abs(best) {
				best = at - pa[k]
			}
		}
		if math.Abs(best) < 2*wallBin {
			off = append(off, best)
		}
	}
	if len(off) == 0 {
		return 0
	}
	slices.Sort(off)
	return off[len(off)/2]
}

// positions are where the walls across an axis stand along it, in order.
func positions(walls []geom.Segment, axis int) []float64 {
	var out []float64
	for _, w := range walls {
		d := w.B.Sub(w.A)
		along, across, pos := d.X, d.Y, w.A.X
		if axis == 1 {
			along, across, pos = d.Y, d.X, w.A.Y
		}
		if math.Abs(across) > 0.3 && math.Abs(along) <= 0.02*math.Abs(across) {
			out = append(out, pos)
		}
	}
	slices.Sort(out)
	return out
}
