package fault

// line places isolators on a chain or a loop by dynamic programming over the
// cuts in their order along the cable: the best placement whose last cut is k
// follows from the best placements of the earlier cuts. Quadratic in the cuts.
type line struct {
	o      *goal
	seq    []part // from the control unit outwards, without it
	looped bool   // the control unit stands at the far end too
	cuts   []cut
	// Sums over seq[:i].
	devices []int
	needs   [promised + 1][]int
	passing []int // parts that are not devices and have need promised
	changes []int // by device in order: zone changes before it
	reach   []int // by device in order: the last one up to which there are no more zones than may be lost
}

// cut is a place where isolators part the line. Between two cuts stand
// seq[a.right] to seq[b.left]; an isolating device stands between its own left and right.
type cut struct {
	left, right int
	site        Site
	fixed       bool // already there
	border      bool // on a zone border or at the control unit
}

// newLine reads the circuit as a line; ok is false where it branches.
func newLine(o *goal, m Method) (l *line, ok bool) {
	g := o.g
	for v := range g.c.Nodes {
		if len(g.at[v]) > 2 || v == 0 && len(g.at[v]) > 1 && !g.c.Class.Looped() {
			return nil, false
		}
	}
	l = &line{o: o, looped: g.c.Class.Looped() && len(g.c.Legs) > 0}
	ports := l.walk()
	l.sum()
	l.findCuts(ports, m)
	return l, true
}

// walk fills seq and returns the ports passed: ports[i] joins seq[i-1] and seq[i],
// the first and, in a loop, the last one the control unit.
func (l *line) walk() (ports []int) {
	g := l.o.g
	if len(g.at[0]) == 0 {
		return nil
	}
	x, p := part(0), g.at[0][0]
	for {
		ports = append(ports, p)
		x = g.beyond(p, x)
		if x == 0 {
			return ports
		}
		l.seq = append(l.seq, x)
		at := g.at[x]
		switch {
		case len(at) == 1:
			return ports
		case at[0] == p:
			p = at[1]
		default:
			p = at[0]
		}
	}
}

func (l *line) sum() {
	n := len(l.seq)
	l.devices, l.passing = make([]int, n+1), make([]int, n+1)
	for k := range l.needs {
		l.needs[k] = make([]int, n+1)
	}
	last, zones := "", []string(nil)
	for i, x := range l.seq {
		for k := range l.needs {
			l.needs[k][i+1] = l.needs[k][i]
		}
		need := l.o.need[x]
		l.needs[need][i+1]++
		l.devices[i+1], l.passing[i+1] = l.devices[i], l.passing[i]
		if !l.o.g.device(x) {
			if need == promised {
				l.passing[i+1]++
			}
			continue
		}
		l.devices[i+1]++
		zone, change := l.o.g.c.Nodes[x].Zone, 0
		if len(l.changes) > 0 {
			change = l.changes[len(l.changes)-1]
			if zone != last {
				change++
			}
		}
		l.changes, last = append(l.changes, change), zone
		zones = append(zones, zone)
	}
	l.reach = reach(zones, l.o.lim.MaxZones)
}

// reach gives for every place in a row of zones the last place up to which the row
// has at most so many different ones; 0 sets no bound. One walk, as the window only moves on.
func reach(zones []string, most int) []int {
	out, n, end := make([]int, len(zones)), map[string]int{}, 0
	for i, z := range zones {
		for end < len(zones) && (most == 0 || n[zones[end]] > 0 || len(n) < most) {
			n[zones[end]]++
			end++
		}
		out[i] = end - 1
		if n[z]--; n[z] == 0 {
			delete(n, z)
		}
	}
	return out
}

// count returns the devices in seq[a..b].
func (l *line) count(a, b int) int {
	if a > b {
		return 0
	}
	return l.devices[b+1] - l.devices[a]
}

// allows reports whether the devices in seq[a..b] may be lost together.
func (l *line) allows(a, b int) bool {
	n := l.count(a, b)
	return n == 0 || l.o.lim.allow(n, 0) && l.devices[b+1]-1 <= l.reach[l.devices[a]]
}

func (l *line) has(n need, a, b int) bool { return l.needs[n][b+1] > l.needs[n][a] }

