package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
)

// MetresPer returns the metres of one unit by the name that the reader of
// drawings gives it, or an error that names those a job may write.
func MetresPer(unit string) (float64, error) {
	if i := slices.Index(dxf.UnitNames[:], unit); i > 0 {
		return dxf.MetresPerUnit[i], nil
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
