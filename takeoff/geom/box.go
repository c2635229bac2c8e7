package geom

import "math"

// Box is an axis-parallel rectangle, its edges included. The zero Box is the
// single point (0, 0); EmptyBox holds nothing.
type Box struct{ Min, Max Point }

// EmptyBox returns a box that holds no point and grows by Extend.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Point{inf, inf}, Point{-inf, -inf}}
}

// BoxOf returns the smallest box around pts; empty for no points.
func BoxOf(pts ...Point) Box {
	b := EmptyBox()
	for _, p := range pts {
		b = b.Extend(p)
	}
	return b
}

// Around returns the box of the given width and height centred on c.
func Around(c Point, w, h float64) Box {
	return Box{Point{c.X - w/2, c.Y - h/2}, Point{c.X + w/2, c.Y + h/2}}
}

// Empty reports whether b holds no point.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Extend returns b grown to hold p.
func (b Box) Extend(p Point) Box {
	return Box{
		Point{math.Min(b.Min.X, p.X), math.Min(b.Min.Y, p.Y)},
		Point{math.Max(b.Max.X, p.X), math.Max(b.Max.Y, p.Y)},
	}
}

// Union returns the smallest box that holds both.
func (b Box) Union(c Box) Box {
	if b.Empty() {
		return c
	}
	if c.Empty() {
		return b
	}
	return b.Extend(c.Min).Extend(c.Max)
}

// Grow returns b with every edge moved outward by d (inward for d < 0).
func (b Box) Grow(d float64) Box {
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// Contains reports whether p lies in b or on its edge.
func (b Box) Contains(p Point) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// Overlaps reports whether the insides of b and c share a point: boxes that only touch do not overlap.
func (b Box) Overlaps(c Box) bool {
	return b.Min.X < c.Max.X && c.Min.X < b.Max.X && b.Min.Y < c.Max.Y && c.Min.Y < b.Max.Y
}

// Width returns the extent along x; 0 for an empty box.
func (b Box) Width() float64 { return math.Max(0, b.Max.X-b.Min.X) }

// Height returns the extent along y; 0 for an empty box.
func (b Box) Height() float64 { return math.Max(0, b.Max.Y-b.Min.Y) }

// Area returns width times height.
func (b Box) Area() float64 { return b.Width() * b.Height() }

// Center returns the middle of b.
func (b Box) Center() Point { return b.Min.Lerp(b.Max, 0.5) }
