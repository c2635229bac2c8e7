package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
)

// planUnits are the units in which plans come. A header may declare others, from
// the angstrom to the parsec: no building is drawn in them, and one slip of the
// mouse in a list of units declares them.
var planUnits = []string{"in", "ft", "yd", "mm", "cm", "dm", "m", "km", "us-ft", "us-in", "us-yd"}

// MetresPer returns the metres of one unit by the name that the reader of
// drawings gives it, or an error that names those a job may write.
func MetresPer(unit string) (float64, error) {
	if slices.Contains(planUnits, unit) {
		return dxf.MetresPerUnit[slices.Index(dxf.UnitNames[:], unit)], nil
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
