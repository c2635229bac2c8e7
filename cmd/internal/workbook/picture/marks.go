package picture

import (
	"math"

	"loopwright/takeoff/geom"
)

// spots draws a dot on every device that counts and its mark beside it, and a
// cross on every symbol that does not.
func (p *picture) spots(spots []Spot) {
	for _, s := range spots {
		at := p.place(s.At)
		if s.Mark == "" {
			p.cross(at)
			continue
		}
		p.dot(at, 4.2, paper)
		p.dot(at, 3.2, s.Ink)
		p.take(geom.Around(at, 6, 6))
	}
	for _, s := range spots {
		if s.Mark != "" {
			p.mark(p.place(s.At), s.Mark, s.Ink)
		}
	}
}

func (p *picture) cross(at geom.Point) {
	const r = 4
	p.line(at.Add(geom.Pt(-r, -r)), at.Add(geom.Pt(r, r)), 1.4, 0x60)
	p.line(at.Add(geom.Pt(-r, r)), at.Add(geom.Pt(r, -r)), 1.4, 0x60)
}

const markHigh = 15.0 // pixels

// mark writes a mark as near to its device as other marks leave room.
func (p *picture) mark(at geom.Point, words string, k Ink) {
	w := p.font.bold.width(words) + 9
	best, least := geom.Box{}, math.Inf(1)
	for ring := 1.0; ring <= 3 && least > 0; ring++ {
		dx, dy := w/2+5*ring, markHigh/2+5*ring
		for _, q := range []geom.Point{{X: dx}, {X: -dx}, {Y: -dy}, {Y: dy}, {X: dx, Y: -dy}, {X: -dx, Y: -dy}, {X: dx, Y: dy}, {X: -dx, Y: dy}} {
			box := geom.Around(at.Add(q), w, markHigh)
			cost := p.covered(box, least)
			if box.Min.X < 0 || box.Min.Y < 0 || box.Max.X > float64(p.w) || box.Max.Y > p.high {
				cost += 100
			}
			if cost < least {
				best, least = box, cost
			}
		}
	}
	p.take(best)
	p.lead(at, best, k)
	p.pill(best.Grow(1), paper)
	p.pill(best, k)
	p.write(p.font.bold, words, geom.Pt(best.Min.X+4.5, best.Max.Y-4), paper)
}

// lead joins a mark to its device where it is not right beside it.
func (p *picture) lead(at geom.Point, box geom.Box, k Ink) {
	near := geom.Pt(min(max(at.X, box.Min.X), box.Max.X), min(max(at.Y, box.Min.Y), box.Max.Y))
	d := near.Sub(at)
	length := d.Len()
	for way := 0.0; way <= length; way += 0.5 {
		q := at.Add(d.Mul(way / max(length, 1e-9)))
		p.blend(int(q.X), int(q.Y), k, 0.8)
	}
}

// cellSize is the grain in pixels at which it is noted where marks stand.
const cellSize = 3

// cells returns the cells of a box that lie in the picture: columns x0 to x1 of
// rows y0 to y1, and how many a row has.
func (p *picture) cells(box geom.Box) (x0, y0, x1, y1, wide int) {
	return max(0, int(box.Min.X)/cellSize), max(0, int(box.Min.Y)/cellSize), min(p.w, int(box.Max.X)) / cellSize, min(p.h, int(box.Max.Y)) / cellSize, p.w/cellSize + 1
}

func (p *picture) take(box geom.Box) {
	x0, y0, x1, y1, wide := p.cells(box)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			p.taken[y*wide+x] = true
		}
	}
}

// covered counts the cells of a box in which something stands, as long as there
// are fewer than enough.
func (p *picture) covered(box geom.Box, enough float64) float64 {
	n := 0
	x0, y0, x1, y1, wide := p.cells(box)
	for y := y0; y <= y1 && float64(n) < enough; y++ {
		for x := x0; x <= x1; x++ {
			if p.taken[y*wide+x] {
				n++
			}
		}
	}
	return float64(n)
}

const (
	legendWide = 290.0 // pixels
	legendRow  = 22.0
)

func legendColumns(w int) int { return max(1, int(float64(w)/legendWide)) }

// legend writes the legend under the plan.
func (p *picture) legend(lines []Entry) {
	columns := legendColumns(p.w)
	for i, l := range lines {
		at := geom.Pt(10+float64(i%columns)*legendWide, p.high+16+float64(i/columns)*legendRow)
		if l.Mark == "" {
			p.cross(at.Add(geom.Pt(14, 0)))
		} else {
			w := p.font.bold.width(l.Mark) + 9
			box := geom.Around(at.Add(geom.Pt(14, 0)), w, markHigh)
			p.pill(box, l.Ink)
			p.write(p.font.bold, l.Mark, geom.Pt(box.Min.X+4.5, box.Max.Y-4), paper)
		}
		p.write(p.font.plain, l.Words, at.Add(geom.Pt(34, 4)), Black)
	}
}
