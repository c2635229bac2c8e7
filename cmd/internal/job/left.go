package job

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"loopwright/takeoff/measure"
)

// left says what holds where a key is left out. The reference, the note that is
// printed and the value that is computed with all come from it: a value stands
// here once, as people write it, and the key's own reader reads it.
type left struct {
	value  string // as it would stand in the file
	step   string // with %s for value: how that of a level follows from its neighbors
	words  string // or: what holds where there is no value, or how it is worked out
	why    string // in plain words
	source string // of the value: published, or practice, or ours

	unjudged, whose string // of listing data: what is not judged without it, and whose listing has it
}

// listing is a figure that only the equipment's listing gives. Nothing stands in
// for it: what it limits is not judged.
func listing(unjudged, whose string) left {
	return left{words: unjudged + " not judged", why: "take it from the " + whose + "'s listing", unjudged: unjudged, whose: whose}
}

// The sources of values that nobody published.
const (
	practice = "common practice, no source"
	ours     = "ours, no source"
)

// without says what holds, for the reference.
func (l left) without() string {
	switch {
	case l.step != "":
		return fmt.Sprintf(l.step, l.value)
	case l.words != "":
		return l.words
	}
	return l.value
}

// example is a value that could stand in the file; "" for none.
func (l left) example() string {
	if l.step != "" {
		return ""
	}
	return l.value
}

// because is the reason with the source.
func (l left) because() string {
	switch {
	case l.source == "":
		return l.why
	case l.why == "":
		return l.source
	}
	return fmt.Sprintf("%s (%s)", l.why, l.source)
}

// metres is the value of a length.
func (l left) metres() float64 {
	v, err := measure.Length.Parse(l.value)
	if err != nil {
		panic("job: bad default " + l.value)
	}
	return v
}

// Quote writes a text so that every reader of YAML takes it as one, in quotes
// where it needs them.
func Quote(s string) string {
	if plain.MatchString(s) && !slices.Contains(truthy, strings.ToLower(s)) && !slices.Contains([]string{"null", "y", "n"}, strings.ToLower(s)) {
		return s
	}
	return strconv.Quote(s)
}

var plain = regexp.MustCompile(`^([A-Za-z]([A-Za-z0-9 ._/-]*[A-Za-z0-9._/-])?|\d+/\d+)$`)

// The values of other packages as people write them.

func inFeet(m float64) string { return tidied(m/measure.Foot) + " ft" }

func inPercent(share float64) string { return tidied(share*100) + "%" }

// tidied writes a number without the last bits that a change of unit leaves.
func tidied(v float64) string { return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64) }

func inList(texts []string) string {
	quoted := make([]string, len(texts))
	for i, t := range texts {
		quoted[i] = strconv.Quote(t)
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}
