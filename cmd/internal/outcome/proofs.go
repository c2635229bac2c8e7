package outcome

import (
	"fmt"
	"math"
	"slices"

	"loopwright/route"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// Battery is the standby battery of one panel.
type Battery struct {
	Panel string
	wire.Battery
	Drains []wire.Drain
}

// roomTemperature is that of most published resistances, degrees C.
const roomTemperature = 20.0

// Cold is what a meter reads at a branch end at 20 C, ohms; false where the
// conductor's table does not reach down to that.
func (l Laid) Cold(b wire.Branch) (ohm float64, ok bool) {
	rate, err := l.Cable.Conductor.Rate(roomTemperature)
	return 2*b.Length*rate.OhmPerMetre + b.Series, err == nil
}

// faultLimits are what a circuit of the job may lose by one short.
func (o *Outcome) faultLimits(c route.Circuit) route.FaultLimits {
	row := o.Job.Circuits[c.Row]
	lim := route.FaultLimits{Devices: row.MaxLostDevices, Zones: row.ZoneLimit, Segment: row.MaxSegment, Bases: row.ClassX == "bases"}
	for _, p := range o.Job.Panels {
		lim.Panel = lim.Panel || p.Panel == c.Panel && p.Isolates
	}
	return lim
}

// survive works out single faults on a signaling line circuit, and whether a
// return lies beside the way out.
func (o *Outcome) survive(b route.Building, l *Laid, devices []takeoff.Device) ([]takeoff.Finding, error) {
	var fs []takeoff.Finding
	if l.Kind == takeoff.SLC {
		l.Limits = o.faultLimits(l.Circuit)
	}
	if l.Kind == takeoff.SLC && len(l.Legs) > 0 {
		s, err := route.Survive(l.Circuit, devices, o.Job.DeviceTypes(), l.Limits, o.zones())
		if err != nil {
			return nil, err
		}
		l.Survival = s
		more, err := o.proveWith(b, l, devices)
		if err != nil {
			return nil, err
		}
		fs = append(more, s.Findings(l.Circuit, devices, l.Limits)...)
		fs = append(fs, s.SegmentFindings(l.Circuit, l.Limits)...)
	}
	var err error
	if l.Together, err = route.Beside(b, l.Circuit, devices, o.Job.Route.OneRaceway); err != nil {
		return nil, fmt.Errorf("circuit %s: %w", l.Name, err)
	}
	return append(fs, l.Together.Findings(b, l.Circuit)...), nil
}

// isolatorType is the type of isolators to add: the only one that isolates and takes no address.
func (o *Outcome) isolatorType() (takeoff.DeviceType, bool) {
	var only []takeoff.DeviceType
	for _, t := range o.Job.Types {
		if t.Isolates && t.Addresses == 0 {
			only = append(only, t.DeviceType)
		}
	}
	if len(only) != 1 {
		return takeoff.DeviceType{}, false
	}
	return only[0], true
}

// proveWith proves a circuit once more with the isolators to add on it, and says what
// fails that does not without them.
func (o *Outcome) proveWith(b route.Building, l *Laid, devices []takeoff.Device) ([]takeoff.Finding, error) {
	t, ok := o.isolatorType()
	if !ok || len(l.Survival.Added) == 0 {
		return nil, nil
	}
	c, isolators := l.Circuit.WithAdded(l.Survival.Added, t.Type)
	p, fs, err := route.Prove(b, c, slices.Concat(devices, isolators))
	if l.With = &p; err != nil || l.Proof.Fails {
		return nil, err
	}
	fs = slices.DeleteFunc(fs, func(f takeoff.Finding) bool { return f.Severity != takeoff.Error })
	for i := range fs {
		fs[i].Message = "with the isolators to add, " + fs[i].Message
	}
	return fs, nil
}

// onceForAll are the findings that would say the same of every circuit.
func (o *Outcome) onceForAll(b route.Building) []takeoff.Finding {
	n := len(o.Circuits)
	circuits, survivals, together := make([]route.Circuit, n), make([]route.Survival, n), make([]route.Alongside, n)
	for i, l := range o.Circuits {
		circuits[i], survivals[i], together[i] = l.Circuit, l.Survival, l.Together
	}
	fs := route.RiserFindings(b, circuits)
	_, proved := o.isolatorType()
	if f, ok := route.IsolatorNote(survivals, proved); ok {
		fs = append(fs, f)
	}
	return append(fs, route.BesideFindings(b, circuits, together, o.Job.Route.OneRaceway)...)
}

// zones names the zone of a device: that of the job in whose outline it stands, or its level.
func (o *Outcome) zones() func(takeoff.Device) string {
	return func(d takeoff.Device) string {
		for _, z := range o.Job.Zones {
			if z.Level == d.Level && (z.Outline == nil || z.Outline.Contains(d.At)) {
				return z.Zone
			}
		}
		return d.Level
	}
}

// batteries works out the standby battery of every panel from the devices on
// its circuits and its own currents.
func (o *Outcome) batteries() ([]Battery, error) {
	var out []Battery
	for _, p := range o.Job.Panels {
		drains := []wire.Drain{{Name: "panel " + p.Panel, Count: 1, Standby: amps(p.Standby), Alarm: amps(p.Alarm)}}
		drains = append(drains, o.drains(p.Panel)...)
		duty := wire.BatteryDuty{Hours: o.Job.Battery.StandbyHours, Minutes: o.Job.Battery.AlarmMinutes, Edition: o.Job.Edition}
		if o.Job.Given("battery.margin") {
			duty.Factor = 1 + o.Job.Battery.Margin
		}
		b, err := wire.StandbyBattery(drains, duty)
		if err != nil {
			return nil, fmt.Errorf("battery of panel %s: %w", p.Panel, err)
		}
		bt := Battery{p.Panel, b, drains}
		out = append(out, bt)
		o.Findings = append(o.Findings, batteryFindings(p.Panel, b, drains, p.Battery)...)
		s := o.supply(p)
		o.Supplies = append(o.Supplies, s)
		o.Findings = append(o.Findings, supplyFindings(p, s, bt)...)
	}
	return out, nil
}

// drains counts the devices that a panel feeds, by type.
func (o *Outcome) drains(panel string) []wire.Drain {
	fed := map[string]bool{}
	for _, c := range o.Circuits {
		if c.Panel == panel {
			for _, id := range c.Circuit.Devices {
				fed[id] = true
			}
		}
	}
	n := map[string]int{}
	for _, d := range o.Take.Devices {
		if fed[d.ID] {
			n[d.Type]++
		}
	}
	var out []wire.Drain
	for _, t := range o.Job.Types {
		if n[t.Type] > 0 {
			out = append(out, wire.Drain{Name: t.Type, Count: n[t.Type], Standby: amps(t.Standby), Alarm: amps(t.Alarm)})
		}
	}
	return out
}

func batteryFindings(panel string, b wire.Battery, drains []wire.Drain, fitted float64) []takeoff.Finding {
	if n := len(b.Blank); n > 0 {
		return []takeoff.Finding{{Code: CodeBatteryBlank, Severity: takeoff.Warning,
			Message: fmt.Sprintf("panel %s: the battery is not proved: %d of %d currents are blank, first %s; take them from the listing", panel, n, len(drains), drains[b.Blank[0]].Name)}}
	}
	if fitted > 0 && fitted < b.Required {
		return []takeoff.Finding{{Code: CodeBatterySmall, Severity: takeoff.Error,
			Message: fmt.Sprintf("panel %s: %.2f Ah are needed (%s) and %.2f Ah are fitted", panel, b.Required, b.Basis, fitted)}}
	}
	return nil
}

// The codes of findings about batteries.
const (
	CodeBatteryBlank = "F409" // a current without which the battery is not proved
	CodeBatterySmall = "F410" // a battery that is too small
	CodeSupply       = "F416" // more current than a panel's supply gives
	CodeBatteryLarge = "F417" // a battery larger than a panel takes
	CodeReel         = "F419" // a run longer than a reel
)

// amps is a current as the package wire takes it: NaN where it is blank.
func amps(a takeoff.Amps) float64 {
	if !a.Known {
		return math.NaN()
	}
	return a.A
}

// Codes lists the findings about batteries, and about what the job leaves out of its circuits.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: CodeBatteryBlank, Meaning: "a current without which the battery is not proved is not given", Remedy: "take standby and alarm from the listing"},
		{Code: CodeBatterySmall, Meaning: "a battery is too small", Remedy: "fit the size that the message names"},
		{Code: CodeSupply, Meaning: "the appliance and power circuits of a panel draw more than its supply gives, or that is not proved", Remedy: "move circuits to another supply, or give the currents that are blank"},
		{Code: CodeReel, Meaning: "the cable between two devices is longer than a reel", Remedy: "order a longer reel, or plan the splice where the adopted code lets it stand"},
		{Code: CodeBatteryLarge, Meaning: "the battery is larger than the panel's cabinet or charger takes, or that is not proved", Remedy: "take loads off the panel, or add a supply with a battery of its own"},
		{Code: CodeIdleRow, Meaning: "a row of circuits serves nothing", Remedy: "delete the row, or correct its levels or the types' wired_to"},
		{Code: CodeUnwired, Meaning: "devices hang on no circuit, as their type names none", Remedy: "write wired_to in the row of the type, [] if nothing is wired to it"},
		{Code: CodeUndeclared, Meaning: "a type is called an isolator and not declared as one, or the other way round", Remedy: "write isolates and addresses in the row of the type"},
		{Code: CodeUnused, Meaning: "walls or wiring are given and the routes do not follow them", Remedy: "write route: {along: walls} or {along: wiring}, or take them out of plans"},
	}
}
