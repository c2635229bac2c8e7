package result

import (
	"math"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/program"
	"loopwright/route"
	"loopwright/takeoff"
)

// Of is an outcome in the form of result.json; outputs are the names of
// the files written, relative to the folder.
func Of(o *outcome.Outcome, outputs []string) Result {
	r := Result{
		Format: format, Program: program.Name(),
		Job:      o.Job.Name,
		Devices:  make([]Device, 0, len(o.Devices)),
		Counts:   takeoff.Counts(o.Take.Devices, o.Job.DeviceTypes(), o.Take.Levels),
		Account:  o.Take.Account,
		Circuits: make([]Circuit, 0, len(o.Circuits)),
		Cables:   cables(o),
		Battery:  batteryProofs(o),
		Inputs:   inputProofs(o),
		Levels:   levels(o),
		Findings: append([]takeoff.Finding{}, o.Findings...),
		Defaults: make([]Default, 0, len(o.Job.Defaults)),
		Weights: Weights{Along: o.Job.Route.Along, Wall: o.Job.Route.Weights.Wall, RatedWall: o.Job.Route.Weights.RatedWall,
			LevelChange: o.Job.Route.Weights.LevelChange, Corridor: o.Job.Route.Weights.Corridor, Near: o.Job.Route.Near},
		Outputs: append([]string{}, outputs...),
		Since:   o.Since(),
	}
	for _, d := range o.Devices {
		r.Devices = append(r.Devices, Device{
			ID: d.ID, Type: d.Type, Level: d.Level, Room: d.Room, Status: d.Status, Reason: d.Reason,
			Drawing: d.Drawing, Handle: d.Handle, Block: d.Block, Layer: d.Layer,
			X: d.At.X, Y: d.At.Y, XM: tidy(d.Pos.X), YM: tidy(d.Pos.Y),
			Circuit: d.Circuit, Also: d.Also, Order: d.Order, Address: d.Address, Span: d.Span,
			Points: d.Points, Switches: d.Switches, Options: d.Options,
		})
	}
	for _, c := range o.Circuits {
		r.Circuits = append(r.Circuits, circuit(o, c))
	}
	for _, d := range o.Job.Defaults {
		r.Defaults = append(r.Defaults, Default{d.Path, d.Value, d.Why})
	}
	return r
}

func circuit(o *outcome.Outcome, l outcome.Laid) Circuit {
	c := Circuit{
		Circuit: l.Name, Kind: string(l.Kind), Panel: l.Panel, Pathway: string(l.Pathway), Cable: l.Cable.Name,
		Devices: len(l.Devices), AddressCapacity: l.Capacity,
		Length: tidy(l.Length), Outgoing: tidy(l.Outgoing), Return: tidy(l.Back), Slack: tidy(l.Slack),
		OrderCable: tidy(l.Order), LowerBound: tidy(l.LowerBound), Proved: l.Exact,
		Turns: l.Turns, Walls: wallsCrossed(l), LevelChanges: l.LevelHops,
		LoopOhm: tidy(l.Proof.Loop.Ohm), WorstBranchOhm: tidy(l.Proof.Loop.Ohm), WorstBranch: l.Proof.WorstEnd(),
		LimitOhm: l.MaxResistance, OhmBasis: l.Proof.Loop.Rate.Basis.String(), Judged: l.AsDrawn() != outcome.NotProved, Passes: l.AsDrawn() == outcome.Passes,
		Verdict: string(l.AsDrawn()), Wire: string(l.OfWire()),
		Legs: make([]Leg, 0, len(l.Legs)),
	}
	if i := l.Proof.Loop.Tight; i >= 0 {
		c.Left = tidy(l.Proof.Loop.Bounds[i].Left)
	}
	if l.With != nil {
		c.OhmWith = tidy(l.With.Loop.Ohm)
	}
	c.Survivability = o.Job.Circuits[l.Row].Survivability
	for _, k := range o.Job.Cables {
		if k.Cable == l.Cable.Name {
			c.Marking = k.Marking
		}
	}
	if len(l.Survival.Added) > 0 {
		c.VerdictWith = string(l.WithIsolators())
	}
	if l.Proof.HasSmallest {
		c.SmallestConductor = l.Proof.Smallest.String()
	}
	c.Isolators, c.Power, c.Together = isolators(l), powerProof(l), tidy(l.Together.Length)
	c.Shaft = tidy(l.Together.Rise)
	for _, m := range l.Together.Places {
		c.Meetings = append(c.Meetings, Meeting{m.Level, tidy(m.Length), m.Devices, tidy(m.At.X), tidy(m.At.Y)})
	}
	c.Branches, c.Walk, c.Capacitance = branches(l), walk(l), capacitance(l)
	for _, d := range o.Devices {
		if d.Circuit == l.Name {
			c.AddressesUsed += d.Span
		}
	}
	for i, g := range l.Legs {
		leg := Leg{From: g.From, To: g.To, Length: tidy(g.Length), Horizontal: tidy(g.Horizontal), Drop: tidy(g.Drop),
			Rise: tidy(g.Rise), Slack: tidy(g.Slack), Crossings: g.Crossings, Return: g.Return, Via: g.Via, Note: g.Note}
		if i < len(l.Survival.Legs) {
			loss := l.Survival.Legs[i]
			leg.OpenLoses, leg.ShortLoses, leg.ShortZones = loss.Open, loss.Short, loss.Zones
		}
		c.Legs = append(c.Legs, leg)
	}
	return c
}

// wallsCrossed counts the walls that a circuit crosses; nil where no leg of it minds walls.
func wallsCrossed(l outcome.Laid) *int {
	for _, g := range l.Legs {
		if g.MindsWalls() {
			return &l.Crossings
		}
	}
	return nil
}

// cables sums the cable of all circuits by kind, in the job's order.
func cables(o *outcome.Outcome) []CableOrder {
	out := []CableOrder{}
	for _, k := range o.Job.Cables {
		c := CableOrder{Cable: k.Cable, ReelSize: k.Reel}
		for _, l := range o.Circuits {
			if l.Cable.Name == k.Cable {
				c.Length += l.Length
				c.Slack += l.Slack
			}
		}
		c.Waste = (c.Length + c.Slack) * o.Job.Allowances.Waste
		c.Order, c.Reels = route.Reels(c.Length+c.Slack+c.Waste, k.Reel)
		c.Length, c.Slack, c.Waste, c.Order = tidy(c.Length), tidy(c.Slack), tidy(c.Waste), tidy(c.Order)
		out = append(out, c)
	}
	return out
}

func levels(o *outcome.Outcome) []Level {
	out := make([]Level, 0, len(o.Take.Levels))
	for _, l := range o.Take.Levels {
		v := Level{Level: l.Name, Elevation: tidy(l.Elevation), Ceiling: tidy(l.Ceiling)}
		for _, s := range l.Sheets {
			v.Drawings = append(v.Drawings, Sheet{Drawing: s.Plan.Drawing + s.Plan.Devices, Units: s.Units, UnitsFrom: s.UnitsFrom})
		}
		out = append(out, v)
	}
	return out
}

// tidy rounds to a nanometre, a nanohm and the like: far below what anybody can
// measure, and enough to keep rounding noise of sums out of files.
func tidy(v float64) float64 { return math.Round(v*1e9) / 1e9 }
