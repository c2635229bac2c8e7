package job

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	gauge        = regexp.MustCompile(`(?i)^(\d{1,2}) ?awg (solid|stranded)( coated| tinned)?$`)
	crossSection = regexp.MustCompile(`(?i)^(\d{1,3}(?:\.\d{1,3})?) ?mm(?:2|²) class (1|2|5)( coated| tinned)?$`)
)

// parseConductor reads "16 AWG solid" or "1.5 mm2 class 1", each with
// "coated" or "tinned" behind it if the copper is.
func parseConductor(s string) (Conductor, error) {
	t := strings.Join(strings.Fields(s), " ")
	if m := gauge.FindStringSubmatch(t); m != nil {
		n, _ := strconv.Atoi(m[1])
		if n < 4 || n > 24 {
			return Conductor{}, fmt.Errorf("%q: gauge %d is not one that such a circuit is wired with: want 4 AWG to 24 AWG", s, n)
		}
		return Conductor{Text: s, AWG: n, Stranded: strings.EqualFold(m[2], "stranded"), Coated: m[3] != ""}, nil
	}
	if m := crossSection.FindStringSubmatch(t); m != nil {
		a, err := strconv.ParseFloat(m[1], 64)
		if err != nil || a < 0.1 || a > 25 {
			return Conductor{}, fmt.Errorf("%q: want 0.1 mm2 to 25 mm2", s)
		}
		class, _ := strconv.Atoi(m[2])
		return Conductor{Text: s, Area: a, Class: class, Coated: m[3] != ""}, nil
	}
	return Conductor{}, fmt.Errorf("%q is not a conductor: write a gauge as in 16 AWG solid or 18 AWG stranded, or a cross-section as in 1.5 mm2 class 1", s)
}