// holds reports whether a segment seq[a..b] reaches the goal; with the control
// unit in it, a short there loses the whole circuit.
func (l *line) holds(a, b int, withUnit bool) bool {
	if a > b {
		return true
	}
	from, to := a, b
	switch {
	case withUnit:
		from, to = 0, len(l.seq)-1
	case !l.looped:
		to = len(l.seq) - 1 // class B: what lies beyond is lost too
	}
	if l.has(within, a, b) && !l.allows(from, to) {
		return false
	}
	if l.has(segmentIn, a, b) && !l.allows(a, b) {
		return false
	}
	devices := l.count(from, to)
	if l.has(promised, a, b) && (devices > 1 || devices > 0 && l.passing[b+1] > l.passing[a]) {
		return false
	}
	return true
}

// findCuts lists fixed and possible cuts from the control unit outwards.
func (l *line) findCuts(ports []int, m Method) {
	g := l.o.g
	for i := 0; i <= len(l.seq); i++ {
		// The port before seq[i], then seq[i] itself.
		if i < len(ports) {
			p := g.ports[ports[i]]
			inner := p.node != 0 && g.c.Nodes[p.node].Isolator // then the device is the cut
			switch {
			case inner:
			case p.isolated:
				l.cuts = append(l.cuts, cut{i - 1, i, Site{p.node, p.leg}, true, l.border(i, i)})
			case m == OnLegs:
				l.cuts = append(l.cuts, cut{i - 1, i, Site{p.node, p.leg}, false, l.border(i, i)})
			}
		}
		if i == len(l.seq) || l.seq[i] >= len(g.c.Nodes) {
			continue
		}
		if v := l.seq[i]; g.c.Nodes[v].Isolator || m == InDevices && g.c.Nodes[v].Device {
			l.cuts = append(l.cuts, cut{i - 1, i + 1, Site{v, -1}, g.c.Nodes[v].Isolator, l.border(i, i) || l.border(i+1, i+1)})
		}
	}
}

// border reports whether the last device before seq[i] and the first from seq[j]
// on differ in zone. The control unit is a border too.
func (l *line) border(i, j int) bool {
	before, after := l.devices[i]-1, l.devices[j]
	if before < 0 {
		return true
	}
	if after >= len(l.changes) {
		return l.looped
	}
	return l.changes[before] != l.changes[after]
}

// price orders placements: isolators added, those off a border, squares of devices per segment.
type price struct{ added, off, squares int }

func (p price) less(q price) bool {
	if p.added != q.added {
		return p.added < q.added
	}
	if p.off != q.off {
		return p.off < q.off
	}
	return p.squares < q.squares
}

func (p price) segment(devices int) price {
	p.squares += devices * devices
	return p
}

// place returns the sites of the cheapest placement. One exists always: every
// site taken reaches the goal by the goal's definition.
func (l *line) place() []Site {
	n := len(l.cuts)
	best, prev, ok := make([]price, n), make([]int, n), make([]bool, n)
	consider := func(k, from int, p price) {
		c := l.cuts[k]
		if !c.fixed {
			p.added++
			if !c.border {
				p.off++
			}
		}
		if c.right-c.left == 2 { // an isolating device is a segment of its own
			p = p.segment(l.count(c.left+1, c.left+1))
		}
		if !ok[k] || p.less(best[k]) {
			best[k], prev[k], ok[k] = p, from, true
		}
	}
	barrier := -1 // the last fixed cut so far: no segment may reach across it
	for k, c := range l.cuts {
		if c.right-c.left == 2 && !l.holds(c.left+1, c.left+1, false) {
			continue
		}
		if barrier < 0 && l.holds(0, c.left, true) {
			consider(k, -1, price{}.segment(l.count(0, c.left)))
		}
		for j := max(barrier, 0); j < k; j++ {
			if a := l.cuts[j].right; ok[j] && l.holds(a, c.left, false) {
				consider(k, j, best[j].segment(l.count(a, c.left)))
			}
		}
		if c.fixed {
			barrier = k
		}
	}
	return l.trace(best, prev, ok, barrier)
}

// trace closes the last segment and walks back.
func (l *line) trace(best []price, prev []int, ok []bool, barrier int) []Site {
	end := len(l.seq) - 1
	last, found, cheapest := -1, false, price{}
	if barrier < 0 && l.holds(0, end, true) {
		cheapest, found = price{}.segment(l.count(0, end)), true
	}
	for k := max(barrier, 0); k < len(l.cuts); k++ {
		if a := l.cuts[k].right; ok[k] && l.holds(a, end, l.looped) {
			if p := best[k].segment(l.count(a, end)); !found || p.less(cheapest) {
				last, cheapest, found = k, p, true
			}
		}
	}
	var sites []Site
	for k := last; k >= 0; k = prev[k] {
		if !l.cuts[k].fixed {
			sites = append(sites, l.cuts[k].site)
		}
	}
	return sites
}
