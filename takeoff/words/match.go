package words

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"loopwright/takeoff/geom"
)

// Match is one rule: a symbol fits if every part given fits. Patterns take the
// wildcards * and ?, and fold case; a bound-reference prefix such as X$0$ on a
// name is ignored.
type Match struct {
	Block  string
	Layer  string
	Attrib map[string]string
	Text   string // a text-only device
	// How the symbol itself is drawn, other than by its layer or block.
	Linetype string
	Color    int         // index 1 to 255; 0 for any
	Sample   *geom.Point // a place in drawing units on one sample of a loose figure
	// Where the sample stands, if not on a plan of the job or not as large as in the plans.
	Drawing string  // the drawing; "" for the first plan with a figure there
	Paper   bool    // in its paper space
	Size    float64 // larger side of the figure there, in drawing units; 0: found from what is drawn
	Scale   float64 // how many times as large the figure is in the plans, in drawing units; 0 for once
}

// String writes a rule as it stands in a job file.
func (m Match) String() string {
	var parts []string
	add := func(key, value string) {
		if value != "" {
			parts = append(parts, key+": "+value)
		}
	}
	add("block", m.Block)
	add("layer", m.Layer)
	add("text", m.Text)
	add("linetype", m.Linetype)
	if m.Color != 0 {
		add("color", strconv.Itoa(m.Color))
	}
	tags := make([]string, 0, len(m.Attrib))
	for tag := range m.Attrib {
		tags = append(tags, tag)
	}
	slices.Sort(tags)
	for _, tag := range tags {
		add("attrib "+tag, m.Attrib[tag])
	}
	if m.Sample != nil {
		add("sample", fmt.Sprintf("%g, %g", m.Sample.X, m.Sample.Y))
		add("drawing", m.Drawing)
	}
	return strings.Join(parts, ", ")
}

// boundPrefix is what binding an external reference puts before a name
// (X$0$NAME), or what an unbound one shows (X|NAME).
var boundPrefix = regexp.MustCompile(`^.*(\$\d+\$|\|)`)

// Unbound returns a block or layer name without the prefix of a bound or
// attached external reference.
func Unbound(name string) string { return boundPrefix.ReplaceAllString(name, "") }

// Wildcard reports whether name fits pattern: * stands for any run of
// characters, ? for one; case is folded.
func Wildcard(pattern, name string) bool {
	p, n := []rune(strings.ToUpper(pattern)), []rune(strings.ToUpper(name))
	// Greedy with one step back to the last star: linear for the patterns
	// people write, and never exponential.
	pi, ni, star, mark := 0, 0, -1, 0
	for ni < len(n) {
		switch {
		case pi < len(p) && p[pi] == '*':
			star, mark = pi, ni
			pi++
		case pi < len(p) && (p[pi] == '?' || p[pi] == n[ni]):
			pi++
			ni++
		case star >= 0:
			mark++
			pi, ni = star+1, mark
		default:
			return false
		}
	}
	for pi < len(p) && p[pi] == '*' {
		pi++
	}
	return pi == len(p)
}

// Remembered returns a test of names that remembers what it said: a drawing has
// few names of blocks and layers, and repeats each many times. Sheets that are
// read side by side may ask it at once.
func Remembered(test func(name string) bool) func(name string) bool {
	var known sync.Map
	return func(name string) bool {
		yes, seen := known.Load(name)
		if !seen {
			yes = test(name)
			known.Store(name, yes)
		}
		return yes.(bool)
	}
}

// NameFits reports whether a block or layer name fits pattern, with or without
// its bound-reference prefix.
func NameFits(pattern, name string) bool {
	return Wildcard(pattern, name) || Wildcard(pattern, Unbound(name))
}

// AnyName reports whether one of the patterns fits a name.
func AnyName(patterns []string, name string) bool {
	for _, p := range patterns {
		if NameFits(p, name) {
			return true
		}
	}
	return false
}

// Symbol is what a rule looks at: an insert, or a text where Block is "".
type Symbol struct {
	Block   string
	Layer   string
	Attribs map[string]string
	Text    string
	// As Match.
	Linetype string
	Color    int
}

// Fits reports whether every part that m gives fits s. A rule that gives
// nothing fits nothing. Samples of loose figures are not looked at here.
func (m Match) Fits(s Symbol) bool {
	if m.Sample != nil || m.Empty() {
		return false
	}
	if m.Block != "" && (s.Block == "" || !NameFits(m.Block, s.Block)) {
		return false
	}
	if m.Text != "" && (s.Text == "" || !Wildcard(m.Text, strings.TrimSpace(s.Text))) {
		return false
	}
	if m.Layer != "" && !NameFits(m.Layer, s.Layer) {
		return false
	}
	if m.Linetype != "" && (s.Linetype == "" || !Wildcard(m.Linetype, s.Linetype)) || m.Color != 0 && m.Color != s.Color {
		return false
	}
	for tag, pattern := range m.Attrib {
		value, ok := s.attrib(tag)
		if !ok || !Wildcard(pattern, strings.TrimSpace(value)) {
			return false
		}
	}
	return true
}

// Empty reports whether the rule gives nothing to look at.
func (m Match) Empty() bool {
	return m.Block == "" && m.Layer == "" && m.Text == "" && m.Linetype == "" && m.Color == 0 && len(m.Attrib) == 0 && m.Sample == nil
}

// attrib finds a value by tag, whatever the case of the tag.
func (s Symbol) attrib(tag string) (string, bool) { return Attrib(s.Attribs, tag) }

// Attrib finds the value of an attribute by its tag: as it is written, else
// whatever its case. Of tags that differ in case alone the first in the order
// of the alphabet counts.
func Attrib(attribs map[string]string, tag string) (string, bool) {
	if v, ok := attribs[tag]; ok {
		return v, true
	}
	best, found := "", false
	for k := range attribs {
		if strings.EqualFold(k, tag) && (!found || k < best) {
			best, found = k, true
		}
	}
	return attribs[best], found
}

// AnyFits reports whether one of the rules fits s.
func AnyFits(rules []Match, s Symbol) bool {
	for _, m := range rules {
		if m.Fits(s) {
			return true
		}
	}
	return false
}
