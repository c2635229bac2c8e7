package takeoff

import (
	"fmt"
	"strings"
)

// metresPer holds the metres of each unit that a job or a drawing may name,
// exact by definition (international yard and pound agreement 1959; SI).
var metresPer = map[string]float64{
	"in": 0.0254, "ft": 0.3048, "yd": 0.9144, "mi": 1609.344,
	"mm": 0.001, "cm": 0.01, "dm": 0.1, "m": 1, "km": 1000,
	"usft": 1200.0 / 3937, // US survey foot
}

// MetresPer returns the metres of one unit, or an error that names the units known.
func MetresPer(unit string) (float64, error) {
	if m, ok := metresPer[unit]; ok {
		return m, nil
	}
	return 0, fmt.Errorf("unit %q is not known: want one of in, ft, yd, mm, cm, dm, m, km", unit)
}

// headerUnit maps $INSUNITS of the DXF reference to a unit's name; "" where the
// drawing says none or one that no building is drawn in.
func headerUnit(insunits int) string {
	switch insunits {
	case 1:
		return "in"
	case 2:
		return "ft"
	case 3:
		return "mi"
	case 4:
		return "mm"
	case 5:
		return "cm"
	case 6:
		return "m"
	case 7:
		return "km"
	case 10:
		return "yd"
	case 14:
		return "dm"
	case 21:
		return "usft"
	}
	return ""
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
