package job

import (
	"fmt"
	"slices"

	"loopwright/takeoff"
)

func (j *Job) panelNames() []string { return named(j.Panels, func(p Panel) string { return p.Panel }) }
func (j *Job) cableNames() []string { return named(j.Cables, func(c Cable) string { return c.Cable }) }

func (j *Job) levelNames() []string {
	return named(j.Plans, func(p takeoff.Plan) string { return p.Level })
}

// named lists the names of rows once each, in the file's order.
func named[R any](rows []R, name func(R) string) []string {
	var out []string
	for _, r := range rows {
		if n := name(r); n != "" && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// crossCheck sees that names refer to something and that no two rows share one.
func (d *decoder) crossCheck() {
	j := d.job
	unique(d, "types", "type", j.Types, func(t Type) string { return t.Type })
	unique(d, "panels", "panel", j.Panels, func(p Panel) string { return p.Panel })
	unique(d, "risers", "riser", j.Risers, func(r Riser) string { return r.Riser })
	unique(d, "zones", "zone", j.Zones, func(z Zone) string { return z.Zone })
	unique(d, "circuits", "circuit", j.Circuits, func(c Circuit) string { return c.Circuit })
	unique(d, "cables", "cable", j.Cables, func(c Cable) string { return c.Cable })
	unique(d, "boxes", "box", j.Boxes, func(b Box) string { return b.Box })
	unique(d, "items", "item", j.Items, func(i Item) string { return i.Item })
	unique(d, "conduit.sizes", "size", j.Conduit.Sizes, func(c ConduitSize) string { return c.Size })
	d.uniquePlans()

	levels := j.levelNames()
	for i, p := range j.Panels {
		if p.At != nil {
			d.refer(fmt.Sprintf("panels[%d].at.level", i), "level", p.At.Level, levels, "plans")
		}
	}
	for i, r := range j.Risers {
		if r.At != nil {
			d.refer(fmt.Sprintf("risers[%d].at.level", i), "level", r.At.Level, levels, "plans")
		}
	}
	for i, z := range j.Zones {
		d.refer(fmt.Sprintf("zones[%d].level", i), "level", z.Level, levels, "plans")
	}
	for i, c := range j.Circuits {
		path := fmt.Sprintf("circuits[%d]", i)
		d.refer(path+".panel", "panel", c.Panel, j.panelNames(), "panels")
		d.refer(path+".cable", "cable", c.Cable, j.cableNames(), "cables")
		seen := map[string]bool{}
		for k, l := range c.Levels {
			at := fmt.Sprintf("%s.levels[%d]", path, k)
			if seen[l] {
				d.complain(at, "level %s is listed twice: delete one", l)
			}
			seen[l] = true
			d.refer(at, "level", l, levels, "plans")
		}
		d.referBlocks(c, path+".addresses")
	}
	d.referMatrix()
}

// refer complains about a name that no row of section has.
func (d *decoder) refer(path, what, name string, known []string, section string) {
	if name == "" || len(known) == 0 || d.made {
		return
	}
	for _, k := range known {
		if k == name {
			return
		}
	}
	d.complain(path, "no %s %q under %s: %s", what, name, section, choose(name, known))
}

// unique complains about the second row with a name.
func unique[R any](d *decoder, section, key string, rows []R, name func(R) string) {
	first := map[string]string{}
	for i, r := range rows {
		n, path := name(r), fmt.Sprintf("%s[%d].%s", section, i, key)
		if n == "" {
			continue
		}
		if at, twice := first[n]; twice {
			line, _ := d.job.pos(at)
			d.complain(path, "%s %q is already on line %d: give each a name of its own", key, n, line)
			continue
		}
		first[n] = path
	}
}

// uniquePlans complains about one part of one drawing taken twice.
func (d *decoder) uniquePlans() {
	type part struct{ level, drawing, devices, region string }
	first := map[part]int{}
	for i, p := range d.job.Plans {
		k := part{level: p.Level, drawing: p.Drawing, devices: p.Devices}
		if p.Region != nil {
			k.region = fmt.Sprint(*p.Region)
		}
		if k.drawing == "" && k.devices == "" {
			continue
		}
		if at, twice := first[k]; twice {
			line, _ := d.job.pos(fmt.Sprintf("plans[%d]", at))
			d.complain(fmt.Sprintf("plans[%d]", i), "level %s is taken from %s twice (first on line %d): its devices would be counted twice; delete one, or give each a region",
				p.Level, p.Drawing+p.Devices, line)
			continue
		}
		first[k] = i
	}
}
