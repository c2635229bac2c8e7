package result

import (
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

func branches(l outcome.Laid) []Branch {
	out := []Branch{}
	for _, b := range l.Proof.Loop.Branches {
		row := Branch{End: l.Proof.Nodes[b.End], Length: tidy(b.Length), Series: tidy(b.Series), Ohm: tidy(b.Ohm)}
		if ohm, ok := l.Cold(b); ok {
			row.Ohm20 = tidy(ohm)
		}
		out = append(out, row)
	}
	return out
}

// walk is the walking order with the isolators to add; nil where none are.
func walk(l outcome.Laid) []Step {
	if len(l.Survival.Added) == 0 {
		return nil
	}
	var out []Step
	for _, s := range l.Walk(l.Survival.Added) {
		if s.Device != "" {
			out = append(out, Step{Device: s.Device})
			continue
		}
		out = append(out, Step{Add: &Isolator{s.Add.Beside, s.Add.From, s.Add.To}})
	}
	return out
}

func capacitance(l outcome.Laid) *CapacitanceProof {
	for _, b := range l.Proof.Loop.Bounds {
		if b.Unit == "uF" {
			return &CapacitanceProof{tidy(b.Value), tidy(b.Limit), b.Passes}
		}
	}
	return nil
}

// inputProofs says for every type with input circuits of its own how far their
// cable may run, with each cable of the job.
func inputProofs(o *outcome.Outcome) []InputProof {
	var out []InputProof
	for _, in := range o.Inputs() {
		p := InputProof{Type: in.Type, Devices: in.Devices, MaxOhm: in.MaxOhm, EndOfLine: in.EndOfLine, Source: in.Source, Lengths: []InputLength{}}
		for _, k := range o.Job.Cables {
			rate, err := k.Conductor.Rate(k.Temperature)
			if err != nil || in.MaxOhm == 0 {
				continue // a circuit with this cable fails with the reason; without a limit there is no longest cable
			}
			if r, err := wire.Input(0, rate, in.InputCircuit); err == nil {
				p.Lengths = append(p.Lengths, InputLength{k.Cable, k.Conductor.String(), tidy(r.Left), rate.Basis.String()})
			}
		}
		out = append(out, p)
	}
	return out
}

func isolators(l outcome.Laid) *Isolators {
	if l.Kind != takeoff.SLC {
		return nil
	}
	s, lim := l.Survival, l.Limits
	out := &Isolators{
		OnPlan: s.OnPlan, Segment: s.Segment, LimitSegment: lim.Segment, Add: []Isolator{}, WorstShort: short(s.Worst), WorstWith: short(s.With),
		WorstOpen:    Loss{From: s.WorstOpen.From, To: s.WorstOpen.To, Devices: s.WorstOpen.Open},
		LimitDevices: lim.Devices, LimitZones: lim.Zones, OneZone: lim.Zones == 1, Passes: s.Passes, PassesWith: s.PassesNow,
	}
	if len(s.Added) > 0 {
		out.SegmentWith = s.SegmentWith
	}
	for _, a := range s.Added {
		out.Add = append(out.Add, Isolator{a.Beside, a.From, a.To})
	}
	return out
}

func short(l route.LegLoss) Loss {
	return Loss{From: l.From, To: l.To, Devices: l.Short, Zones: l.Zones}
}

// powerProof is the harder of the states of the system in each figure: the larger
// current, the lower voltage.
func powerProof(l outcome.Laid) *PowerProof {
	if l.Proof.Power == nil {
		return nil
	}
	out := &PowerProof{State: l.Proof.Power.Name, Start: l.StartVolts, Minimum: l.EndVolts,
		CurrentOK: l.MaxCurrent > 0, VoltageOK: l.EndVolts > 0, LumpedOK: l.EndVolts > 0}
	for _, s := range l.Proof.States {
		volts := len(s.Feeds) > 0
		out.Current, out.Allowed = max(out.Current, tidy(s.Current)), tidy(s.Allowed)
		out.Currents = append(out.Currents, StateCurrent{s.Name, tidy(s.Current)})
		out.Blank = out.Blank || len(s.Blank) > 0
		out.CurrentOK = out.CurrentOK && s.CurrentOK
		out.VoltageOK, out.LumpedOK = out.VoltageOK && volts && s.VoltageOK, out.LumpedOK && volts && s.LumpedOK
		if s.WorstFeed < 0 {
			continue
		}
		if f := s.Feeds[s.WorstFeed]; out.LowestAt == "" || f.Volts[f.Lowest] < out.Lowest {
			out.Lowest, out.LowestAt, out.Lumped = tidy(f.Volts[f.Lowest]), l.Proof.Nodes[f.Lowest], tidy(f.Lumped[f.Lowest])
		}
	}
	return out
}

func batteryProofs(o *outcome.Outcome) []BatteryProof {
	out := []BatteryProof{}
	for _, b := range o.Battery {
		p := BatteryProof{Panel: b.Panel, Standby: tidy(b.StandbyAh), Alarm: tidy(b.AlarmAh), Factor: b.Factor,
			Required: tidy(b.Required), Size: b.Size, Basis: b.Basis}
		for _, s := range o.Supplies {
			if s.Panel == b.Panel && s.Circuits > 0 {
				p.Supply = &SupplyProof{s.Rating, tidy(s.Standby), tidy(s.Alarm), string(s.Verdict())}
			}
		}
		for _, i := range b.Blank {
			p.Blank = append(p.Blank, b.Drains[i].Name)
		}
		out = append(out, p)
	}
	return out
}
