package outcome

import (
	"fmt"

	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
)

// Supply is what the appliance and power circuits of one panel draw together,
// held against what the panel may give.
type Supply struct {
	Panel          string
	Rating         float64 // ampere; 0 if not given
	Standby, Alarm float64 // ampere of all known loads in either state of the system
	Circuits       int
	Blank          int // circuits with a current that is not given
}

// Verdict is that on the supply: what is known and too much fails, be the rest given or not.
func (s Supply) Verdict() Verdict {
	switch {
	case s.Rating == 0:
		return NotProved
	case max(s.Standby, s.Alarm) > s.Rating+1e-9:
		return Fails
	case s.Blank > 0:
		return NotProved
	}
	return Passes
}

// supply sums the circuits of a panel, each in the same state of the system.
func (o *Outcome) supply(p job.Panel) Supply {
	s := Supply{Panel: p.Panel, Rating: p.Supply}
	for _, c := range o.Circuits {
		if c.Panel != p.Panel || c.Kind == takeoff.SLC {
			continue
		}
		s.Circuits++
		blank := false
		for _, state := range c.Proof.States {
			blank = blank || len(state.Blank) > 0
			if state.Name == route.Standby {
				s.Standby += state.Current
			} else {
				s.Alarm += state.Current
			}
		}
		if blank {
			s.Blank++
		}
	}
	return s
}

// supplyFindings hold the sum of a panel's circuits, and its battery, against what the
// panel takes and gives; what is not given is not judged.
func supplyFindings(p job.Panel, s Supply, b Battery) []takeoff.Finding {
	var fs []takeoff.Finding
	tell := func(code string, is takeoff.Severity, format string, args ...any) {
		fs = append(fs, takeoff.Finding{Code: code, Severity: is, Message: fmt.Sprintf("panel %s: ", p.Panel) + fmt.Sprintf(format, args...)})
	}
	switch s.Verdict() {
	case Fails:
		state, most := route.Alarm, s.Alarm
		if s.Standby > s.Alarm {
			state, most = route.Standby, s.Standby
		}
		tell(CodeSupply, takeoff.Error, "its appliance and power circuits draw %.3f A in %s, over its supply of %.3f A: move circuits to another supply", most, state, s.Rating)
	case NotProved:
		if s.Rating > 0 {
			tell(CodeSupply, takeoff.Warning, "its supply of %.3f A is not proved: a current is blank on %d of its circuits; take it from the listing", s.Rating, s.Blank)
		}
	}
	for _, most := range []struct {
		ah   float64
		what string
	}{{p.MaxBattery, "it holds"}, {p.ChargerAh, "its charger takes"}} {
		switch {
		case most.ah == 0:
		case p.Battery > most.ah+1e-9:
			tell(CodeBatteryLarge, takeoff.Error, "a battery of %.4g Ah is fitted, and %s %.4g Ah at most", p.Battery, most.what, most.ah)
		case b.Required > most.ah+1e-9:
			tell(CodeBatteryLarge, takeoff.Error, "%.2f Ah are needed (%s), and %s %.4g Ah at most: take loads off, or add a supply with a battery of its own", b.Required, b.Basis, most.what, most.ah)
		case len(b.Blank) > 0:
			tell(CodeBatteryLarge, takeoff.Warning, "what %s, %.4g Ah at most, is not proved: the battery needed is not known", most.what, most.ah)
		}
	}
	if need := max(p.Battery, b.Required); p.ChargerAmps > 0 && need > 0 {
		tell(CodeBatteryLarge, takeoff.Note, "its charger gives %.4g A: %.4g Ah take %.1f h at least, losses left out; the adopted code says how long it may take", p.ChargerAmps, need, need/p.ChargerAmps)
	}
	return fs
}
