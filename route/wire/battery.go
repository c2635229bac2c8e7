package wire

import (
	"fmt"
	"math"
)

// BatterySizes are common sealed lead-acid sizes in ampere-hours (list of common
// sizes in an exam study guide). Batteries in series add volts, not ampere-hours.
var BatterySizes = []float64{4, 7, 7.2, 10, 12, 18, 26, 40, 55}

// The usual periods, by DutySource. An owner's rule may ask for more.
const (
	StandbyHours      = 24.0
	AlarmMinutes      = 5.0
	AlarmMinutesVoice = 15.0

	DutySource = "NFPA 72 10.6.7.2.1"
)

// Drain is one kind of consumer on the standby battery.
type Drain struct {
	Name    string
	Count   int
	Standby float64 // amperes each in standby; NaN means not known
	Alarm   float64 // amperes each, in total, in alarm (not on top of standby); NaN means not known
}

// Margin returns the factor by which the sum of ampere-hours is multiplied and
// the words for it: 1.20 up to the 2019 edition of NFPA 72, 1.25 from 2022.
func Margin(edition int) (factor float64, basis string, err error) {
	switch {
	case edition < 1990 || edition > 2100:
		return 0, "", fmt.Errorf("edition %d: give the year of the adopted edition, such as 2019", edition)
	case edition == 2020 || edition == 2021:
		return 0, "", fmt.Errorf("edition %d: the fire alarm code has editions of 2019 and 2022 and none between; give the one adopted", edition)
	case edition < 2010:
		return 1.20, fmt.Sprintf("20 %% margin (read for the 2010 to 2019 editions, assumed for %d)", edition), nil
	case edition <= 2019:
		return 1.20, fmt.Sprintf("20 %% margin, NFPA 72-%d", edition), nil
	case edition < 2025:
		return 1.25, fmt.Sprintf("25 %% margin, NFPA 72-%d", edition), nil
	}
	return 1.25, fmt.Sprintf("25 %% margin (read for the 2022 edition, assumed for %d)", edition), nil
}

// BatteryDuty is how long the battery must carry what.
type BatteryDuty struct {
	Hours   float64 // standby
	Minutes float64 // alarm
	Edition int     // picks the margin, unless Factor is set
	Factor  float64 // an owner's own factor, such as 1.15; zero to follow the edition
}

func (d BatteryDuty) margin() (float64, string, error) {
	if !(d.Hours >= 0) || math.IsInf(d.Hours, 0) {
		return 0, "", fmt.Errorf("standby of %v hours: give zero or more", d.Hours)
	}
	if !(d.Minutes >= 0) || math.IsInf(d.Minutes, 0) {
		return 0, "", fmt.Errorf("alarm of %v minutes: give zero or more", d.Minutes)
	}
	if d.Factor == 0 {
		return Margin(d.Edition)
	}
	if !(d.Factor >= 1) || math.IsInf(d.Factor, 0) {
		return 0, "", fmt.Errorf("battery factor %v: give one of at least 1", d.Factor)
	}
	return d.Factor, fmt.Sprintf("factor %s given by the user", short(d.Factor)), nil
}

// Battery is a standby battery calculation. While Blank is not empty the sums
// are those of the known currents only, Required and Size are zero, and nothing is proved.
type Battery struct {
	StandbyAmps, AlarmAmps float64
	StandbyAh, AlarmAh     float64
	SumAh                  float64
	Factor                 float64
	Basis                  string // of the factor
	Required               float64
	Size                   float64 // least published size that is enough; zero where none is, or nothing is required
	Blank                  []int   // drains with a current that is not known
}

// StandbyBattery computes (standby A x h + alarm A x min/60) x margin and the
// next size up in [BatterySizes].
func StandbyBattery(drains []Drain, duty BatteryDuty) (Battery, error) {
	factor, basis, err := duty.margin()
	if err != nil {
		return Battery{}, err
	}
	b := Battery{Factor: factor, Basis: basis}
	for i, d := range drains {
		if err := d.check(); err != nil {
			return Battery{}, fmt.Errorf("battery row %d (%s): %w", i+1, d.Name, err)
		}
		if d.Count > 0 && (math.IsNaN(d.Standby) || math.IsNaN(d.Alarm)) {
			b.Blank = append(b.Blank, i)
		}
		b.StandbyAmps += known(d.Standby) * float64(d.Count)
		b.AlarmAmps += known(d.Alarm) * float64(d.Count)
	}
	b.StandbyAh = b.StandbyAmps * duty.Hours
	b.AlarmAh = b.AlarmAmps * duty.Minutes / 60
	b.SumAh = b.StandbyAh + b.AlarmAh
	if len(b.Blank) == 0 {
		b.Required = b.SumAh * factor
		b.Size = nextSize(b.Required)
	}
	return b, nil
}

func (d Drain) check() error {
	if d.Count < 0 {
		return fmt.Errorf("count %d; give zero or more", d.Count)
	}
	for _, a := range []float64{d.Standby, d.Alarm} {
		if a < 0 || math.IsInf(a, 0) {
			return fmt.Errorf("current %v A; give zero or more, or leave it blank", a)
		}
	}
	return nil
}

// known keeps a blank out of a sum; the caller has put it on the list of blanks.
func known(a float64) float64 {
	if math.IsNaN(a) {
		return 0
	}
	return a
}

func nextSize(required float64) float64 {
	for _, s := range BatterySizes {
		if required > 0 && within(required, s) {
			return s
		}
	}
	return 0
}
