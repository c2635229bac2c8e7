package paper

import (
	"strings"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/outcome"
	"loopwright/route/wire"
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
	t := sheet.Test{Circuit: l.Name, Kind: l.Kind, Panel: l.Panel, Pathway: string(l.Pathway), Cable: l.Cable.Name,
		Basis: loop.Rate.Basis.String(), Temperature: l.Cable.Temperature}
	for _, br := range loop.Branches {
		e := sheet.End{ID: l.Proof.Nodes[br.End], Length: br.Length, Ohm: br.Ohm, Limit: l.MaxResistance, Return: br.End == 0}
		if ohm, ok := l.Cold(br); ok {
			e.Ohm20 = ohm
		}
		if d, ok := b.device[e.ID]; ok {
			e.Place = strings.Trim(d.Level+" "+d.Room, " ")
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

// volts fills in what must stand at a branch end in alarm; for a loop, at the
// device that has least when the loop is open at its worst end.
func (b *binder) volts(e *sheet.End, node int, l outcome.Laid) {
	e.Least = l.EndVolts
	p := l.Proof.Power
	if p == nil || len(p.Feeds) == 0 || p.WorstFeed < 0 {
		return
	}
	if e.Return {
		node = p.Feeds[p.WorstFeed].Lowest
		e.Lowest = l.Proof.Nodes[node] + ", loop open"
	}
	e.Volt = lowest(p.Feeds, node)
}

func lowest(feeds []wire.Feed, node int) float64 {
	v := feeds[0].Volts[node]
	for _, f := range feeds[1:] {
		v = min(v, f.Volts[node])
	}
	return v
}
