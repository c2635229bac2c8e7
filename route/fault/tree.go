package fault

import "slices"

// tree places isolators on a class B circuit with branches by dynamic
// programming from the ends towards the control unit.
//
// For every part it keeps the states of the segment that reaches up to that part
// and is not closed yet. A state that is no better than another in any respect
// is dropped, so what remains holds a cheapest placement for whatever follows.
type tree struct {
	o      *goal
	m      Method
	order  []part // the control unit first, every part after its parent
	parent []part
	port   []int  // port between a part and its parent
	kind   []int  // zone of a device by number, -1 without
	below  []load // devices and zones at and below each part
}

// load is a number of devices with their zones.
type load struct {
	devices int
	zones   zoneSet
}

func (l Limits) plus(a, b load) load {
	return load{a.devices + b.devices, a.zones.union(b.zones, l.MaxZones)}
}

func (l Limits) allowLoad(a load) bool {
	return l.allow(a.devices, len(a.zones))
}

// zoneSet is a set of zones by number, ascending, and never changed once made. A
// set of more than may be lost together is cut off one above that: no matter
// which they are, it may be lost nowhere.
type zoneSet []int

func (a zoneSet) union(b zoneSet, most int) zoneSet {
	switch {
	case a.over(most) || b.within(a, most):
		return a
	case b.over(most) || a.within(b, most):
		return b
	}
	out := make(zoneSet, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case a[0] > b[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	out = append(append(out, a...), b...)
	return out[:min(len(out), most+1)]
}

func (a zoneSet) over(most int) bool { return len(a) > most }

// within reports whether b takes in all of a, or so many that none are missed.
func (a zoneSet) within(b zoneSet, most int) bool {
	if b.over(most) {
		return true
	}
	for len(a) > 0 && len(b) > 0 {
		if a[0] < b[0] {
			return false
		}
		if a[0] == b[0] {
			a = a[1:]
		}
		b = b[1:]
	}
	return len(a) == 0
}

// state is one way to treat everything below a part.
type state struct {
	load        // of the open segment
	within bool // the segment holds a part whose whole loss must be within the limits
	alone  bool // it holds a part for which the segment alone must be
	sealed bool // the part is a device that isolates: its ports are switches already
	added  int  // isolators
	off    int  // of those, not at a zone border
	sites  *trail
}

// trail is a set of sites shared between states: a site and up to two earlier trails.
type trail struct {
	site        Site
	some        bool
	first, last *trail
}

func newTree(o *goal, m Method) *tree {
	g := o.g
	n := g.parts()
	t := &tree{o: o, m: m, parent: make([]part, n), port: make([]int, n), below: make([]load, n)}
	t.kind = newTally(g).zone
	for i := range t.parent {
		t.parent[i] = -1
	}
	t.order = append(t.order, 0)
	for k := 0; k < len(t.order); k++ {
		x := t.order[k]
		for _, p := range g.at[x] {
			if w := g.beyond(p, x); w != t.parent[x] {
				t.parent[w], t.port[w] = x, p
				t.order = append(t.order, w)
			}
		}
	}
	for i := range t.below {
		t.below[i] = t.own(i)
	}
	for _, x := range slices.Backward(t.order[1:]) {
		t.below[t.parent[x]] = o.lim.plus(t.below[t.parent[x]], t.below[x])
	}
	return t
}

// own is what stands at a part itself.
func (t *tree) own(x part) load {
	var l load
	// What no limit asks about is left out, so that it keeps no states apart.
	if t.o.g.device(x) && t.o.lim.MaxDevices > 0 {
		l.devices = 1
	}
	if t.o.g.device(x) && t.o.lim.MaxZones > 0 {
		l.zones = zoneSet{t.kind[x]}
	}
	return l
}

func (t *tree) place() []Site {
	states := make([][]state, t.o.g.parts())
	for _, x := range slices.Backward(t.order) {
		// Children stand in order, so the result does not hang on chance.
		var children []part
		for _, p := range t.o.g.at[x] {
			if w := t.o.g.beyond(p, x); w != t.parent[x] {
				children = append(children, w)
			}
		}
		states[x] = t.at(x, children, states)
		for _, w := range children {
			states[w] = nil
		}
	}
	best := -1
	for i, s := range states[0] {
		if t.closes(0, s) && (best < 0 || s.cheaper(states[0][best])) {
			best = i
		}
	}
	if best < 0 {
		return nil // cannot be: with every site taken the goal is reached
	}
	return states[0][best].sites.collect(nil)
}

// at builds the states of part x from those of its children.
func (t *tree) at(x part, children []part, states [][]state) []state {
	g := t.o.g
	start := state{load: t.own(x), within: t.o.need[x] == within, alone: t.o.need[x] == segmentIn}
	if x > 0 && x < len(g.c.Nodes) && g.c.Nodes[x].Isolator {
		start.sealed = true
		return t.fold(x, start, children, states)
	}
	out := t.fold(x, start, children, states)
	if t.m == InDevices && g.device(x) {
		start.sealed = true
		start.added, start.sites = 1, &trail{site: Site{x, -1}, some: true}
		if !t.atBorder(x) {
			start.off = 1
		}
		out = t.thin(append(out, t.fold(x, start, children, states)...))
	}
	return out
}

// fold takes the children in one after the other.
func (t *tree) fold(x part, start state, children []part, states [][]state) []state {
	out := []state{start}
	for _, w := range children {
		options := t.options(x, w, start.sealed, states[w])
		var next []state
		for _, s := range out {
			for _, o := range options {
				// What lies below only grows on the way up, so a segment that could not
				// be closed here can be closed nowhere.
				if u := t.join(s, o); t.closes(x, u) {
					next = append(next, u)
				}
			}
		}
		out = t.thin(next)
	}
	return out
}

// options are the ways in which child w can hang on x: closed off, or joined.
func (t *tree) options(x, w part, sealed bool, states []state) []state {
	p := t.o.g.ports[t.port[w]]
	var shut, joined []state
	for _, s := range states {
		if !sealed && !s.sealed && !p.isolated {
			joined = append(joined, s)
			if t.m != OnLegs {
				continue
			}
			cut := state{added: 1, sites: &trail{site: Site{p.node, p.leg}, some: true}}
			if !t.borderAt(x, w) {
				cut.off = 1
			}
			s = t.join(s, cut)
		}
		if t.closes(w, s) {
			shut = append(shut, state{added: s.added, off: s.off, sites: s.sites})
		}
	}
	// A closed branch asks nothing more of what follows; a joined one that costs as much is useless.
	shut = t.thin(shut)
	if len(shut) > 0 {
		joined = slices.DeleteFunc(joined, func(s state) bool { return s.added > shut[0].added || s.added == shut[0].added && s.off >= shut[0].off })
	}
	return append(shut, joined...)
}

// closes reports whether the segment s, whose uppermost part is x, reaches the goal.
func (t *tree) closes(x part, s state) bool {
	if t.o.lim.allowLoad(t.below[x]) {
		return true
	}
	return !s.within && !(s.alone && !t.o.lim.allowLoad(s.load))
}

// atBorder reports whether a device has another zone than a neighbouring device or the control unit.
func (t *tree) atBorder(v part) bool {
	for _, p := range t.o.g.at[v] {
		leg := t.o.g.beyond(p, v)
		for _, q := range t.o.g.at[leg] {
			if w := t.o.g.beyond(q, leg); w != v && t.kind[w] != t.kind[v] {
				return true
			}
		}
	}
	return false
}

// borderAt reports whether the port between x and w lies on a leg between two zones.
func (t *tree) borderAt(x, w part) bool {
	leg := max(x, w)
	at := t.o.g.at[leg]
	return len(at) == 2 && t.kind[t.o.g.beyond(at[0], leg)] != t.kind[t.o.g.beyond(at[1], leg)]
}

// join is the state in which both segments are one.
func (t *tree) join(s, o state) state {
	s.load = t.o.lim.plus(s.load, o.load)
	s.within = s.within || o.within
	s.alone = s.alone || o.alone
	s.added += o.added
	s.off += o.off
	switch {
	case s.sites == nil:
		s.sites = o.sites
	case o.sites != nil:
		s.sites = &trail{first: s.sites, last: o.sites}
	}
	return s
}

func (t *trail) collect(out []Site) []Site {
	if t == nil {
		return out
	}
	if t.some {
		out = append(out, t.site)
	}
	return t.last.collect(t.first.collect(out))
}

func (s state) cheaper(o state) bool {
	if s.added != o.added {
		return s.added < o.added
	}
	return s.off < o.off
}

// covers reports whether s is at least as good as o in every respect.
func (s state) covers(o state, lim Limits) bool {
	return s.added <= o.added && (s.added < o.added || s.off <= o.off) &&
		s.devices <= o.devices && s.zones.within(o.zones, lim.MaxZones) &&
		(!s.within || o.within) && (!s.alone || o.alone) && s.sealed == o.sealed
}

// thin drops the states that another one covers; of equal ones the first stays.
func (t *tree) thin(states []state) []state {
	slices.SortStableFunc(states, func(a, b state) int {
		switch {
		case a.cheaper(b):
			return -1
		case b.cheaper(a):
			return 1
		}
		return a.devices - b.devices
	})
	out := states[:0]
	for _, s := range states {
		if !slices.ContainsFunc(out, func(o state) bool { return o.covers(s, t.o.lim) }) {
			out = append(out, s)
		}
	}
	return out
}
