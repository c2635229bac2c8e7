package route

import (
	"slices"

	"loopwright/route/path"
	"loopwright/takeoff/geom"
)

// pass is a drawn run walked one way.
type pass struct {
	run  path.WireRun
	back bool
}

// throughTaps leads a drawn loop through its forbidden taps: each branch is laid out
// to its devices and back on the same way, so that the loop stays as it is drawn and passes
// them. It returns the devices in walking order with the legs, the return last.
func (d *drawnCircuit) throughTaps(wc path.WireCircuit) (order []int, legs []Leg) {
	below := map[int][]path.WireRun{} // by node, as walked
	parent := map[int]int{}
	for _, r := range wc.Runs {
		if _, known := parent[r.To]; known || r.To == 0 {
			continue // a loop of its own, which is reported
		}
		below[r.From], parent[r.To] = append(below[r.From], r), r.From
	}
	main := map[int]bool{0: true}
	for n := wc.Return.From; n != 0; n = parent[n] {
		main[n] = true
	}
	var walked []pass
	last := 0
	arrive := func(n int) {
		legs = append(legs, d.joined(last, n, walked))
		walked, last = nil, n
	}
	var visit func(n int)
	visit = func(n int) {
		on := below[n]
		slices.SortStableFunc(on, func(a, b path.WireRun) int { // branches before the way on
			switch {
			case main[a.To] == main[b.To]:
				return 0
			case main[a.To]:
				return 1
			}
			return -1
		})
		for _, r := range on {
			walked = append(walked, pass{run: r})
			if p := d.wiring.Nodes[r.To].Place; p > 0 {
				order = append(order, p)
				arrive(r.To)
			}
			visit(r.To)
			if !main[r.To] {
				walked = append(walked, pass{run: r, back: true})
			}
		}
	}
	visit(0)
	walked = append(walked, pass{run: *wc.Return})
	arrive(0)
	legs[len(legs)-1].Return = true
	return order, legs
}

// joined is the leg between two places along runs that follow one another.
func (d *drawnCircuit) joined(from, to int, walked []pass) Leg {
	r := path.WireRun{From: from, To: to, Leg: path.Leg{Via: path.ViaWiring}}
	for _, p := range walked {
		pts := p.run.Leg.Points
		if p.back {
			pts = slices.Clone(pts)
			slices.Reverse(pts)
		}
		r.Leg.Points = append(r.Leg.Points, pts...)
		r.Leg.Length += p.run.Leg.Length
	}
	r.Leg.Points = slices.CompactFunc(r.Leg.Points, func(a, b geom.Point) bool { return a == b })
	return d.leg(r)
}
