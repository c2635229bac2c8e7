package path

import (
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// shaftEnd is the end of a wire at a landing: that of piece id, at its start or
// at its other end.
type shaftEnd struct {
	id      int
	start   bool
	landing int
}

// joinShafts leads the wires that end at shafts on to other levels. A landing is no
// node afterwards: what met there is parted, and joined in pairs or along the shaft.
func (w *Wiring) joinShafts() {
	first := w.places
	for _, s := range w.opt.Shafts {
		var levels [][]shaftEnd // of the landings at which wires end
		for k := range s {
			if ends := w.endsAt(first + k); len(ends) > 0 {
				levels = append(levels, ends)
			}
		}
		switch {
		case len(levels) == 0:
		case w.opt.Taps:
			w.joinAlong(s, first, levels)
		default:
			w.joinPairs(s, first, levels)
		}
		first += len(s)
	}
	w.graph.fuse(len(w.symbols))
}

// endsAt lists the ends of wires at a node.
func (w *Wiring) endsAt(n int) []shaftEnd {
	var ends []shaftEnd
	for _, id := range w.graph.at[n] {
		p := w.graph.pieces[id]
		if p.a == n {
			ends = append(ends, shaftEnd{id, true, n})
		}
		if p.b == n {
			ends = append(ends, shaftEnd{id, false, n})
		}
	}
	return ends
}

// joinAlong makes one joint of all ends on a level, and joins those along the shaft.
func (w *Wiring) joinAlong(s Shaft, first int, levels [][]shaftEnd) {
	height := func(ends []shaftEnd) float64 { return s[ends[0].landing-first].Height }
	slices.SortStableFunc(levels, func(a, b []shaftEnd) int {
		switch {
		case height(a) < height(b):
			return -1
		case height(a) > height(b):
			return 1
		}
		return 0
	})
	last := -1
	for i, ends := range levels {
		n := w.joint(ends...)
		if i > 0 {
			w.link(last, n, math.Abs(height(ends)-height(levels[i-1])))
		}
		last = n
	}
	if len(levels) == 1 && len(levels[0]) == 1 {
		w.noWayOn(levels[0][0])
	}
}

// joinPairs leads every end on to one other. Ends that wait for a partner stand in
// open; the latest continues first, so that a loop up through several levels is one loop.
func (w *Wiring) joinPairs(s Shaft, first int, levels [][]shaftEnd) {
	for _, ends := range levels {
		if len(ends) > 2 {
			w.find(Crowded, w.symbols[ends[0].landing].At, 0, -1, "%d wires end at this riser on one level, and nothing says which continues which: without taps only two can be followed", len(ends))
			w.part(slices.Concat(levels...))
			return
		}
	}
	two := func(ends []shaftEnd) bool { return len(ends) == 2 }
	if !w.opt.Return && two(levels[0]) && slices.ContainsFunc(levels[1:], two) {
		// A loop is one loop either way; elsewhere the order of devices hangs on it.
		w.find(Unclear, w.symbols[levels[0][0].landing].At, 0, -1, "two wires end at this riser on more than one level, and nothing says which continues which: joined in the order in which they are drawn")
	}
	join := func(a, b shaftEnd) {
		m, n := w.joint(a), w.joint(b)
		w.link(m, n, math.Abs(s[a.landing-first].Height-s[b.landing-first].Height))
	}
	open := slices.Clone(levels[0])
	for _, ends := range levels[1:] {
		if len(open) == 0 {
			open = append(open, ends...)
			continue
		}
		join(open[0], ends[0])
		open = append(slices.Clone(ends[1:]), open[1:]...)
	}
	if len(open) == 2 && open[0].landing == open[1].landing && len(levels) == 1 {
		w.joint(open...) // a wire that only passes by
		return
	}
	for len(open) > 1 && open[0].landing != open[1].landing {
		join(open[0], open[1])
		open = open[2:]
	}
	for _, e := range open {
		w.noWayOn(e)
	}
	w.part(open)
}

func (w *Wiring) noWayOn(e shaftEnd) {
	w.find(NoWayOn, w.symbols[e.landing].At, w.graph.pieces[e.id].length, -1, "a wire ends at this riser and continues on no other level")
}

// part leaves every end alone, each at a node of its own.
func (w *Wiring) part(ends []shaftEnd) {
	for _, e := range ends {
		w.parted = append(w.parted, w.joint(e))
	}
}

// joint moves ends from their landing to a new node, and returns it.
func (w *Wiring) joint(ends ...shaftEnd) int {
	n := len(w.Nodes)
	w.Nodes = append(w.Nodes, WireNode{w.symbols[ends[0].landing].At, -1})
	w.graph.at = append(w.graph.at, nil)
	for _, e := range ends {
		p, old := &w.graph.pieces[e.id], e.landing
		if e.start {
			p.a = n
		} else {
			p.b = n
		}
		if p.a != old && p.b != old {
			w.graph.at[old] = slices.DeleteFunc(w.graph.at[old], func(id int) bool { return id == e.id })
		}
		if !slices.Contains(w.graph.at[n], e.id) {
			w.graph.at[n] = append(w.graph.at[n], e.id)
		}
	}
	return n
}

// link is the cable in a shaft between two nodes.
func (w *Wiring) link(a, b int, length float64) {
	w.graph.add(wirePiece{a: a, b: b, pts: []geom.Point{w.Nodes[a].At, w.Nodes[b].At}, length: length})
}
