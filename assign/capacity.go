package assign

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// findings reports what did not fit, what is short of spare addresses, and what
// is held that should not be.
func (n *numberer) findings() []takeoff.Finding {
	var fs []takeoff.Finding
	for _, d := range n.outside {
		fs = append(fs, about(CodeHeldOutside, takeoff.Error, d,
			"%s holds address %d on circuit %s, which has %d to %d and does not give that one out: widen the circuit's addresses, or change the address in the ledger",
			d.ID, d.Address, n.walk.Circuit, n.walk.Addressing.First, n.walk.Addressing.Last))
	}
	for _, p := range n.twice {
		i := slices.IndexFunc(n.walked, func(d *Numbered) bool { return d.ID == p[0] })
		d := n.walked[i]
		fs = append(fs, about(CodeHeldTwice, takeoff.Error, d,
			"%s and %s hold the same address on circuit %s: %s keeps it and %s gets %d; check the switches on the devices and correct the ledger",
			p[0], p[1], n.walk.Circuit, p[1], p[0], d.Address))
	}
	if len(n.refused) > 0 {
		return append(fs, n.overCapacity())
	}
	return append(fs, n.shortOfSpare()...)
}

func about(code string, s takeoff.Severity, d *Numbered, format string, args ...any) takeoff.Finding {
	return takeoff.Finding{Code: code, Severity: s, Message: fmt.Sprintf(format, args...),
		Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != ""}
}

// demand is how many addresses devices take.
func (n *numberer) demand(ds []*Numbered) int {
	sum := 0
	for _, d := range ds {
		sum += n.span(d)
	}
	return sum
}

func (n *numberer) overCapacity() takeoff.Finding {
	d := n.refused[0]
	a := n.walk.Addressing
	what := fmt.Sprintf("circuit %s needs %d addresses and has %d", n.walk.Circuit, n.demand(n.walked), a.Capacity())
	if r := n.retired(); r > 0 {
		what += fmt.Sprintf(", %d of them held for removed devices", r)
	}
	if w := n.window(d); w.name != "" {
		var of []*Numbered
		for _, x := range n.walked {
			if n.window(x) == w {
				of = append(of, x)
			}
		}
		what = fmt.Sprintf("addresses %d to %d of circuit %s, for %s, are only %d, and %d are needed", w.first, w.last, n.walk.Circuit, w.name, a.capacity(w.first, w.last), n.demand(of))
	}
	return about(CodeOverCapacity, takeoff.Error, d, "%s: none for %s, first %s; %s", what, measure.Count(len(n.refused), "device"), d.ID, n.advice())
}

func (n *numberer) retired() int {
	sum := 0
	for _, r := range n.walk.Retired {
		sum += r.Span
	}
	return sum
}

// advice names the next best split: the fewest circuits that keep the spare
// share, cut between levels if each part then fits, else along the walk.
func (n *numberer) advice() string {
	a := n.walk.Addressing
	room := int(float64(a.Capacity())*(1-a.Spare) + 1e-9)
	need := n.demand(n.walked)
	most := 0
	for _, d := range n.walked {
		most = max(most, n.span(d))
	}
	if room < 1 || most > room {
		return "no split helps: give the circuit more addresses"
	}
	if need <= room {
		return "free addresses in the ledger, or change ranges and reserved addresses"
	}
	parts := n.byLevel(room)
	if parts == nil {
		parts = n.alongWalk(room)
	}
	return fmt.Sprintf("next best: %d circuits, %s; or write circuits: auto in its row to have it split", len(parts), strings.Join(parts, ", "))
}

// byLevel fills circuits level by level in walking order; nil if a level alone
// is too much or there is only one.
func (n *numberer) byLevel(room int) []string {
	var levels []string
	need := map[string]int{}
	for _, d := range n.walked {
		if !slices.Contains(levels, d.Level) {
			levels = append(levels, d.Level)
		}
		need[d.Level] += n.span(d)
	}
	var parts []string
	var names []string
	sum := 0
	flush := func() {
		if len(names) > 0 {
			parts = append(parts, fmt.Sprintf("%s with %d", strings.Join(names, " and "), sum))
		}
		names, sum = nil, 0
	}
	for _, l := range levels {
		if need[l] > room {
			return nil
		}
		if sum+need[l] > room {
			flush()
		}
		names, sum = append(names, l), sum+need[l]
	}
	flush()
	return parts
}

// alongWalk cuts the walk into runs of about the same size.
func (n *numberer) alongWalk(room int) []string {
	need := n.demand(n.walked)
	count := (need + room - 1) / room
	share := min(room, int(math.Ceil(float64(need)/float64(count))))
	var parts []string
	sum, first, last := 0, "", ""
	flush := func() {
		run := first
		if last != first {
			run += " to " + last
		}
		parts = append(parts, fmt.Sprintf("%s with %d", run, sum))
	}
	for _, d := range n.walked {
		span := n.span(d)
		if span == 0 {
			continue
		}
		if sum+span > share && sum > 0 && (len(parts) < count-1 || sum+span > room) {
			flush()
			sum, first = 0, ""
		}
		if first == "" {
			first = d.ID
		}
		sum, last = sum+span, d.ID
	}
	flush()
	return parts
}

// shortOfSpare reports a circuit, a range of it or a level of it, with too few free addresses.
func (n *numberer) shortOfSpare() []takeoff.Finding {
	a := n.walk.Addressing
	var fs []takeoff.Finding
	look := func(where string, first, last int) {
		capacity, used := a.capacity(first, last), 0
		reserved := map[int]bool{}
		for _, r := range a.Reserved {
			reserved[r] = true
		}
		held := 0
		for addr, who := range n.taken {
			if addr >= first && addr <= last && !reserved[addr] {
				used++
				if who != "" {
					held++
				}
			}
		}
		if keep := a.Spare * float64(capacity); held > 0 && float64(capacity-used) < keep-1e-9 {
			fs = append(fs, takeoff.Finding{Code: CodeNoSpare, Severity: takeoff.Warning,
				Message: fmt.Sprintf("%s uses %d of %d addresses: %d are left, and the job asks for %.0f %% spare", where, used, capacity, capacity-used, a.Spare*100)})
		}
	}
	look("circuit "+n.walk.Circuit, a.First, a.Last)
	for _, w := range n.windows { // ranges that are kept for some types, then levels
		look(fmt.Sprintf("%s on circuit %s", w.name, n.walk.Circuit), w.first, w.last)
	}
	return fs
}
