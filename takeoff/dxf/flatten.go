package dxf

import "math"

// relativeChord is the chord error taken where none is asked for, as a part of
// the radius: it makes 32 pieces of a circle.
const relativeChord = 1.0 / 200

const (
	minArcPieces = 2
	maxArcPieces = 720
)

// pieces tells into how many straight pieces an arc is cut so that none is
// farther than chord from it.
func pieces(radius, sweep, chord float64) int {
	if chord <= 0 {
		chord = math.Abs(radius) * relativeChord
	}
	ratio := 1 - chord/math.Abs(radius)
	step := 90.0
	if ratio > 0 {
		step = min(step, 2*math.Acos(ratio)*180/math.Pi)
	}
	n := math.Ceil(math.Abs(sweep)/step - 1e-9)
	if math.IsNaN(n) {
		return minArcPieces
	}
	return int(min(max(n, minArcPieces), maxArcPieces))
}

// arcAngles turns start and end of an arc, which run counter-clockwise, into
// start and sweep; equal angles make a full circle.
func arcAngles(start, end float64) (from, sweep float64) {
	sweep = math.Mod(end-start, 360)
	if sweep <= 0 {
		sweep += 360
	}
	return start, sweep
}

// flattenArc cuts an arc in the plane z = center.Z; angles in degrees.
func flattenArc(center Vec3, radius, start, sweep, chord float64) []Vec3 {
	n := pieces(radius, sweep, chord)
	out := make([]Vec3, n+1)
	for k := range out {
		sin, cos := sincos(start + sweep*float64(k)/float64(n))
		out[k] = Vec3{center.X + radius*cos, center.Y + radius*sin, center.Z}
	}
	return out
}

// bulgeArc returns center, radius and angles of the arc between two vertices.
// DXF reference, LWPOLYLINE: the bulge is the tangent of a fourth of the included
// angle, negative if the arc runs clockwise.
func bulgeArc(a, b Vec3, bulge float64) (center Vec3, radius, start, sweep float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	h := (1 - bulge*bulge) / (4 * bulge) // of the center above the chord, in chords
	center = Vec3{(a.X+b.X)/2 - h*dy, (a.Y+b.Y)/2 + h*dx, a.Z}
	radius = math.Hypot(a.X-center.X, a.Y-center.Y)
	start = math.Atan2(a.Y-center.Y, a.X-center.X) * 180 / math.Pi
	sweep = 4 * math.Atan(bulge) * 180 / math.Pi
	return center, radius, start, sweep
}

// flattenBulges cuts a polyline with bulges and maps it to the world.
func flattenBulges(vs []vertex, closed bool, chord float64, o Affine) []Vec3 {
	out := make([]Vec3, 0, len(vs)+1)
	for k := range vs {
		out = append(out, vs[k].Vec3)
		last := k == len(vs)-1
		if vs[k].bulge == 0 || last && !closed {
			continue
		}
		next := vs[(k+1)%len(vs)].Vec3
		if next.X == vs[k].X && next.Y == vs[k].Y {
			continue
		}
		c, r, start, sweep := bulgeArc(vs[k].Vec3, next, vs[k].bulge)
		if arc := flattenArc(c, r, start, sweep, chord); len(out)+len(arc) < maxPoints {
			out = append(out, arc[1:len(arc)-1]...)
		}
	}
	return mapAll(o, out)
}

func mapAll(m Affine, points []Vec3) []Vec3 {
	if m == Identity {
		return points
	}
	for k := range points {
		points[k] = m.Apply(points[k])
	}
	return points
}

// ellipse cuts an ELLIPSE. DXF reference, ELLIPSE: center and major axis in the
// world, ratio of the axes, start and end as parameters in radians.
func (f *figure) ellipse(chord float64) (points []Vec3, closed bool) {
	normal, ok := f.extrusion.unit()
	if !ok {
		normal = Vec3{0, 0, 1}
	}
	major := f.p[1]
	minor := normal.cross(major).times(f.numbers[40])
	start, end := f.numbers[41], f.numbers[42]
	if _, given := f.numbers[42]; !given {
		end = 2 * math.Pi
	}
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= 1e-12 {
		sweep += 2 * math.Pi
	}
	closed = sweep > 2*math.Pi-1e-9
	return ellipsePoints(f.p[0], major, minor, start, sweep, chord, closed), closed
}

// ellipsePoints cuts an elliptic arc; a closed one does not repeat its start.
func ellipsePoints(center, major, minor Vec3, start, sweep, chord float64, closed bool) []Vec3 {
	n := pieces(max(major.length(), minor.length()), sweep*180/math.Pi, chord)
	out := make([]Vec3, 0, n+1)
	for k := 0; k <= n; k++ {
		if closed && k == n {
			break
		}
		sin, cos := math.Sincos(start + sweep*float64(k)/float64(n))
		out = append(out, center.add(major.times(cos)).add(minor.times(sin)))
	}
	return out
}
