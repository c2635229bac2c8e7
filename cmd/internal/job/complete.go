package job

import (
	"fmt"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// complete works out what follows from the file as a whole, and checks what its
// parts must fulfil together.
func (d *decoder) complete() {
	d.completePlans()
	for len(d.later) > 0 { // a row that is put in has keys of its own to work out
		work := d.later[0]
		d.later = d.later[1:]
		work()
	}
	d.checkCircuits()
	d.checkPoints()
	d.checkEdition()
}

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
		d.shared(i, "ceiling", func(p *takeoff.Plan) *float64 { return &p.Ceiling }, func(l left) (float64, string) { return l.metres(), l.without() })
		d.shared(i, "cable_height", func(p *takeoff.Plan) *float64 { return &p.CableHeight }, func(l left) (float64, string) { return p.Ceiling + l.metres(), l.without() })
		d.shared(i, "elevation", func(p *takeoff.Plan) *float64 { return &p.Elevation }, func(l left) (float64, string) {
			if below < 0 {
				return 0, "0 ft"
			}
			b := plans[below]
			return b.Elevation + b.Ceiling + l.metres(), fmt.Sprintf("ceiling of %s + %s", b.Level, l.value)
		})
		below = i
	}
}

// shared settles one height of the level that plan i is the first of.
func (d *decoder) shared(i int, name string, at func(*takeoff.Plan) *float64, otherwise func(left) (float64, string)) {
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
			line, _ := d.job.pos(fmt.Sprintf("plans[%d].%s", said, name))
			d.complain(path, "line %[3]d gives another %[1]s for %[2]s: a level has one %[1]s", name, plans[k].Level, line, name)
		}
	}
	var value float64
	if said >= 0 {
		value = *at(&plans[said])
	} else {
		l := planTable.left(name)
		var text string
		value, text = otherwise(l)
		d.note(fmt.Sprintf("plans[%d].%s", i, name), text, l.because(), plans[i].Level)
	}
	for k := i; k < len(plans); k++ {
		if plans[k].Level == plans[i].Level {
			*at(&plans[k]) = value
		}
	}
}

func typeItself(_ *Job, t *Type) (value, why string) {
	if t.Type == "" {
		return "", "" // a complaint stands
	}
	return Quote(t.Type), "the job gives no other name"
}

func addressesOf(_ *Job, t *Type) (value, why string) {
	if t.WiredTo != nil && !t.On(takeoff.SLC) {
		return "0", "it is not wired to an slc"
	}
	return "1", "a device on a signaling line circuit takes one address"
}

// checkPoints refuses points without an address to stand under, where the address is worked out.
func (d *decoder) checkPoints() {
	for i := range d.job.Types {
		if path := fmt.Sprintf("types[%d]", i); !d.found(path + ".addresses") {
			d.needsAddress(path, &d.job.Types[i])
		}
	}
}

func (d *decoder) needsAddress(path string, t *Type) {
	if len(t.Points) > 0 && t.Addresses == 0 {
		d.complain(path+".points", "type %s has points and takes no address for them: write addresses: 1 and wired_to: [slc], or delete points", t.Type)
	}
}

func wiredTo(_ *Job, t *Type) (value, why string) {
	if t.Addresses > 0 || t.Isolates {
		return string(takeoff.SLC), "it takes an address or isolates"
	}
	return "[]", "it neither takes an address nor isolates: counted, not wired"
}

// hasInputs: modules with input circuits of their own.
func hasInputs(t *Type) bool { return t.EndOfLine > 0 }

// marginOf is the margin of an edition as a share, with its source.
func marginOf(edition int) (value, why string, err error) {
	factor, basis, err := wire.Margin(edition)
	return inPercent(factor - 1), basis, err
}

func batteryMargin(j *Job, _ *Battery) (value, why string) {
	value, why, err := marginOf(j.Edition)
	if err != nil {
		return "", "" // checkEdition complains
	}
	return value, why
}

// marginWords says what the editions ask for.
func marginWords() string {
	before, _, err := marginOf(2019)
	after, _, err2 := marginOf(2022)
	if err != nil || err2 != nil {
		panic("job: no margin for an edition")
	}
	return fmt.Sprintf("%s up to the edition of 2019, %s from 2022", before, after)
}

func (d *decoder) checkEdition() {
	if d.found("battery.margin") || d.job.Edition == 0 {
		return
	}
	if _, _, err := marginOf(d.job.Edition); err != nil {
		d.complain("edition", "%v", err)
	}
}

func firstAddress(_ *Job, a *Addressing) (value, why string) {
	if a.Scheme.Validate() != nil {
		return "", "" // a complaint stands
	}
	least, _ := a.Scheme.Range()
	return strconv.Itoa(least), "the lowest that the scheme can show"
}

func lastAddress(_ *Job, a *Addressing) (value, why string) {
	if a.Scheme.Validate() != nil {
		return "", ""
	}
	switch a.Scheme.Name {
	case "none":
		return "127", "a usual loop; the panel's listing says how many it takes (" + practice + ")"
	case "decade":
		return "99", "two dials; some run past 9 up to 159 (" + practice + ")"
	}
	_, most := a.Scheme.Range()
	return strconv.Itoa(most), "the highest that the scheme can show"
}

// lastWords says what lastAddress gives for each scheme.
func lastWords() string {
	words := make([]string, len(assign.SchemeNames))
	for i, name := range assign.SchemeNames {
		value, _ := lastAddress(nil, &Addressing{Scheme: assign.Scheme{Name: name}})
		words[i] = fmt.Sprintf("%s for %s", value, name)
	}
	return strings.Join(words, ", ")
}
