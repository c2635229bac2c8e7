// Package measure is what people write and read: the units of lengths, ohms,
// amperes and volts in job files, the units of plans, and lengths written for
// people in the system that the job's report asks for. Everywhere else a length
// is metres, a resistance ohms, a current amperes, a voltage volts and a share a
// part of one; only this package knows feet.
package measure

import (
	"fmt"
	"strconv"
	"strings"
)

// The international yard and pound agreement of 1959 sets the yard to 0.9144 m,
// and with it the foot and the inch of 25.4 mm, exactly.
const (
	Foot = 0.3048 // metres
	Inch = Foot / 12
)

// System is one of the two systems of units that people read.
type System string

// The systems of units. What names neither is imperial, as a job file that says nothing.
const (
	Imperial System = "imperial"
	Metric   System = "metric"
)

// Unit is what lengths are read in: ft or m.
func (s System) Unit() string {
	if s == Metric {
		return "m"
	}
	return "ft"
}

// Metres is what the unit of lengths measures.
func (s System) Metres() float64 {
	if s == Metric {
		return 1
	}
	return Foot
}

// In turns metres into the system's unit of lengths.
func (s System) In(m float64) float64 { return m / s.Metres() }

// Length writes metres for people, with so many decimals of a metre; a foot is a
// third of one and takes a decimal less.
func (s System) Length(m float64, decimals int) string {
	return s.number(m, decimals) + " " + s.Unit()
}

// Size writes the two sides of something, in metres, as Length does.
func (s System) Size(w, h float64, decimals int) string {
	return s.number(w, decimals) + " x " + s.Length(h, decimals)
}

// Place writes a place or a shift in the plane, in metres, as Length does.
func (s System) Place(x, y float64, decimals int) string {
	return s.number(x, decimals) + ", " + s.Length(y, decimals)
}

// Area writes square metres for people.
func (s System) Area(m2 float64) string {
	return fmt.Sprintf("%.0f %s2", m2/s.Metres()/s.Metres(), s.Unit())
}

// Small writes metres for people where sizes on paper are meant: in inches or millimetres.
func (s System) Small(m float64) string {
	if s == Metric {
		return fmt.Sprintf("%.4g mm", m*1000)
	}
	return fmt.Sprintf("%.4g in", m/Inch)
}

func (s System) number(m float64, decimals int) string {
	if s != Metric {
		decimals = max(decimals-1, 0)
	}
	n := strconv.FormatFloat(s.In(m), 'f', decimals, 64)
	if strings.Trim(n, "-0.") == "" { // no minus before nothing
		n = strings.TrimPrefix(n, "-")
	}
	return n
}

// Both writes a length in both systems, for where it is not yet known which one
// is read, or whether the drawing's unit is right: three digits, from millimetres
// to kilometres.
func Both(m float64) string {
	switch {
	case m >= 1000:
		return fmt.Sprintf("%.3g km", m/1000)
	case m >= 4*Foot:
		return fmt.Sprintf("%.3g m (%.0f ft)", m, m/Foot)
	case m >= 0.01:
		return fmt.Sprintf("%.2f m (%.3g in)", m, m/Inch)
	}
	return fmt.Sprintf("%.2g mm", m*1000)
}

// Count writes a number of things: 1 device, 3 devices.
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
