package build

import (
	"loopwright/route"
	"loopwright/takeoff"
)

func (o *Outcome) isolators(l Laid) *Isolators {
	if l.Kind != takeoff.SLC {
		return nil
	}
	s, lim := l.Survival, o.faultLimits(l.Circuit)
	out := &Isolators{
		OnPlan: s.OnPlan, Add: []Isolator{}, WorstShort: short(s.Worst), WorstWith: short(s.With),
		WorstOpen:    Loss{From: s.WorstOpen.From, To: s.WorstOpen.To, Devices: s.WorstOpen.Open},
		LimitDevices: lim.Devices, OneZone: lim.OneZone, Passes: s.Passes, PassesWith: s.PassesNow,
	}
	for _, a := range s.Added {
		out.Add = append(out.Add, Isolator{a.Beside, a.From, a.To})
	}
	return out
}

func short(l route.LegLoss) Loss {
	return Loss{From: l.From, To: l.To, Devices: l.Short, Zones: l.Zones}
}

func powerProof(l Laid) *PowerProof {
	p := l.Proof.Power
	if p == nil {
		return nil
	}
	out := &PowerProof{Current: tidy(p.Current), Allowed: tidy(p.Allowed), Start: l.StartVolts, Minimum: l.EndVolts,
		CurrentOK: p.CurrentOK, VoltageOK: p.VoltageOK, LumpedOK: p.LumpedOK}
	if p.WorstFeed >= 0 {
		f := p.Feeds[p.WorstFeed]
		out.Lowest, out.LowestAt, out.Lumped = tidy(f.Volts[f.Lowest]), l.Proof.Nodes[f.Lowest], tidy(f.Lumped[f.Lowest])
	}
	return out
}

func (o *Outcome) batteryProofs() []BatteryProof {
	out := []BatteryProof{}
	for _, b := range o.Battery {
		p := BatteryProof{Panel: b.Panel, Standby: tidy(b.StandbyAh), Alarm: tidy(b.AlarmAh), Factor: b.Factor,
			Required: tidy(b.Required), Size: b.Size, Basis: b.Basis}
		for _, i := range b.Blank {
			p.Blank = append(p.Blank, b.Drains[i].Name)
		}
		out = append(out, p)
	}
	return out
}
