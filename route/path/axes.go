package path

import (
	"fmt"
	"math"

	"loopwright/takeoff/geom"
)

// Axes are the directions that a building is built on.
type Axes struct {
	// angle turns the drawing's x axis into one of the two directions, in
	// degrees, -45 < Angle <= 45.
	Angle float64
	// Confidence is the share of wall length that runs along the two directions
	// to within AxisSpread, 0 to 1; 0 where no walls were seen.
	Confidence float64
	// Note says why the drawing's axes are used, or is "".
	Note string
	// Wings are parts of the building on axes of their own, strongest first;
	// empty where one pair of directions serves all.
	Wings []Wing
}

// Wing is a part of the building on axes of its own.
type Wing struct {
	angle float64 // as Axes.Angle
	share float64 // of all wall length
	cells map[cellKey]bool
}

type cellKey struct{ x, y int }

// axisSpread is how far, in degrees, a wall may lie off an axis and still count for it.
const axisSpread = 2.0

const (
	axisBins  = 180  // of half a degree, over a quarter turn
	axisShare = 0.35 // of the wall length that must agree before axes are believed
	minTotal  = 5.0  // metres of wall below which nothing is believed
	wingShare = 0.15 // of the wall length that a wing must have
	wingApart = 5.0  // degrees between the axes of two wings
	wingCell  = 6.0  // metres: side of the squares in which walls vote for a wing
	wingClear = 0.75 // of a wing's wall length that lies in squares where it has the majority
)

// FindAxes finds the axes of a building from its wall lines: the peak of a
// length-weighted histogram of directions modulo 90 degrees. Where no direction
// stands out the axes of the drawing are returned and Note says so. Lines whose
// coordinates are not finite are left out.
func FindAxes(walls []geom.Segment) Axes {
	var votes []vote
	total := 0.0
	for _, s := range walls {
		if v, ok := newVote(s); ok {
			votes = append(votes, v)
			total += v.weight
		}
	}
	if total < minTotal {
		return Axes{Note: "drawing axes used: too few wall lines to find the building's"}
	}
	angle, share := peak(votes, total)
	if share < axisShare {
		return Axes{Confidence: share, Note: fmt.Sprintf("drawing axes used: no direction stands out among the walls (the strongest has %.0f %% of their length)", 100*share)}
	}
	a := Axes{Angle: angle, Confidence: share}
	a.Wings = wings(votes, total, angle)
	return a
}

// DrawingAxes are the axes of the drawing, with the reason for taking them.
func DrawingAxes(reason string) Axes { return Axes{Note: "drawing axes used: " + reason} }

// vote is one wall line's opinion on the axes.
type vote struct {
	angle  float64 // 0 <= angle < 90
	weight float64
	seg    geom.Segment
}

func newVote(s geom.Segment) (vote, bool) {
	d := s.B.Sub(s.A)
	if !d.IsFinite() || d == (geom.Point{}) {
		return vote{}, false
	}
	return vote{math.Mod(d.Angle(), 90), s.Len(), s}, true
}

// apart returns the angle between two directions modulo 90, 0 to 45.
func apart(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), 90)
	return math.Min(d, 90-d)
}

// peak returns the strongest direction, -45 to 45, and its share of total.
func peak(votes []vote, total float64) (angle, share float64) {
	var bins [axisBins]float64
	for _, v := range votes {
		bins[int(math.Round(v.angle*axisBins/90))%axisBins] += v.weight
	}
	best, top := 0, -1.0
	for i := range bins {
		// Neighbours count half, so that a direction on the edge of two bins loses nothing.
		s := bins[i] + (bins[(i+1)%axisBins]+bins[(i+axisBins-1)%axisBins])/2
		if s > top {
			best, top = i, s
		}
	}
	coarse := float64(best) * 90 / axisBins
	// The mean about the peak; twice, since the first may stand half a bin off.
	for range 2 {
		sum, weight := 0.0, 0.0
		for _, v := range votes {
			if apart(v.angle, coarse) <= axisSpread/2 {
				sum += v.weight * math.Remainder(v.angle-coarse, 90)
				weight += v.weight
			}
		}
		if weight > 0 {
			coarse += sum / weight
		}
	}
	for _, v := range votes {
		if apart(v.angle, coarse) <= axisSpread {
			share += v.weight
		}
	}
	angle = math.Remainder(coarse, 90)
	if angle <= -45 {
		angle += 90
	}
	if math.Abs(angle) < 1e-9 { // the noise of the mean, not a turned building
		angle = 0
	}
	return angle, share / total
}

