package job

import (
	"fmt"

	"loopwright/takeoff"
)

// The kinds of circuit to which a key belongs.
func isSLC(c *Circuit) bool    { return c.Kind == takeoff.SLC }
func isSupply(c *Circuit) bool { return c.Kind == takeoff.NAC || c.Kind == takeoff.Power }

func hasSwitches(a *Addressing) bool { return len(a.Scheme.Values()) > 0 }

// onlyCircuit is the row of a job without circuits.
func onlyCircuit(j *Job, _ *Job) (value, why string) {
	names := j.panelNames()
	if len(names) == 0 {
		return "", "" // a complaint stands
	}
	return defaultCircuit(Quote(names[0])), "every device that takes an address needs a circuit"
}

func defaultCircuit(panel string) string {
	return fmt.Sprintf("[{circuit: SLC, circuits: auto, panel: %s}]", panel)
}

func onlyPanel(j *Job, _ *Circuit) (value, why string) { return onlyOne(j.panelNames()) }
func onlyCable(j *Job, _ *Circuit) (value, why string) { return onlyOne(j.cableNames()) }

func onlyOne(names []string) (value, why string) {
	if len(names) != 1 {
		return "", "" // checkEnds complains
	}
	return Quote(names[0]), "the job has no other"
}

// checkCircuits refuses keys that belong to circuits of another kind, and what
// contradicts itself.
func (d *decoder) checkCircuits() {
	for i := range d.job.Circuits {
		c, path := &d.job.Circuits[i], fmt.Sprintf("circuits[%d]", i)
		d.checkEnds(c, path)
		switch {
		case isSLC(c):
			d.checkSLC(c, path)
		case isSupply(c):
			d.checkSupply(c, path)
		}
	}
}

// checkEnds asks for panel and cable where there are several.
func (d *decoder) checkEnds(c *Circuit, path string) {
	for _, end := range []struct {
		key, name string
		names     []string
	}{{"panel", c.Panel, d.job.panelNames()}, {"cable", c.Cable, d.job.cableNames()}} {
		if end.name == "" && !d.found(path+"."+end.key) && len(end.names) > 1 {
			d.complain(path, "circuit %s must name its %s, as the job has %d: %s", c.Circuit, end.key, len(end.names), oneOf(end.names))
		}
	}
}

// other complains about keys that belong to circuits of another kind.
func (d *decoder) other(c *Circuit, path, advice string, names ...string) {
	for _, name := range names {
		if d.found(path + "." + name) {
			d.complain(path+"."+name, "%s does not apply to circuits of kind %s: %s", name, c.Kind, advice)
		}
	}
}

func (d *decoder) checkSLC(c *Circuit, path string) {
	d.other(c, path, "delete it, or set kind: nac or power", "load_factor")
	d.other(c, path, "for an slc, write spare inside addresses", "spare")
	d.classBOnly(c, path)
	d.checkVolts(c, path)
	d.checkAddresses(c, path+".addresses")
}

// classBOnly refuses T-taps in a loop: a tap has no way back.
func (d *decoder) classBOnly(c *Circuit, path string) {
	if c.Taps && (c.Pathway.Looped()) {
		d.complain(path+".taps", "T-taps are for class B only and this circuit is class %s: delete taps, or set pathway: B", c.Pathway)
	}
}

func (d *decoder) checkAddresses(c *Circuit, path string) {
	a := &c.Addresses
	if a.Scheme.Name == "" {
		return // a complaint stands
	}
	if err := a.Scheme.Validate(); err != nil {
		d.complain(path, "%v", err)
		return
	}
	least, most := a.Scheme.Range()
	where := func(name string) string {
		if d.found(path + "." + name) {
			return path + "." + name
		}
		return path
	}
	switch {
	case a.First == 0 || a.Last == 0:
	case a.First < least || a.First > most:
		d.complain(where("first"), "address %d cannot be set in scheme %s: use %d to %d", a.First, a.Scheme.Name, least, most)
	case a.Last < least || a.Last > most:
		d.complain(where("last"), "address %d cannot be set in scheme %s: use %d to %d", a.Last, a.Scheme.Name, least, most)
	case a.First > a.Last:
		d.complain(where("last"), "the last address, %d, is below the first, %d", a.Last, a.First)
	default:
		d.checkReserved(c, path)
		d.checkBlocks(c, path)
	}
}

func (d *decoder) checkReserved(c *Circuit, path string) {
	a := &c.Addresses
	for _, r := range a.Reserved {
		if r < a.First || r > a.Last {
			d.complain(path+".reserved", "address %d is outside %d to %d, so there is nothing to reserve: delete it", r, a.First, a.Last)
			return
		}
	}
	if a.Usable() == 0 {
		d.complain(path+".reserved", "every address is reserved: none is left")
	}
}

func (d *decoder) checkSupply(c *Circuit, path string) {
	d.other(c, path, "delete it, or set kind: slc", "addresses", "max_lost_devices", "max_segment_devices", "class_x", "zone_limit")
	switch {
	case c.Taps && c.Kind == takeoff.NAC:
		d.complain(path+".taps", "a notification appliance circuit is supervised through its end-of-line resistor and takes no T-taps: delete taps")
	default:
		d.classBOnly(c, path)
	}
	d.checkVolts(c, path)
}

func (d *decoder) checkVolts(c *Circuit, path string) {
	if c.Start <= c.End && c.Start > 0 {
		d.complain(path+".end", "end (%g V) must be below start (%g V): check both against the listing", c.End, c.Start)
	}
}
