package label

import (
	"math"

	"loopwright/takeoff/geom"
)

// cand is one place where a label could stand.
type cand struct {
	text   slab
	claim  slab // text and its share of the room between two texts
	leader geom.Segment
	box    geom.Box // of claim and leader
	away   float64  // from text to symbol; for a leader, the gap
	label  int32    // index of the item
	cost   int32
	slot   int16 // same slot: same place relative to the symbol
	side   Side
	lead   bool
	resort bool // its leader may cross symbols and other leaders
}

// The tiers in which candidates are made: a later one only where the ones before it do not suffice.
const (
	tierSides  = iota // the eight sides, and texts flush with the symbol
	tierSlides        // sliding along the symbol, farther away
	tierLeader        // short leaders
	tierFar           // long leaders
	tierResort        // leaders that cross what they should not
	tierCount
)

// Directions and lengths of leaders, the lengths in text heights.
const (
	leaderDirections = 16
	shortLeader      = 6
)

var leaderRings = []float64{1.2, 2, 3, 4, 5.2, 6.5, 8, 10, 12, 14, 17, 20, 25, 30}

// appendCandidates adds the candidates of one tier, best places first within each side.
func appendCandidates(cs []cand, it *item, label int32, tier int, opt *Options) []cand {
	p := placer{it: it, label: label, cs: cs}
	switch tier {
	case tierSides:
		p.ring(0, 0)
		if !opt.Fixed {
			p.flush(0, 1)
		}
	case tierSlides:
		p.slides(0, 2)
		for n, d := range []float64{0.5, 1} {
			if d *= opt.Reach; d > 0 {
				p.ring(d, 3+3*n)
				p.flush(d, 4+3*n)
				p.slides(d, 5+3*n)
			}
		}
	case tierLeader:
		p.leaders(0, min(shortLeader, opt.MaxLeader), false)
	case tierFar:
		p.leaders(shortLeader, opt.MaxLeader, false)
	case tierResort:
		p.leaders(0, opt.MaxLeader, true)
	}
	return p.cs
}

// placer makes candidates in the label's own axes, the centre of its symbol at the origin.
type placer struct {
	it    *item
	label int32
	away  float64 // of the places being made, from text to symbol
	cs    []cand
}

// step sets and returns the distance of the places to come: d text heights beyond the gap.
func (p *placer) step(d float64) float64 {
	p.away = p.it.gap + d*p.it.h
	return p.away
}

// slotsPerSet leaves room for the numbered places of one ring, flush or slides call.
const slotsPerSet = 64

// put adds a text whose lower left corner is at x, y.
func (p *placer) put(side Side, x, y float64, cost int32, set, n int) *cand {
	it := p.it
	if it.rank[side] < 0 {
		return nil
	}
	mid := it.at.Add(it.u.Mul(x + it.w/2)).Add(it.v.Mul(y + it.bh/2))
	c := cand{
		text: newSlab(mid, it.u, it.w/2, it.bh/2), label: p.label, side: side, away: p.away,
		cost: cost + int32(it.rank[side])*unit, slot: int16(set*slotsPerSet + n),
	}
	// Two texts in a row need more room between them than two lines of text,
	// or they read as one.
	c.claim = newSlab(mid, it.u, it.w/2+it.clear, it.bh/2+it.clear/2)
	c.box = c.claim.box
	p.cs = append(p.cs, c)
	return &p.cs[len(p.cs)-1]
}

// sight is the line from the symbol's edge towards the middle of the text.
func (c *cand) sight(it *item) geom.Segment {
	return geom.Segment{A: it.symbol.exit(c.text.c.Sub(it.at)), B: c.text.c}
}

// far is the price of the distance d, in text heights beyond the gap.
func far(d float64) int32 { return int32(math.Round(d * awayCost)) }

// rise is how far the text at an upper corner stands above the symbol's centre
// line: beside the symbol's upper edge, and clear of the centre line, along which wiring leaves.
func (it *item) rise() float64 { return max(it.hh-it.h/2, it.clear) }

// ring puts one text on each side at the distance d (in text heights) beyond the gap.
func (p *placer) ring(d float64, set int) {
	it := p.it
	g, c := p.step(d), far(d)
	right, left, top, bottom := it.hw+g, -it.hw-g-it.w, it.hh+g, -it.hh-g-it.bh
	up, mid := it.rise(), -it.bh/2
	p.put(upperRight, right, up, c, set, 0)
	p.put(lowerRight, right, -up-it.bh, c, set, 1)
	p.put(upperLeft, left, up, c, set, 2)
	p.put(lowerLeft, left, -up-it.bh, c, set, 3)
	p.put(Right, right, mid, c, set, 4)
	p.put(above, -it.w/2, top, c, set, 5)
	p.put(Below, -it.w/2, bottom, c, set, 6)
	p.put(Left, left, mid, c, set, 7)
}

