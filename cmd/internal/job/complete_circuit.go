package job

import (
	"fmt"
	"strconv"

	"github.com/goccy/go-yaml/ast"

	"loopwright/takeoff"
)

type node = ast.Node

// completeCircuits supplies what depends on a circuit's kind and on the job's
// panels and cables, and refuses keys of another kind.
func (d *decoder) completeCircuits() {
	j := d.job
	if !d.found("circuits") {
		if len(j.Panels) == 0 || j.Panels[0].Panel == "" {
			return
		}
		d.note("circuits", "one row SLC, split by capacity, from panel "+j.Panels[0].Panel, whyOf(topTable, "circuits"), "")
		d.supply(func(n node) {
			rows(circuitTable, func(j *Job) *[]Circuit { return &j.Circuits }).read(d, n, "circuits", j)
		},
			"[{circuit: SLC, circuits: auto}]")
		if len(j.Circuits) == 1 {
			j.Circuits[0].Panel = j.Panels[0].Panel
		}
	}
	for i := range j.Circuits {
		c, path := &j.Circuits[i], fmt.Sprintf("circuits[%d]", i)
		d.completeEnds(c, path)
		switch c.Kind {
		case takeoff.SLC:
			d.completeSLC(c, path)
		case takeoff.NAC, takeoff.Power:
			d.completeSupply(c, path)
		}
	}
}

// completeEnds settles panel and cable where there is only one.
func (d *decoder) completeEnds(c *Circuit, path string) {
	j := d.job
	if c.Panel == "" && !d.found(path+".panel") {
		if names := j.panelNames(); len(names) > 1 {
			d.complain(path, "circuit %s needs a panel, since the job has %d: %s", c.Circuit, len(names), oneOf(names))
		} else if len(names) == 1 {
			c.Panel = names[0]
			d.note(path+".panel", c.Panel, "the job has no other", c.Circuit)
		}
	}
	if c.Cable == "" && !d.found(path+".cable") {
		if names := j.cableNames(); len(names) > 1 {
			d.complain(path, "circuit %s needs a cable, since the job has %d: %s", c.Circuit, len(names), oneOf(names))
		} else if len(names) == 1 {
			c.Cable = names[0]
			d.note(path+".cable", c.Cable, "the job has no other", c.Circuit)
		}
	}
}

// other complains about keys that belong to circuits of another kind.
func (d *decoder) other(c *Circuit, path, advice string, names ...string) {
	for _, name := range names {
		if d.found(path + "." + name) {
			d.complain(path+"."+name, "%s is not for circuits of kind %s: %s", name, c.Kind, advice)
		}
	}
}

func (d *decoder) completeSLC(c *Circuit, path string) {
	d.other(c, path, "delete it, or set kind: nac or power", "max_current", "start", "end", "load_factor")
	d.other(c, path, "an slc keeps addresses free: write spare inside addresses", "spare")
	d.classBOnly(c, path)
	late := func(name string, missing bool, set func(), value string) {
		if missing && !d.found(path+"."+name) {
			set()
			d.note(path+"."+name, value, whyOf(circuitTable, name), c.Circuit)
		}
	}
	late("max_resistance", c.MaxResistance == 0, func() { c.MaxResistance = 50 }, "50 ohm")
	late("max_lost_devices", c.MaxLostDevices == 0, func() { c.MaxLostDevices = 50 }, "50")
	late("zone_limit", c.ZoneLimit == 0, func() { c.ZoneLimit = 1 }, "1")
	d.completeAddresses(c, path+".addresses")
}

// classBOnly refuses T-taps in a loop: a tap has no way back.
func (d *decoder) classBOnly(c *Circuit, path string) {
	if c.Taps && (c.Pathway == "A" || c.Pathway == "X") {
		d.complain(path+".taps", "T-taps are for class B only, and this circuit is class %s: delete taps, or set pathway: B", c.Pathway)
	}
}

