package label

import (
	"cmp"
	"math"
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
)

// unit is one step of side preference. Costs are whole numbers, so that sums do not depend on their order.
const unit = 1000

// Prices that no option sets, in units: chosen by looking at the drawings that come out.
const (
	slideCost     = unit / 2     // a text that slid away from its side's proper place
	awayCost      = 3 * unit / 2 // each text height of distance beyond the gap
	leaderCost    = 12 * unit    // using a leader at all
	lengthCost    = unit         // each text height of its length
	wallCost      = 3 * unit     // a leader across a hard line
	softLineCost  = unit / 2     // a leader across a soft line
	crossCost     = 20 * unit    // a leader across a symbol or another leader
	behindCost    = 12 * unit    // a text with a hard line between it and its symbol
	closerCost    = 8 * unit     // a text as close to another symbol as to its own
	closeCost     = 5 * unit     // a text nearly as close to another symbol
	mismatchCost  = 7 * unit / 10
	hard          = math.MaxInt32
	maxInputPrice = 1e4 // keeps the sum of tens of thousands of prices in 32 bits
)

// solid is a rectangle on the drawing: an obstacle or the symbol of a label.
type solid struct {
	slab
	kind  Kind
	index int   // in the input
	cost  int32 // hard, or the price of covering it
}

type line struct {
	geom.Segment
	box   geom.Box
	index int
	cost  int32
}

// scene is all that does not move.
type scene struct {
	f      frame
	solids []solid
	lines  []line
	tree   rtree.RTreeGN[float64, int32] // solids, then lines
	// what the last gather found, with the boxes side by side: most tests end at the box
	nearSolids, nearLines []int32
	solidBoxes, lineBoxes []geom.Box

	work int // things gathered and looked at: what the placement costs, counted the same everywhere
}

func price(cost float64) int32 {
	if cost <= 0 {
		return hard
	}
	return int32(math.Round(min(cost, maxInputPrice) * unit))
}

func newScene(f frame, items []item, obs *Obstacles) *scene {
	s := &scene{f: f}
	for i := range obs.Boxes {
		if o := &obs.Boxes[i]; o.Rect.valid() {
			s.solids = append(s.solids, solid{f.slab(o.Rect), WithBox, i, price(o.Cost)})
		}
	}
	for i := range items {
		if items[i].drawn {
			s.solids = append(s.solids, solid{items[i].symbol, WithSymbol, items[i].index, hard})
		}
	}
	for i := range obs.Segments {
		o := &obs.Segments[i]
		if o.Segment.A.IsFinite() && o.Segment.B.IsFinite() {
			g := geom.Segment{A: f.in(o.Segment.A), B: f.in(o.Segment.B)}
			s.lines = append(s.lines, line{g, spanned(g), i, price(o.Cost)})
		}
	}
	for i := range s.solids {
		s.insert(s.solids[i].box, i)
	}
	for i := range s.lines {
		s.insert(s.lines[i].box, len(s.solids)+i)
	}
	return s
}

func (s *scene) insert(b geom.Box, id int) {
	s.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, int32(id))
}

// gather collects what touches b, for the tests that follow.
func (s *scene) gather(b geom.Box) {
	s.nearSolids, s.nearLines = s.nearSolids[:0], s.nearLines[:0]
	s.solidBoxes, s.lineBoxes = s.solidBoxes[:0], s.lineBoxes[:0]
	s.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, id int32) bool {
		if n := int32(len(s.solids)); id < n {
			s.nearSolids = append(s.nearSolids, id)
			s.solidBoxes = append(s.solidBoxes, s.solids[id].box)
		} else {
			s.nearLines = append(s.nearLines, id-n)
			s.lineBoxes = append(s.lineBoxes, s.lines[id-n].box)
		}
		return true
	})
	s.work += len(s.nearSolids) + len(s.nearLines)
}

// judge tests c against what gather found. It returns the price of what c
// covers; ok is false where it meets something hard. With each set, it visits
// every hard hit in place of stopping at the first, until each returns false.
func (s *scene) judge(it *item, c *cand, each func(Clash) bool) (cost int32, ok bool) {
	solids, ok := s.judgeSolids(it, c, each)
	if !ok && each == nil {
		return 0, false
	}
	lines, free := s.judgeLines(it, c, each)
	return solids + lines, ok && free
}

// zone is the box outside of which nothing matters to a candidate.
func (c *cand) zone(it *item) geom.Box {
	// A turned rectangle that grows by d grows its box by up to d times root 2.
	b := c.text.box.Grow(math.Sqrt2 * max(it.clear, c.away+0.6*it.h))
	if c.lead {
		b = join(b, spanned(c.leader).Grow(math.Sqrt2*it.clear))
	}
	return b
}