// flush puts texts above and below whose ends are flush with the symbol's edges, and at its very corners.
func (p *placer) flush(d float64, set int) {
	it := p.it
	g, c := p.step(d), far(d)+slideCost
	right, left, top, bottom := it.hw+g, -it.hw-g-it.w, it.hh+g, -it.hh-g-it.bh
	p.put(above, -it.hw, top, c, set, 0)
	p.put(Below, -it.hw, bottom, c, set, 1)
	p.put(above, it.hw-it.w, top, c, set, 2)
	p.put(Below, it.hw-it.w, bottom, c, set, 3)
	p.put(upperRight, right, it.hh, c, set, 4)
	p.put(lowerRight, right, -it.hh-it.bh, c, set, 5)
	p.put(upperLeft, left, it.hh, c, set, 6)
	p.put(lowerLeft, left, -it.hh-it.bh, c, set, 7)
}

// slides puts texts at even steps along all four sides of the symbol.
func (p *placer) slides(d float64, set int) {
	it := p.it
	g, c := p.step(d), far(d)+slideCost+unit/4
	right, left, top, bottom := it.hw+g, -it.hw-g-it.w, it.hh+g, -it.hh-g-it.bh
	const steps = 6
	for i := 1; i < steps; i++ {
		t := float64(i) / steps
		x := -it.hw - it.w + t*(it.w+2*it.hw)
		p.put(above, x, top, c, set, i)
		p.put(Below, x, bottom, c, set, steps+i)
	}
	for i := range 4 {
		y := -it.hh - it.bh + (float64(i)+0.5)/4*(it.bh+2*it.hh)
		side, other := Right, Left
		switch i {
		case 0:
			side, other = lowerRight, lowerLeft
		case 3:
			side, other = upperRight, upperLeft
		}
		p.put(side, right, y, c, set, 2*steps+i)
		p.put(other, left, y, c, set, 2*steps+4+i)
	}
}

// leaders puts texts on rings around the symbol, each tied to it by a straight line.
func (p *placer) leaders(over, upTo float64, resort bool) {
	p.step(0)
	for ring, r := range leaderRings {
		if r <= over || r > upTo {
			continue
		}
		for dir := range leaderDirections {
			p.leader(ring, dir, r*p.it.h, resort)
		}
	}
}

func (p *placer) leader(ring, dir int, r float64, resort bool) {
	it := p.it
	a := geom.Pt(1, 0).Turn((float64(dir) + 0.5) * 360 / leaderDirections)
	d := it.u.Mul(a.X).Add(it.v.Mul(a.Y))
	from := it.symbol.exit(d)
	tip := from.Add(d.Mul(r)).Sub(it.at)
	tx, ty := tip.Dot(it.u), tip.Dot(it.v)
	// The line meets the text in the middle of the edge that faces the symbol.
	x, y := tx, ty-it.bh/2
	side := Right
	switch {
	case math.Abs(a.X) < 0.5 && a.Y > 0:
		x, y, side = tx-it.w/2, ty, above
	case math.Abs(a.X) < 0.5:
		x, y, side = tx-it.w/2, ty-it.bh, Below
	case a.X < 0:
		x, side = tx-it.w, Left
	}
	if side == Right || side == Left {
		side = corner(side, a.Y)
	}
	c := p.put(side, x, y, leaderCost+int32(math.Round(r/it.h*lengthCost)), 0, 0)
	if c == nil {
		return
	}
	c.slot = int16(1000 + ring*leaderDirections + dir)
	c.lead, c.resort = true, resort
	c.leader = geom.Segment{A: from, B: it.at.Add(tip)}
	c.box = join(c.box, spanned(c.leader))
}

// corner turns right or left into the corner that a direction with the sine y points to.
func corner(s Side, y float64) Side {
	switch {
	case y > 0.3 && s == Right:
		return upperRight
	case y < -0.3 && s == Right:
		return lowerRight
	case y > 0.3:
		return upperLeft
	case y < -0.3:
		return lowerLeft
	}
	return s
}

// conflict reports whether a and b, of two different labels, cannot both be used.
func conflict(a, b *cand, tol float64) bool {
	if a.box.Min.X >= b.box.Max.X || b.box.Min.X >= a.box.Max.X ||
		a.box.Min.Y >= b.box.Max.Y || b.box.Min.Y >= a.box.Max.Y {
		return false
	}
	if a.claim.overlaps(&b.claim, tol) {
		return true
	}
	if a.lead && b.claim.cut(a.leader, tol) || b.lead && a.claim.cut(b.leader, tol) {
		return true
	}
	return a.lead && b.lead && !a.resort && !b.resort && near(a.leader, b.leader, tol)
}