func (d *decoder) completeAddresses(c *Circuit, path string) {
	a := &c.Addresses
	if !d.found(path) {
		outer := d.rowing
		d.rowing = c.Circuit
		d.supply(func(n node) { addressTable.decode(d, n, path, a) }, "{}")
		d.rowing = outer
	}
	if a.Scheme.Name == "" {
		return // a complaint stands
	}
	if err := a.Scheme.Validate(); err != nil {
		d.complain(path, "%v", err)
		return
	}
	if _, most := a.Scheme.Range(); most > 0 {
		d.completeRange(c, path)
	}
	for _, s := range []struct{ name, value, why string }{
		{"first_switch", "lowest", "switch 1 is worth 1 on most devices: check the device"},
		{"on_means", "1", "ON counts on most devices: check the device"},
	} {
		if len(a.Scheme.Values()) > 0 && !d.found(path+"."+s.name) {
			d.note(path+"."+s.name, s.value, s.why, c.Circuit)
		}
	}
}

func (d *decoder) completeRange(c *Circuit, path string) {
	a := &c.Addresses
	least, most := a.Scheme.Range()
	if a.First == 0 && !d.found(path+".first") {
		a.First = least
		d.note(path+".first", strconv.Itoa(a.First), "the lowest that the scheme can show", c.Circuit)
	}
	if a.Last == 0 && !d.found(path+".last") {
		why := "the highest that the scheme can show"
		a.Last = most
		switch a.Scheme.Name {
		case "none":
			a.Last, why = 127, "a usual loop; the panel's listing says how many it takes"
		case "decade":
			a.Last, why = 99, "two dials; some run past 9 up to 159"
		}
		d.note(path+".last", strconv.Itoa(a.Last), why, c.Circuit)
	}
	where := func(name string) string {
		if d.found(path + "." + name) {
			return path + "." + name
		}
		return path
	}
	switch {
	case a.First == 0 || a.Last == 0:
	case a.First < least || a.First > most:
		d.complain(where("first"), "address %d cannot be set in scheme %s: want %d to %d", a.First, a.Scheme.Name, least, most)
	case a.Last < least || a.Last > most:
		d.complain(where("last"), "address %d cannot be set in scheme %s: want %d to %d", a.Last, a.Scheme.Name, least, most)
	case a.First > a.Last:
		d.complain(where("last"), "the last address, %d, comes before the first, %d", a.Last, a.First)
	default:
		d.checkReserved(c, path)
		d.checkBlocks(c, path)
	}
}

func (d *decoder) checkReserved(c *Circuit, path string) {
	a := &c.Addresses
	for _, r := range a.Reserved {
		if r < a.First || r > a.Last {
			d.complain(path+".reserved", "address %d is not one of %d to %d, so it need not be reserved", r, a.First, a.Last)
			return
		}
	}
	if a.Usable() == 0 {
		d.complain(path+".reserved", "every address is reserved: none is left to give out")
	}
}

func (d *decoder) completeSupply(c *Circuit, path string) {
	d.other(c, path, "delete it, or set kind: slc", "addresses", "max_lost_devices", "zone_limit")
	switch {
	case c.Taps && c.Kind == takeoff.NAC:
		d.complain(path+".taps", "a notification appliance circuit is watched through its end-of-line resistor and takes no T-taps: delete taps")
	default:
		d.classBOnly(c, path)
	}
	note := func(name, value string) { d.note(path+"."+name, value, whyOf(circuitTable, name), c.Circuit) }
	if !d.found(path + ".max_current") {
		note("max_current", "not known")
	}
	if !d.found(path + ".spare") {
		c.Spare = 0.20
		note("spare", "20%")
	}
	if !d.found(path + ".start") {
		c.Start = 20.4
		note("start", "20.4 V")
	}
	if !d.found(path + ".end") {
		c.End = 16
		note("end", "16 V")
	}
	if !d.found(path + ".load_factor") {
		note("load_factor", "0 ohm")
	}
	if c.Start <= c.End && c.Start > 0 {
		at := path + ".end"
		if !d.found(at) {
			at = path + ".start"
		}
		d.complain(at, "the circuit starts at %g V, which is not above its end, %g V: nothing is left to lose on the wire", c.Start, c.End)
	}
}