func (s *scene) judgeSolids(it *item, c *cand, each func(Clash) bool) (cost int32, ok bool) {
	tol := s.f.tol()
	ok = true
	zone, box := c.zone(it), c.text.box.Grow(it.clear)
	keep := c.text.grow(it.clear)
	for k, id := range s.nearSolids {
		s.work++
		if !zone.Overlaps(s.solidBoxes[k]) {
			continue
		}
		o := &s.solids[id]
		shape := &keep
		if o.kind == WithSymbol && o.index == it.index {
			shape = &c.text // the gap to its own symbol is set by the candidate
		}
		hit := false
		if box.Overlaps(o.box) && shape.overlaps(&o.slab, tol) {
			hit = o.cost == hard
			if !hit {
				cost += o.cost
			}
		} else if o.kind == WithSymbol && o.index != it.index && !it.shares(id) {
			cost += doubt(it, c, o, tol)
		}
		if hit || c.lead && !s.leaderPasses(it, c, o, id, &cost) {
			ok = false
			if each == nil || !each(Clash{o.kind, o.index}) {
				return 0, false
			}
		}
	}
	return cost, ok
}

func (s *scene) judgeLines(it *item, c *cand, each func(Clash) bool) (cost int32, ok bool) {
	tol := s.f.tol()
	ok = true
	keep := c.text.grow(it.clear)
	tie := c.leader // what joins text and symbol for the reader
	if !c.lead {
		tie = c.sight(it)
	}
	tieBox := spanned(tie).Grow(2 * tol)
	zone, behind := join(keep.box, tieBox), false
	for k, id := range s.nearLines {
		s.work++
		box := s.lineBoxes[k].Grow(2 * tol) // which gives a level line's box an area
		if !zone.Overlaps(box) {
			continue
		}
		o := &s.lines[id]
		if keep.box.Overlaps(box) && keep.cut(o.Segment, tol) {
			if o.cost == hard {
				ok = false
				if each == nil || !each(Clash{WithSegment, o.index}) {
					return 0, false
				}
				continue
			}
			cost += o.cost
		}
		if !tieBox.Overlaps(box) || !c.lead && (o.cost != hard || behind) || !near(tie, o.Segment, tol) {
			continue
		}
		switch {
		case !c.lead:
			behind = true
			cost += behindCost
		case o.cost == hard:
			cost += wallCost
		default:
			cost += softLineCost
		}
	}
	return cost, ok
}

// doubt is the price of a text that a reader could take for the label of o.
func doubt(it *item, c *cand, o *solid, tol float64) int32 {
	near := c.text.grow(c.away)
	if near.overlaps(&o.slab, tol) {
		return closerCost
	}
	near = c.text.grow(c.away + 0.6*it.h)
	if near.overlaps(&o.slab, tol) {
		return closeCost
	}
	return 0
}

// leaderPasses tests the leader of c against the solid o and adds the price of crossing it where that is allowed.
func (s *scene) leaderPasses(it *item, c *cand, o *solid, id int32, cost *int32) bool {
	if o.kind == WithSymbol && o.index == it.index {
		return true
	}
	if o.cost != hard {
		if o.cut(c.leader, s.f.tol()) {
			*cost += min(o.cost, wallCost)
		}
		return true
	}
	wide := o.grow(it.clear)
	if !wide.cut(c.leader, s.f.tol()) {
		return true
	}
	for _, in := range it.startsIn {
		// From a symbol that stands against o, it is enough not to enter it.
		if in.id == id && (in.inside || !o.cut(c.leader, s.f.tol())) {
			return true
		}
	}
	if c.resort && o.kind == WithSymbol {
		*cost += crossCost
		return true
	}
	return false
}

// start is a solid that the symbol of an item lies in, or closer to than the clearance.
type start struct {
	id     int32
	inside bool
}

// shares reports whether the symbol of the item and the solid are drawn in one
// place: two labels of one device, say. No reader takes one for the other.
func (it *item) shares(id int32) bool {
	k, found := slices.BinarySearchFunc(it.startsIn, id, func(s start, id int32) int { return cmp.Compare(s.id, id) })
	return found && it.startsIn[k].inside
}

// findStarts notes the solids that the item's leader cannot keep away from.
func (s *scene) findStarts(it *item) {
	near := it.symbol.grow(it.clear)
	s.gather(near.box)
	for _, id := range s.nearSolids {
		o := &s.solids[id]
		if o.overlaps(&near, s.f.tol()) {
			bare := it.symbol.grow(3 * s.f.tol()) // which gives a mere anchor an extent
			it.startsIn = append(it.startsIn, start{id, o.overlaps(&bare, s.f.tol())})
		}
	}
	slices.SortFunc(it.startsIn, func(a, b start) int { return cmp.Compare(a.id, b.id) })
}
