package reconcile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/cmd/internal/returned"
)

// said is a value and the sources that say so.
type said struct {
	value   string
	sources []string
}

// hear adds a source to those that say a value.
func hear(all []said, value, source string) []said {
	for i := range all {
		if all[i].value == value {
			if !slices.Contains(all[i].sources, source) {
				all[i].sources = append(all[i].sources, source)
			}
			return all
		}
	}
	return append(all, said{value, []string{source}})
}

// values joins what is said, in the order in which it was heard.
func values(all []said) string {
	var vs []string
	for _, s := range all {
		vs = append(vs, s.value)
	}
	return strings.Join(vs, "; ")
}

// quote tells who says what.
func quote(all []said) string {
	var parts []string
	for _, s := range all {
		parts = append(parts, fmt.Sprintf("%q in %s", s.value, strings.Join(s.sources, " and ")))
	}
	return strings.Join(parts, ", ")
}

// state is what all sources together say about one device.
type state struct {
	assign.Numbered
	found   []said
	serial  []said
	ticks   map[string]bool
	date    string // latest date of a tick
	problem []string
	notes   []string
	sources []string
	before  string // address in the ledger before
}

// address returns the found address, if the sources agree on one.
func (s *state) address() (int, bool) {
	if len(s.found) != 1 {
		return 0, false
	}
	n, err := strconv.Atoi(s.found[0].value)
	return n, err == nil
}

// stands returns the address that a device answers to as far as is known: the
// found one, or the planned one where nobody has found another.
func (s *state) stands() (address int, known bool) {
	if len(s.found) == 0 {
		return s.Address, s.Address > 0
	}
	return s.address()
}

// reported tells whether a source says that the device is there.
func (s *state) reported() bool { return len(s.found) > 0 || len(s.ticks) > 0 }

// done writes the ticks, and the latest date, as the ledger keeps them.
func (s *state) done() string {
	var parts []string
	for _, t := range returned.Ticks {
		if s.ticks[t] {
			parts = append(parts, t)
		}
	}
	if len(parts) > 0 && s.date != "" {
		parts = append(parts, s.date)
	}
	return strings.Join(parts, " ")
}

// installed tells a device that stands in the building.
func (s *state) installed() bool { return s.ticks[returned.Done] || s.ticks[returned.Mounted] }

// restore reads ticks and date back from the ledger.
func (s *state) restore(done string) {
	for _, w := range strings.Fields(done) {
		switch {
		case slices.Contains(returned.Ticks, w):
			s.ticks[w] = true
		case returned.Day(w+"T") != "":
			s.date = max(s.date, w)
		default:
			s.note(w) // somebody's own word
			s.ticks[returned.Done] = true
		}
	}
}

// note keeps the lines of a text that are not kept yet.
func (s *state) note(text string) {
	for l := range strings.SplitSeq(text, "\n") {
		if l = strings.TrimSpace(l); l != "" && !slices.Contains(s.notes, l) {
			s.notes = append(s.notes, l)
		}
	}
}

// number reads an address as people write it; ok is false for what is none.
func number(text string) (n int, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	return n, err == nil && n >= 0 && n <= 99999999
}
