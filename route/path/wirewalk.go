package path

import (
	"cmp"
	"slices"

	"loopwright/takeoff/geom"
)

// wireWalk is the depth-first walk that reads circuits off the graph.
type wireWalk struct {
	w    *Wiring
	used []bool // by piece
	seen []bool // by node
	c    *WireCircuit
}

// walk follows every wire that leaves the panel, shortest first run first.
func (w *Wiring) walk() {
	k := &wireWalk{w: w, used: make([]bool, len(w.graph.pieces)), seen: make([]bool, len(w.Nodes))}
	k.seen[w.panel] = true
	for _, id := range k.sorted(w.panel) {
		if k.used[id] {
			continue // came back on it
		}
		c := WireCircuit{}
		k.c = &c
		k.follow(w.panel, id)
		if w.opt.Return && c.Return == nil && len(c.Order) > 0 {
			last := c.Order[len(c.Order)-1]
			w.find(NoReturn, w.symbols[last].At, 0, last, "the circuit does not come back to the panel: its class needs a return run")
		}
		w.Circuits = append(w.Circuits, c)
	}
}

// sorted returns the pieces at a node, shortest first; draws by where they lead.
func (k *wireWalk) sorted(n int) []int {
	ids := slices.Clone(k.w.graph.at[n])
	end := func(id int) geom.Point { return k.w.Nodes[k.w.graph.pieces[id].other(n)].At }
	slices.SortStableFunc(ids, func(a, b int) int {
		return cmp.Or(cmp.Compare(k.w.graph.pieces[a].length, k.w.graph.pieces[b].length),
			cmp.Compare(end(a).X, end(b).X), cmp.Compare(end(a).Y, end(b).Y))
	})
	return ids
}

// follow walks piece id away from node n.
func (k *wireWalk) follow(n, id int) {
	w := k.w
	p := &w.graph.pieces[id]
	k.used[id] = true
	m := p.other(n)
	run := WireRun{From: n, To: m, Leg: Leg{Points: p.from(n), Length: p.length, Via: ViaWiring}}
	k.c.Length += p.length
	if k.seen[m] {
		k.close(run)
		return
	}
	k.seen[m] = true
	k.c.Runs = append(k.c.Runs, run)
	if w.Nodes[m].Place >= 0 {
		k.c.Order = append(k.c.Order, w.Nodes[m].Place)
	}
	next := k.sorted(m)
	if w.graph.degree(m) > 2 {
		k.c.Taps = append(k.c.Taps, w.Nodes[m].At)
		if !w.opt.Taps {
			w.find(Branch, w.Nodes[m].At, 0, w.Nodes[m].Place, "the circuit splits %d ways here: its class allows no taps", w.graph.degree(m)-1)
		}
	}
	for _, e := range next {
		if !k.used[e] {
			k.follow(m, e)
		}
	}
}

// close handles a run that ends where the walk has been.
func (k *wireWalk) close(run WireRun) {
	w := k.w
	if run.To == w.panel && k.c.Return == nil && run.From != w.panel {
		k.c.Return = &run
		if w.opt.Return {
			return
		}
		w.find(Loop, w.Nodes[run.From].At, k.c.Length, w.Nodes[run.From].Place, "the circuit comes back to the panel: its class has no return run")
		return
	}
	k.c.Runs = append(k.c.Runs, run)
	w.find(Loop, w.Nodes[run.To].At, run.Leg.Length, w.Nodes[run.To].Place, "the wires close a loop here: followed only to where it closes")
}

// reportMissing lists devices without a wire, and wires that do not reach the
// panel. touched says which symbols had a wire before loose ends were taken out.
func (w *Wiring) reportMissing(touched []bool) {
	if !touched[w.panel] {
		w.find(NoPanel, w.symbols[w.panel].At, 0, w.panel, "no wire reaches the panel")
	}
	on := make([]bool, len(w.Nodes))
	on[w.panel] = true
	for _, c := range w.Circuits {
		for _, r := range c.Runs {
			on[r.From], on[r.To] = true, true
		}
	}
	for i, s := range w.symbols[:w.places] {
		if i != w.panel && !on[i] && len(w.graph.at[i]) == 0 {
			msg := "no wire reaches this device"
			if touched[i] {
				msg = "the wires at this device lead to no other device"
			}
			w.find(Untouched, s.At, 0, i, "%s", msg)
		}
	}
	for i := range w.places {
		if on[i] || len(w.graph.at[i]) == 0 {
			continue
		}
		devices, length := w.flood(i, on)
		w.find(CutOff, w.symbols[i].At, length, i, "%d devices on %s of wire are not connected to the panel", devices, w.length(length))
	}
}

// flood marks what hangs together with node n and returns its devices and wire.
func (w *Wiring) flood(n int, on []bool) (devices int, length float64) {
	stack := []int{n}
	on[n] = true
	counted := map[int]bool{}
	for len(stack) > 0 {
		u := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if w.Nodes[u].Place >= 0 {
			devices++
		}
		for _, id := range w.graph.at[u] {
			p := &w.graph.pieces[id]
			if !counted[id] {
				counted[id] = true
				length += p.length
			}
			if v := p.other(u); !on[v] {
				on[v] = true
				stack = append(stack, v)
			}
		}
	}
	return devices, length
}
