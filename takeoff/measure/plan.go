package measure

import (
	"fmt"
	"strconv"
	"strings"
)

// planUnits are the units in which plans come, in metres. A drawing's header may
// declare others, from the angstrom to the parsec: no building is drawn in them,
// and one slip of the mouse in a list of units declares them. The US survey foot
// is 1200/3937 m (NIST SP 811, appendix B).
var planUnits = map[string]float64{
	"in": Inch, "ft": Foot, "yd": 3 * Foot, "mm": 1e-3, "cm": 1e-2, "dm": 0.1, "m": 1, "km": 1e3,
	"us-ft": 1200.0 / 3937, "us-in": 100.0 / 3937, "us-yd": 3600.0 / 3937,
}

// MetresPer returns the metres of one unit by the name that the reader of
// drawings gives it, or an error that names those a job may write.
func MetresPer(unit string) (float64, error) {
	if n, one, ok := strings.Cut(unit, " "); ok { // so many of a unit, as a drawing on paper has
		if k, err := strconv.ParseFloat(n, 64); err == nil && k > 0 && k < 1e6 {
			m, err := MetresPer(strings.TrimSpace(one))
			return k * m, err
		}
	}
	if m, ok := planUnits[unit]; ok {
		return m, nil
	}
	return 0, fmt.Errorf("unit %q is not known: want one of in, ft, yd, mm, cm, dm, m, km", unit)
}

// ParseUnit reads a unit as people write it.
func ParseUnit(s string) (string, error) {
	u := strings.ToLower(strings.TrimSpace(s))
	switch u {
	case `"`, "inch", "inches":
		u = "in"
	case "'", "foot", "feet":
		u = "ft"
	}
	_, err := MetresPer(u)
	return u, err
}
