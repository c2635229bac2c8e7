package job

import (
	"fmt"
	"math"
	"strconv"

	"loopwright/route/wire"
	"loopwright/takeoff"
)

// complete supplies the defaults that depend on more than one key.
func (d *decoder) complete() {
	d.completePlans()
	d.completeTypes()
	d.completeCables()
	d.completeCircuits()
	d.completeBattery()
}

// whyOf returns the reason that the table gives for a late default.
func whyOf[T any](t *table[T], name string) string {
	for _, k := range t.keys {
		if k.name == name {
			return k.why
		}
	}
	panic("job: no key " + name)
}

const foot = 0.3048

// completePlans gives each level one floor, ceiling and cable height: what one
// of its plans says holds for the others.
func (d *decoder) completePlans() {
	plans := d.job.Plans
	first := map[string]int{}
	for i := range plans {
		if _, ok := first[plans[i].Level]; !ok {
			first[plans[i].Level] = i
		}
	}
	below := -1 // plan that stands for the level before
	for i := range plans {
		p := &plans[i]
		if first[p.Level] != i {
			continue
		}
		d.shared(i, "ceiling", func(p *takeoff.Plan) *float64 { return &p.Ceiling }, func() (float64, string) { return 10 * foot, "10 ft" })
		d.shared(i, "cable_height", func(p *takeoff.Plan) *float64 { return &p.CableHeight }, func() (float64, string) { return p.Ceiling + foot, "ceiling + 1 ft" })
		d.shared(i, "elevation", func(p *takeoff.Plan) *float64 { return &p.Elevation }, func() (float64, string) {
			if below < 0 {
				return 0, "0 ft"
			}
			b := plans[below]
			return b.Elevation + b.Ceiling + 4*foot, fmt.Sprintf("ceiling of %s + 4 ft", b.Level)
		})
		below = i
	}
}

// shared settles one height of the level that plan i is the first of.
func (d *decoder) shared(i int, name string, at func(*takeoff.Plan) *float64, otherwise func() (float64, string)) {
	plans := d.job.Plans
	said := -1
	for k := i; k < len(plans); k++ {
		path := fmt.Sprintf("plans[%d].%s", k, name)
		if plans[k].Level != plans[i].Level || !d.found(path) {
			continue
		}
		if said < 0 {
			said = k
		} else if *at(&plans[k]) != *at(&plans[said]) {
			line, _ := d.job.Pos(fmt.Sprintf("plans[%d].%s", said, name))
			d.complain(path, "%s of %s was given otherwise in line %d: one level has one %s", name, plans[k].Level, line, name)
		}
	}
	var value float64
	if said >= 0 {
		value = *at(&plans[said])
	} else {
		var text string
		value, text = otherwise()
		d.note(fmt.Sprintf("plans[%d].%s", i, name), text, whyOf(planTable, name), plans[i].Level)
	}
	for k := i; k < len(plans); k++ {
		if plans[k].Level == plans[i].Level {
			*at(&plans[k]) = value
		}
	}
}

func (d *decoder) completeTypes() {
	for i := range d.job.Types {
		t := &d.job.Types[i]
		path := fmt.Sprintf("types[%d]", i)
		if t.Name == "" {
			t.Name = t.Type
			d.note(path+".name", t.Type, "the job gives no other name", t.Type)
		}
		wired := d.found(path + ".wired_to")
		if !d.found(path + ".addresses") {
			why := "a device on a signaling line circuit takes one address"
			switch {
			case t.Isolates:
				why = "an isolator takes no address"
			case wired && !t.On(takeoff.SLC):
				why = "it is not wired to an slc"
			default:
				t.Addresses = 1
			}
			d.note(path+".addresses", strconv.Itoa(t.Addresses), why, t.Type)
		}
		if !wired {
			value, why := "no circuit", "it neither takes an address nor isolates: counted, not wired"
			if t.Addresses > 0 || t.Isolates {
				t.WiredTo = []takeoff.CircuitKind{takeoff.SLC}
				value, why = "slc", "it takes an address or isolates"
			}
			d.note(path+".wired_to", value, why, t.Type)
		}
		d.completeInputs(t, path)
	}
}

// completeInputs supplies what a module's own input circuits may have: common
// practice where the type says nothing.
func (d *decoder) completeInputs(t *Type, path string) {
	if t.EndOfLine == 0 {
		return
	}
	usual := wire.CommonInputCircuit
	if !d.found(path + ".input_max_resistance") {
		t.InputMaxOhm = usual.MaxOhm
		d.note(path+".input_max_resistance", fmt.Sprintf("%g ohm", usual.MaxOhm), whyOf(typeTable, "input_max_resistance"), t.Type)
	}
	if !d.found(path + ".end_of_line_value") {
		t.EndOfLineOhm = usual.EndOfLine
		d.note(path+".end_of_line_value", fmt.Sprintf("%g kohm", usual.EndOfLine/1000), whyOf(typeTable, "end_of_line_value"), t.Type)
	}
}

func (d *decoder) completeCables() {
	if d.found("cables") {
		return
	}
	d.note("cables", "16/2 of 16 AWG solid", whyOf(topTable, "cables"), "")
	d.supply(func(n node) { rows(cableTable, func(j *Job) *[]Cable { return &j.Cables }).read(d, n, "cables", d.job) },
		"[{cable: 16/2, conductor: 16 AWG solid}]")
}

func (d *decoder) completeBattery() {
	if d.found("battery.margin") || d.job.Edition == 0 {
		return
	}
	factor, basis, err := wire.Margin(d.job.Edition)
	if err != nil {
		d.complain("edition", "%v", err)
		return
	}
	d.job.Battery.Margin = math.Round((factor-1)*1e6) / 1e6 // 1.2 - 1 is not 0.2 in binary
	d.note("battery.margin", fmt.Sprintf("%g%%", d.job.Battery.Margin*100), basis, "")
}
