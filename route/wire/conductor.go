package wire

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Build is how a conductor is made up.
type Build uint8

// The builds that the tables know. Solid and Stranded go with AWG sizes
// (stranded means seven strands in Table 8 for 18 to 8 AWG); the classes are
// those of IEC 60228 and go with sizes in mm2.
const (
	Solid Build = iota + 1
	stranded
	class1 // solid
	class2 // stranded
	class5 // flexible
)

var buildNames = map[Build]string{
	Solid: "solid", stranded: "stranded", class1: "class 1", class2: "class 2", class5: "class 5",
}

// String names the build as a job file writes it.
func (b Build) String() string {
	if s, ok := buildNames[b]; ok {
		return s
	}
	return fmt.Sprintf("build %d", uint8(b))
}

// Conductor is one copper conductor. Exactly one of Gauge and Area is set.
// The value is comparable and may be a map key.
type Conductor struct {
	Gauge  int     // AWG number, 0 for a metric size
	Area   float64 // nominal cross-section in mm2, 0 for an AWG size
	Build  Build
	Coated bool // coated copper of Table 8, tinned copper of IEC 60228
}

// String writes the conductor as [ParseConductor] reads it.
func (c Conductor) String() string {
	size, coat := fmt.Sprintf("%d AWG", c.Gauge), " coated"
	if c.Area != 0 {
		size, coat = strconv.FormatFloat(c.Area, 'g', -1, 64)+" mm2", " tinned"
	}
	s := size + " " + c.Build.String()
	if c.Coated {
		s += coat
	}
	return s
}

// Family returns the conductors that differ from c in size only, smallest first.
// It is empty when no table holds c's build and coating.
func Family(c Conductor) []Conductor {
	var out []Conductor
	for _, r := range rows {
		k := r.conductor
		if k.Build == c.Build && k.Coated == c.Coated && (k.Area == 0) == (c.Area == 0) {
			out = append(out, k)
		}
	}
	return out
}

// ParseConductor reads a conductor as a job file writes it: "16 AWG solid",
// "16 AWG stranded", "16 AWG solid coated", "1.5 mm2 class 1",
// "1.5 mm2 class 5 tinned". Letter case and spacing do not matter. The error
// says which word is wrong and what is allowed in its place.
func ParseConductor(s string) (Conductor, error) {
	fail := func(format string, args ...any) (Conductor, error) {
		return Conductor{}, fmt.Errorf("conductor %q: %s", s, fmt.Sprintf(format, args...))
	}
	number, rest := splitNumber(s)
	if number == "" {
		return fail("start with a size, such as \"16 AWG solid\" or \"1.5 mm2 class 1\"")
	}
	words := strings.Fields(strings.ToLower(rest))
	if len(words) == 0 {
		return fail("the size needs its unit, AWG or mm2, such as \"16 AWG solid\" or \"1.5 mm2 class 1\"")
	}
	var c Conductor
	var err error
	switch words[0] {
	case "awg":
		c, err = parseAWG(number, words[1:])
	case "mm2", "mm²":
		c, err = parseMetric(number, words[1:])
	default:
		return fail("%q is not a unit of size; use AWG or mm2", words[0])
	}
	if err != nil {
		return fail("%v", err)
	}
	if _, ok := find(c); !ok {
		return fail("no table value; allowed are %s", allowed(c))
	}
	return c, nil
}

// splitNumber takes the leading number off, so that "16AWG" reads like "16 AWG".
func splitNumber(s string) (number, rest string) {
	s = strings.TrimSpace(s)
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.') {
		i++
	}
	return s[:i], s[i:]
}

func parseAWG(number string, words []string) (Conductor, error) {
	gauge, err := strconv.Atoi(number)
	if err != nil || gauge <= 0 {
		return Conductor{}, fmt.Errorf("%q is not an AWG number; allowed are %s", number, sizes(true))
	}
	c := Conductor{Gauge: gauge}
	for _, w := range words {
		switch w {
		case "solid":
			err = c.setBuild(Solid)
		case "stranded":
			err = c.setBuild(stranded)
		default:
			err = c.setCoating(w, "solid or stranded")
		}
		if err != nil {
			return Conductor{}, err
		}
	}
	if c.Build == 0 {
		return Conductor{}, fmt.Errorf("say solid or stranded, such as \"%d AWG solid\"", gauge)
	}
	return c, nil
}

func parseMetric(number string, words []string) (Conductor, error) {
	area, err := strconv.ParseFloat(number, 64)
	if err != nil || !(area > 0) || math.IsInf(area, 0) {
		return Conductor{}, fmt.Errorf("%q is not a cross-section; allowed are %s", number, sizes(false))
	}
	c := Conductor{Area: area}
	for i := 0; i < len(words); i++ {
		if words[i] != "class" {
			if err := c.setCoating(words[i], "class 1, class 2 or class 5"); err != nil {
				return Conductor{}, err
			}
			continue
		}
		i++
		class := ""
		if i < len(words) {
			class = words[i]
		}
		build, ok := map[string]Build{"1": class1, "2": class2, "5": class5}[class]
		if !ok {
			return Conductor{}, fmt.Errorf("class %q is not known; allowed are class 1, class 2 and class 5 of IEC 60228", class)
		}
		if err := c.setBuild(build); err != nil {
			return Conductor{}, err
		}
	}
	if c.Build == 0 {
		return Conductor{}, fmt.Errorf("say class 1, class 2 or class 5, such as \"%s mm2 class 1\"", number)
	}
	return c, nil
}

func (c *Conductor) setBuild(b Build) error {
	if c.Build != 0 {
		return fmt.Errorf("both %s and %s are given; give one", c.Build, b)
	}
	c.Build = b
	return nil
}

func (c *Conductor) setCoating(word, builds string) error {
	switch word {
	case "coated", "tinned":
		c.Coated = true
	case "uncoated", "plain", "bare":
		c.Coated = false
	default:
		return fmt.Errorf("%q is not known here; allowed are %s, and coated (tinned) or uncoated (plain)", word, builds)
	}
	return nil
}

// sizes lists the sizes of one system, smallest first, each once.
func sizes(awg bool) string {
	var out []string
	seen := map[string]bool{}
	for _, r := range rows {
		if (r.conductor.Area == 0) != awg {
			continue
		}
		s := strconv.FormatFloat(r.conductor.Area, 'g', -1, 64)
		if awg {
			s = strconv.Itoa(r.conductor.Gauge)
		}
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	if awg {
		return strings.Join(out, ", ") + " AWG"
	}
	return strings.Join(out, ", ") + " mm2"
}

// allowed names the sizes that exist in c's build and coating.
func allowed(c Conductor) string {
	var out []string
	for _, k := range Family(c) {
		out = append(out, fmt.Sprintf("%q", k))
	}
	return strings.Join(out, ", ")
}
