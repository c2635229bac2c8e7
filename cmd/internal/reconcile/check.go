package reconcile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
)

// possible looks whether the address found can be, and whether it is the planned one.
func (m *merger) possible(s *state) {
	n, ok := s.address()
	if !ok {
		return
	}
	by := strings.Join(s.found[0].sources, ", ")
	a, addressed := m.addressing(s.Circuit)
	if !addressed || s.Span == 0 {
		m.find(codeImpossible, takeoff.Error, "address", s, s.found[0].value, by, "%s: address %d is reported, but it takes none: check which device was meant", s.ID, n)
		return
	}
	if why := impossible(a, n, s.Span); why != "" {
		m.find(codeImpossible, takeoff.Error, "address", s, s.found[0].value, by, "%s: address %d is reported on circuit %s: %s", s.ID, n, s.Circuit, why)
		return
	}
	if n != s.Address {
		m.find(codeOther, takeoff.Warning, "address", s, s.found[0].value, by, "%s: address %d was found and %d is planned: reset the device, or write %d in the ledger's column address", s.ID, n, s.Address, n)
	}
}

// impossible says why a device of the given span cannot have an address; "" if it can.
func impossible(a assign.Addressing, n, span int) string {
	first, last := a.Scheme.Range()
	switch {
	case n < first || n+span-1 > last:
		return fmt.Sprintf("it cannot be set in scheme %s, which has %d to %d", a.Scheme.Name, first, last)
	case n < a.First || n+span-1 > a.Last:
		return fmt.Sprintf("the circuit has %d to %d", a.First, a.Last)
	}
	for k := n; k < n+span; k++ {
		if slices.Contains(a.Reserved, k) {
			return fmt.Sprintf("%d is reserved", k)
		}
	}
	return ""
}

// addressing is that of a circuit; false where devices have none.
func (m *merger) addressing(circuit string) (assign.Addressing, bool) {
	for _, c := range m.outcome.Circuits {
		if c.Name == circuit && c.Kind == takeoff.SLC {
			return c.Addressing, true
		}
	}
	return assign.Addressing{}, false
}

// twice looks for devices of a circuit that would answer to one address: at
// least one of them was found where it is not planned.
func (m *merger) twice() {
	type claim struct {
		s    *state
		from int
	}
	claims := map[string][]claim{}
	var circuits []string
	for _, s := range m.states {
		if n, ok := s.stands(); ok && n > 0 && s.Span > 0 {
			if claims[s.Circuit] == nil {
				circuits = append(circuits, s.Circuit)
			}
			claims[s.Circuit] = append(claims[s.Circuit], claim{s, n})
		}
	}
	for _, c := range circuits {
		cs := claims[c]
		slices.SortStableFunc(cs, func(a, b claim) int { return cmp.Compare(a.from, b.from) })
		for i, a := range cs {
			for _, b := range cs[i+1:] {
				if b.from >= a.from+a.s.Span {
					break
				}
				m.clash(a.s, b.s, b.from)
			}
		}
	}
}

// clash reports two devices on one address. Where one of them was not reported
// at all it may have been moved as well, and that is said.
func (m *merger) clash(a, b *state, address int) {
	if len(a.found) == 0 {
		a, b = b, a
	}
	sev, advice := takeoff.Error, "both would answer at once: readdress one of them"
	if !b.reported() {
		sev, advice = takeoff.Warning, fmt.Sprintf("%s is not reported yet: check what is set there", b.ID)
	}
	m.find(codeTwice, sev, "address", a, values(a.found), strings.Join(a.sources, ", "), "circuit %s: address %d belongs to both %s and %s; %s", a.Circuit, address, a.ID, b.ID, advice)
}

// open counts the devices of each circuit that nobody has reported as done.
func (m *merger) open() {
	for _, c := range m.outcome.Circuits {
		n, all := 0, 0
		first := ""
		for _, id := range c.Circuit.Devices {
			s := m.at[id]
			if s == nil || s.Circuit != c.Name {
				continue
			}
			all++
			if !s.installed() {
				if n == 0 {
					first = id
				}
				n++
			}
		}
		if n > 0 {
			m.diffs = append(m.diffs, Difference{Code: codeOpen, Severity: takeoff.Note, What: "done", Circuit: c.Name,
				Message: fmt.Sprintf("circuit %s: %d of %d devices are not reported as done, first %s", c.Name, n, all, first)})
		}
	}
}
