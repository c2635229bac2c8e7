package assign

import (
	"cmp"
	"fmt"
	"slices"
	"unicode"
)

// Order says in which order the devices of a circuit are numbered.
type Order string

// The orders. OrderWalk is the default.
const (
	OrderWalk  Order = "walk"  // as the circuit runs
	OrderLevel Order = "level" // level by level, within it as the circuit runs
	OrderRoom  Order = "room"  // level by level and room number by room number
)

// Range is a run of addresses kept for some types. Without Types it takes any.
type Range struct {
	Types       []string
	First, Last int
}

// LevelStart is the first address of a level.
type LevelStart struct {
	Level string
	First int
}

// Addressing says which addresses a circuit has and how they are set.
type Addressing struct {
	Scheme     Scheme
	First      int
	Last       int
	Reserved   []int
	Spare      float64 // share of the capacity to keep free, 0 to 1
	Order      Order
	Ranges     []Range      // ranges of their own for some types; empty for one range for all
	LevelStart []LevelStart // blocks of their own for some levels; not together with Ranges
}

// Capacity returns how many addresses may be used: those from first to last that are not reserved.
func (a Addressing) Capacity() int { return a.capacity(a.First, a.Last) }

func (a Addressing) capacity(first, last int) int {
	n := last - first + 1
	for i, r := range a.Reserved {
		if r >= first && r <= last && !slices.Contains(a.Reserved[:i], r) {
			n--
		}
	}
	return max(0, n)
}

// Contradiction is a mistake in ranges or level starts: which row it is about
// (from 0), and what is wrong.
type Contradiction struct {
	Row     int
	Message string
}

// CheckRanges returns what is wrong with the ranges of an addressing.
func (a Addressing) CheckRanges() []Contradiction {
	var cs []Contradiction
	owner := map[string]int{}
	for i, r := range a.Ranges {
		wrong := func(format string, args ...any) {
			cs = append(cs, Contradiction{i, fmt.Sprintf(format, args...)})
		}
		switch {
		case r.First > r.Last:
			wrong("the range is empty: its first address, %d, comes after its last, %d", r.First, r.Last)
			continue
		case r.First < a.First || r.Last > a.Last:
			wrong("the range %d to %d goes beyond the circuit's addresses, %d to %d", r.First, r.Last, a.First, a.Last)
		case a.capacity(r.First, r.Last) == 0:
			wrong("every address of the range %d to %d is reserved", r.First, r.Last)
		}
		for k, o := range a.Ranges[:i] {
			if o.First <= r.Last && r.First <= o.Last {
				wrong("the range %d to %d overlaps the range %d to %d of row %d: an address belongs to one range", r.First, r.Last, o.First, o.Last, k+1)
				break
			}
		}
		types := r.Types
		if len(types) == 0 {
			types = []string{""}
		}
		for _, t := range types {
			k, twice := owner[t]
			switch {
			case twice && t == "":
				wrong("the range has no types, and neither has row %d: only one can be for all other types", k+1)
			case twice:
				wrong("type %s has a range already, in row %d", t, k+1)
			}
			owner[t] = i
		}
	}
	return cs
}

// CheckLevelStarts returns what is wrong with the level starts of an addressing.
func (a Addressing) CheckLevelStarts() []Contradiction {
	var cs []Contradiction
	for i, s := range a.LevelStart {
		if s.First < a.First || s.First > a.Last {
			cs = append(cs, Contradiction{i, fmt.Sprintf("%s starts at %d, which is not one of the circuit's addresses, %d to %d", s.Level, s.First, a.First, a.Last)})
		}
		for _, o := range a.LevelStart[:i] {
			if o.First == s.First {
				cs = append(cs, Contradiction{i, fmt.Sprintf("%s starts at %d, and so does %s: each level needs a start of its own", s.Level, s.First, o.Level)})
			}
		}
	}
	return cs
}

// window is a run of addresses and whom it is for.
type window struct {
	first, last int
	name        string // of the types or the level; "" for the whole circuit
}

func (w window) holds(a int) bool { return a >= w.first && a <= w.last }

// windows lists the runs that a circuit is divided into; the whole circuit if none.
func (a Addressing) windows() []window {
	var ws []window
	for _, r := range a.Ranges {
		name := "types without a range"
		if len(r.Types) > 0 {
			name = fmt.Sprint(r.Types)
		}
		ws = append(ws, window{r.First, r.Last, name})
	}
	for _, s := range a.LevelStart {
		last := a.Last
		for _, o := range a.LevelStart {
			if o.First > s.First {
				last = min(last, o.First-1)
			}
		}
		ws = append(ws, window{s.First, last, s.Level})
	}
	return ws
}

// window returns the run that a device's address comes from.
func (n *numberer) window(d *Numbered) window {
	a := n.walk.Addressing
	whole := window{first: a.First, last: a.Last}
	for i, s := range a.LevelStart {
		if s.Level == d.Level {
			return n.windows[len(a.Ranges)+i]
		}
	}
	for i, r := range a.Ranges {
		if slices.Contains(r.Types, d.Type) {
			return n.windows[i]
		}
	}
	for i, r := range a.Ranges {
		if len(r.Types) == 0 {
			return n.windows[i]
		}
	}
	return whole
}

// keptFrom reports whether an address lies in a range of other types.
func (a Addressing) keptFrom(typ string, address int) bool {
	for _, r := range a.Ranges {
		if address >= r.First && address <= r.Last {
			return len(r.Types) > 0 && !slices.Contains(r.Types, typ)
		}
	}
	return false
}

// sequence puts walked devices into the order in which they are numbered.
func (a Addressing) sequence(walked []*Numbered, levels []string) []*Numbered {
	seq := slices.Clone(walked)
	if a.Order != OrderLevel && a.Order != OrderRoom {
		return seq
	}
	slices.SortStableFunc(seq, func(x, y *Numbered) int {
		c := cmp.Compare(slices.Index(levels, x.Level), slices.Index(levels, y.Level))
		if a.Order == OrderRoom {
			c = cmp.Or(c, compareRooms(x.Room, y.Room))
		}
		return c
	})
	return seq
}

// compareRooms orders rooms by number and name; devices in no room come last.
func compareRooms(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(b, a)
	}
	return Natural(a, b)
}

// Natural compares texts as people do: digits count as numbers, so that room 9
// comes before room 10.
func Natural(a, b string) int {
	x, y := []rune(a), []rune(b)
	for len(x) > 0 && len(y) > 0 {
		n, m := digits(x), digits(y)
		if n > 0 && m > 0 {
			if c := compareDigits(x[:n], y[:m]); c != 0 {
				return c
			}
			x, y = x[n:], y[m:]
			continue
		}
		if c := cmp.Compare(unicode.ToUpper(x[0]), unicode.ToUpper(y[0])); c != 0 {
			return c
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(a, b))
}

func digits(s []rune) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

func compareDigits(a, b []rune) int {
	for len(a) > 1 && a[0] == '0' {
		a = a[1:]
	}
	for len(b) > 1 && b[0] == '0' {
		b = b[1:]
	}
	return cmp.Or(cmp.Compare(len(a), len(b)), slices.Compare(a, b))
}
