package tour

import (
	"math"

	"loopwright/takeoff/geom"
)

// Secondary is what makes one of two near-equal tours the better one to install: fewer turns, fewer crossings.
type Secondary struct {
	// Turns is the cost of passing from place prev through at to next. It must not depend on the direction. It is
	// not asked at the start, nor at the end of a chain.
	Turns func(prev, at, next int) float64
	// Crossing is the cost of each pair of legs that cross as straight lines in plan; it needs Problem.Points.
	Crossing float64
}

// crossingCost makes a crossing as bad as two turns: the drafter's choice, not a measured one.
const crossingCost = 2

// Tidy counts direction changes along the legs and crossings between them. Under the rectilinear metric a leg that
// is oblique to the axes has one bend of its own and may leave and arrive along either axis, whichever turns less;
// under the Euclidean metric a turn is counted by its angle in quarter turns.
func Tidy(points []geom.Point, metric Metric, axis float64) *Secondary {
	if metric == Euclidean {
		return &Secondary{Turns: func(prev, at, next int) float64 {
			return bendAngle(points[prev], points[at], points[next])
		}, Crossing: crossingCost}
	}
	q := make([]geom.Point, len(points))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, p := range points {
		q[i] = turned(p, axis)
		lo, hi = math.Min(lo, math.Min(q[i].X, q[i].Y)), math.Max(hi, math.Max(q[i].X, q[i].Y))
	}
	flat := 1e-9 * (hi - lo) // offsets below this are rounding
	return &Secondary{Turns: func(prev, at, next int) float64 {
		return bendSquare(q[prev], q[at], q[next], flat)
	}, Crossing: crossingCost}
}

// bendAngle is the angle between two legs in quarter turns: 0 straight on, 2 straight back.
func bendAngle(a, b, c geom.Point) float64 {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	if ux == 0 && uy == 0 || vx == 0 && vy == 0 {
		return 0
	}
	return math.Abs(math.Atan2(float64(ux*vy)-float64(uy*vx), float64(ux*vx)+float64(uy*vy))) / (math.Pi / 2)
}

// bendSquare counts the quarter turns at b and half of each leg's own bend. A leg may run in one axis direction, or in
// either of two if it is oblique; offsets up to flat are none.
func bendSquare(a, b, c geom.Point, flat float64) float64 {
	inX, inY := heading(b.X-a.X, flat), heading(b.Y-a.Y, flat)
	outX, outY := heading(c.X-b.X, flat), heading(c.Y-b.Y, flat)
	if inX == 0 && inY == 0 || outX == 0 && outY == 0 {
		return 0
	}
	turn := 2.0
	switch {
	case inX*outX > 0 || inY*outY > 0:
		turn = 0
	case inX*outY != 0 || inY*outX != 0:
		turn = 1
	}
	if inX*inY != 0 {
		turn += 0.5
	}
	if outX*outY != 0 {
		turn += 0.5
	}
	return turn
}

func heading(offset, flat float64) int {
	if math.Abs(offset) <= flat {
		return 0
	}
	return sign(offset)
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// Cost is the secondary cost of an order of places of the problem.
func (c *Secondary) Cost(p *Problem, order []int) float64 {
	n := len(order)
	sum := 0.0
	if c.Turns != nil {
		for k := 1; k < n; k++ {
			if k+1 == n && (p.Open || n < 3) {
				break
			}
			sum += c.Turns(order[k-1], order[k], order[(k+1)%n])
		}
	}
	if c.Crossing == 0 || len(p.Points) == 0 {
		return sum
	}
	legs := n
	if p.Open {
		legs--
	}
	for k := range legs {
		for j := range k {
			if cross(p.Points[order[j]], p.Points[order[j+1]], p.Points[order[k]], p.Points[order[(k+1)%n]]) {
				sum += c.Crossing
			}
		}
	}
	return sum
}

// cross reports whether the segments ab and cd cross inside both; touching at an end is no crossing.
func cross(a, b, c, d geom.Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) {
		return false
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

func side(a, b, c geom.Point) int {
	return sign(float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X)))
}