// wings looks for further directions that hold much of the wall length and a
// part of the plan to themselves.
func wings(votes []vote, total, main float64) []Wing {
	angles := []float64{main}
	rest := votes
	for len(angles) < 4 {
		var left []vote
		for _, v := range rest {
			if apart(v.angle, angles[len(angles)-1]) > wingApart {
				left = append(left, v)
			}
		}
		rest = left
		if len(rest) == 0 {
			break
		}
		a, share := peak(rest, total)
		if share < wingShare {
			break
		}
		angles = append(angles, a)
	}
	if len(angles) < 2 {
		return nil
	}
	return settleWings(votes, total, angles)
}

// settleWings gives every square of the plan to the direction with the most
// wall length in it and drops directions that have no part of the plan to themselves.
func settleWings(votes []vote, total float64, angles []float64) []Wing {
	length := map[cellKey][]float64{}
	own := make([]float64, len(angles))
	each(votes, angles, func(c cellKey, w int, l float64) {
		if length[c] == nil {
			length[c] = make([]float64, len(angles))
		}
		length[c][w] += l
		own[w] += l
	})
	ws := make([]Wing, len(angles))
	for i, a := range angles {
		ws[i] = Wing{angle: a, share: own[i] / total, cells: map[cellKey]bool{}}
	}
	major := make([]float64, len(angles))
	for c, l := range length {
		best := 0
		for i := range l {
			if l[i] > l[best] {
				best = i
			}
		}
		ws[best].cells[c] = true
	}
	each(votes, angles, func(c cellKey, w int, l float64) {
		if ws[w].cells[c] {
			major[w] += l
		}
	})
	kept := ws[:0]
	for i, w := range ws {
		if i == 0 || major[i] >= wingClear*own[i] {
			kept = append(kept, w)
		}
	}
	if len(kept) < 2 {
		return nil
	}
	return kept
}

// each cuts the walls that follow one of the angles into pieces of about a
// metre and hands on the square, the angle and the length of each.
func each(votes []vote, angles []float64, f func(c cellKey, wing int, length float64)) {
	for _, v := range votes {
		for i, a := range angles {
			if apart(v.angle, a) > axisSpread {
				continue
			}
			n := int(math.Min(math.Ceil(v.weight), 10_000))
			for k := range n {
				p := v.seg.A.Lerp(v.seg.B, (float64(k)+0.5)/float64(n))
				f(cellOf(p), i, v.weight/float64(n))
			}
			break
		}
	}
}

func cellOf(p geom.Point) cellKey {
	return cellKey{int(math.Floor(p.X / wingCell)), int(math.Floor(p.Y / wingCell))}
}

// wingAt returns the index of the wing that p lies in, or -1: the wing that has
// most of the walls around p.
func (a Axes) wingAt(p geom.Point) int {
	if len(a.Wings) == 0 {
		return -1
	}
	c := cellOf(p)
	for reach := 0; reach <= 2; reach++ {
		best, top := -1, 0
		for i, w := range a.Wings {
			n := 0
			for dx := -reach; dx <= reach; dx++ {
				for dy := -reach; dy <= reach; dy++ {
					if w.cells[cellKey{c.x + dx, c.y + dy}] {
						n++
					}
				}
			}
			if n > top {
				best, top = i, n
			}
		}
		if best >= 0 {
			return best
		}
	}
	return -1
}

// between returns the angle on which the way from p to q is measured.
func (a Axes) between(p, q geom.Point) float64 {
	if len(a.Wings) == 0 {
		return a.Angle
	}
	if w := a.wingAt(p); w >= 0 && w == a.wingAt(q) {
		return a.Wings[w].angle
	}
	return a.Angle
}

func (a Axes) dist(p, q geom.Point) float64 { return rectDist(p, q, a.between(p, q)) }
