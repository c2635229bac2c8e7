package paper

import (
	"cmp"
	"strings"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/outcome"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// testSheet draws what to meter on every circuit.
func (b *binder) testSheet() (sheet.Document, error) {
	var ts []sheet.Test
	for _, c := range b.Circuits {
		if len(c.Devices) > 0 {
			ts = append(ts, b.test(c))
		}
	}
	return sheet.TestSheet(b.job, ts)
}

func (b *binder) test(l outcome.Laid) sheet.Test {
	loop := l.Proof.Loop
	t := sheet.Test{Circuit: l.Name, Kind: l.Kind, Panel: l.Panel, Pathway: string(l.Pathway), Cable: strings.TrimSpace(l.Cable.Name + " " + b.Pathway(l)),
		Basis: loop.Rate.Basis.String(), Temperature: l.Cable.Temperature, Start: l.StartVolts}
	for _, id := range l.Devices {
		for _, typ := range b.Job.Types {
			if typ.Type == b.device[id].Type && typ.Isolates {
				t.Isolators++
				t.IsolatorOhm += typ.Resistance
			}
		}
	}
	for _, br := range loop.Branches {
		e := sheet.End{ID: l.Proof.Nodes[br.End], Length: br.Length, Ohm: br.Ohm, Limit: l.MaxResistance, Return: br.End == 0}
		if ohm, ok := l.Cold(br); ok {
			e.Ohm20 = ohm
		}
		e.Low, e.High = outcome.Band(e.Ohm, cmp.Or(e.Ohm20, e.Ohm))
		if d, ok := b.device[e.ID]; ok {
			e.Place = strings.Trim(d.Level+" "+d.Place(), " ")
			if d.Circuit == l.Name {
				e.Address = d.Address
			}
		}
		b.volts(&e, br.End, l)
		t.Ends = append(t.Ends, e)
	}
	t.Inputs = b.moduleInputs(l)
	return t
}

// volts fills in what is computed at a branch end, in the state of the system that
// leaves least there; for a loop, at the device that has least when the loop is open at its worst end.
func (b *binder) volts(e *sheet.End, node int, l outcome.Laid) {
	if l.Kind == takeoff.SLC {
		return // data run on its volts: no meter reads them
	}
	e.Least = l.EndVolts
	for _, s := range l.Proof.States {
		if len(s.Feeds) == 0 || s.WorstFeed < 0 {
			continue
		}
		at, where := node, ""
		if e.Return {
			at = s.Feeds[s.WorstFeed].Lowest
			where = l.Proof.Nodes[at] + ", loop open"
		}
		if v := lowest(s.Feeds, at); e.Volt == 0 || v <= e.Volt {
			e.Volt, e.State, e.Lowest = v, s.Name, where
		}
	}
}

func lowest(feeds []wire.Feed, node int) float64 {
	v := feeds[0].Volts[node]
	for _, f := range feeds[1:] {
		v = min(v, f.Volts[node])
	}
	return v
}
