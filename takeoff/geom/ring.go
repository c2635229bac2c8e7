package geom

// Ring is a closed outline: the last point joins the first, which is not repeated.
type Ring []Point

// Area returns the signed area: positive for an anticlockwise ring.
func (r Ring) Area() float64 {
	if len(r) < 3 {
		return 0
	}
	// Summing about the first point keeps digits where a plan lies far from
	// the origin, as map coordinates do.
	a := 0.0
	for i := 1; i+1 < len(r); i++ {
		a += r[i].Sub(r[0]).Cross(r[i+1].Sub(r[0]))
	}
	return a / 2
}

// Contains reports whether p lies inside by the even-odd rule. A point on the outline may count either way.
func (r Ring) Contains(p Point) bool {
	in := false
	for i, j := 0, len(r)-1; i < len(r); j, i = i, i+1 {
		a, b := r[i], r[j]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
	}
	return in
}

// Box returns the smallest box around the ring.
func (r Ring) Box() Box { return BoxOf(r...) }

// PathLen returns the length of the open polyline through pts.
func PathLen(pts []Point) float64 {
	l := 0.0
	for i := 1; i < len(pts); i++ {
		l += pts[i-1].Dist(pts[i])
	}
	return l
}
