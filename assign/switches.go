package assign

import (
	"fmt"
	"math/bits"
	"slices"
	"strconv"
	"strings"
)

// Scheme says how an address is set on the device itself. The zero value of
// everything but Name is the usual wiring: switch 1 is worth 1, each next one
// double, and ON counts.
type Scheme struct {
	Name         string // binary7, binary8, decade or none
	HighestFirst bool   // switch 1 has the highest value (binary only)
	OnMeansZero  bool   // OFF counts and ON is nothing (binary only)
	Offset       int    // added to the address before it is set, e.g. -1 (binary only)
}

// SchemeNames lists the schemes that a job file may name.
var SchemeNames = []string{"binary7", "binary8", "decade", "none"}

// topTens is the highest position of a tens dial: it runs past 9 so that two
// dials reach 159 (common practice, no source).
const topTens = 15

// noneTop bounds addresses that are set electronically.
const noneTop = 99999999

// Setting is one address as a person sets it on the device.
type Setting struct {
	Scheme string `json:"scheme"`
	On     []int  `json:"on"`  // values of the switches in the ON position, lowest first; none for dials
	Row    string `json:"row"` // switches from switch 1, 1 = ON; dials as tens/ones; "" if there is nothing to set
}

// switches returns how many switches the scheme has; 0 for dials and none.
func (s Scheme) switches() int {
	switch s.Name {
	case "binary7":
		return 7
	case "binary8":
		return 8
	}
	return 0
}

// Validate reports a scheme that does not exist or whose parts contradict one another.
func (s Scheme) Validate() error {
	if !slices.Contains(SchemeNames, s.Name) {
		return fmt.Errorf("address scheme %q: want one of %s", s.Name, strings.Join(SchemeNames, ", "))
	}
	if s.switches() == 0 && (s.HighestFirst || s.OnMeansZero || s.Offset != 0) {
		return fmt.Errorf("address scheme %s has no switches: first_switch, on_means and offset do not apply", s.Name)
	}
	if n := s.switches(); n > 0 {
		if first, last := s.Range(); first > last {
			return fmt.Errorf("offset %d leaves no address that %d switches can show", s.Offset, n)
		}
	}
	return nil
}

// Range returns the lowest and the highest address that can be set. Address 0
// is none: all switches off is how a device comes out of its box (common
// practice, no source).
func (s Scheme) Range() (first, last int) {
	switch s.Name {
	case "decade":
		return 1, topTens*10 + 9
	case "none":
		return 1, noneTop
	}
	return max(1, -s.Offset), 1<<s.switches() - 1 - s.Offset
}

// Values returns what each switch is worth, switch 1 first; nil for dials and none.
func (s Scheme) Values() []int {
	n := s.switches()
	vs := make([]int, n)
	for i := range vs {
		vs[i] = 1 << i
		if s.HighestFirst {
			vs[i] = 1 << (n - 1 - i)
		}
	}
	return vs
}

// Encode returns how address is set, or an error that names the possible range.
func (s Scheme) Encode(address int) (Setting, error) {
	if err := s.Validate(); err != nil {
		return Setting{}, err
	}
	if first, last := s.Range(); address < first || address > last {
		return Setting{}, fmt.Errorf("address %d cannot be set in scheme %s: want %d to %d", address, s.Name, first, last)
	}
	set := Setting{Scheme: s.Name, On: []int{}}
	switch s.Name {
	case "none":
		return set, nil
	case "decade":
		set.Row = fmt.Sprintf("%d/%d", address/10, address%10)
		return set, nil
	}
	row := make([]byte, s.switches())
	for i, v := range s.Values() {
		on := ((address+s.Offset)&v != 0) != s.OnMeansZero
		row[i] = '0'
		if on {
			row[i] = '1'
			set.On = append(set.On, v)
		}
	}
	slices.Sort(set.On)
	set.Row = string(row)
	return set, nil
}

// Decode reads an address back from a row as Setting.Row writes it.
func (s Scheme) Decode(row string) (int, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	switch s.Name {
	case "none":
		return 0, fmt.Errorf("scheme none has no switches to read")
	case "decade":
		return s.decodeDials(row)
	}
	vs := s.Values()
	if len(row) != len(vs) || strings.Trim(row, "01") != "" {
		return 0, fmt.Errorf("switch row %q: want %d digits of 0 and 1, switch 1 first", row, len(vs))
	}
	sum := 0
	for i, v := range vs {
		if (row[i] == '1') != s.OnMeansZero {
			sum += v
		}
	}
	return s.inRange(sum - s.Offset)
}

// DecodeOn reads an address back from the values of the switches that are ON, in any order.
func (s Scheme) DecodeOn(on []int) (int, error) {
	vs := s.Values()
	if len(vs) == 0 {
		return 0, fmt.Errorf("scheme %s has no switches that are on or off", s.Name)
	}
	seen := 0
	for _, v := range on {
		if !slices.Contains(vs, v) {
			return 0, fmt.Errorf("no switch is worth %d: want %s", v, joinInts(sorted(vs), ", "))
		}
		if seen&v != 0 {
			return 0, fmt.Errorf("the switch worth %d is named twice", v)
		}
		seen |= v
	}
	if s.OnMeansZero {
		seen = 1<<len(vs) - 1 - seen
	}
	return s.inRange(seen - s.Offset)
}

func (s Scheme) decodeDials(row string) (int, error) {
	t, o, ok := strings.Cut(row, "/")
	tens, err1 := strconv.Atoi(t)
	ones, err2 := strconv.Atoi(o)
	if !ok || err1 != nil || err2 != nil || tens < 0 || tens > topTens || ones < 0 || ones > 9 {
		return 0, fmt.Errorf("dials %q: want tens/ones, for instance 4/3", row)
	}
	return s.inRange(tens*10 + ones)
}

func (s Scheme) inRange(address int) (int, error) {
	if first, last := s.Range(); address < first || address > last {
		return 0, fmt.Errorf("these switches make address %d, which scheme %s does not have: want %d to %d", address, s.Name, first, last)
	}
	return address, nil
}

// Sum writes the address out as the sum of its switch values, e.g. "2+8+16+64 = 90".
// With an offset or inverted switches it shows the value that is set and how it
// follows from the address. It is "" where nothing is summed.
func (s Scheme) Sum(address int) string {
	n := s.switches()
	value := address + s.Offset
	if n == 0 || value < 0 || bits.Len(uint(value)) > n {
		return ""
	}
	var terms []int
	for v := 1; v <= value; v <<= 1 {
		if value&v != 0 {
			terms = append(terms, v)
		}
	}
	sum := fmt.Sprintf("%s = %d", joinInts(terms, "+"), value)
	if len(terms) == 0 {
		sum = "0"
	}
	if s.Offset != 0 {
		sum += fmt.Sprintf(" (%d%+d)", address, s.Offset)
	}
	if s.OnMeansZero {
		sum += ", OFF counts"
	}
	return sum
}

func joinInts(vs []int, sep string) string {
	ss := make([]string, len(vs))
	for i, v := range vs {
		ss[i] = strconv.Itoa(v)
	}
	return strings.Join(ss, sep)
}

func sorted(vs []int) []int {
	vs = slices.Clone(vs)
	slices.Sort(vs)
	return vs
}
