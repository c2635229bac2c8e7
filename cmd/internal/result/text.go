package result

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// shownFindings is how many findings of one code and severity are spelled out on the screen.
const shownFindings = 5

// WriteText writes a result as people read it on a screen; in the units given.
func WriteText(w io.Writer, r Result, system measure.System) error {
	var b bytes.Buffer
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "%s\n", r.Job)
	writeCounts(t, r)
	writeCircuits(t, r, system)
	writeBatteries(t, r)
	if err := t.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		fmt.Fprintln(w, strings.TrimRight(line, " \n")) // cells that stay blank leave blanks behind
	}
	writeFindings(w, r)
	_, err := fmt.Fprintln(w, "\n"+takeoff.Caution)
	return err
}

func writeCounts(t io.Writer, r Result) {
	fmt.Fprintf(t, "\ntype\tlevel\tcount\n")
	total := 0
	for _, c := range r.Counts {
		fmt.Fprintf(t, "%s\t%s\t%d\n", c.Type, c.Level, c.Count)
		total += c.Count
	}
	fmt.Fprintf(t, "total\t\t%d\n", total)
}

func writeCircuits(t io.Writer, r Result, system measure.System) {
	if len(r.Circuits) == 0 {
		return
	}
	fmt.Fprintf(t, "\ncircuit\tkind\tclass\tdevices\taddresses\tlength\torder\tas drawn\t\n")
	for _, c := range r.Circuits {
		addresses := ""
		if c.AddressCapacity > 0 {
			addresses = fmt.Sprintf("%d of %d", c.AddressesUsed, c.AddressCapacity)
		}
		with := ""
		if c.VerdictWith != "" {
			with = fmt.Sprintf("with %s added: %s", measure.Count(len(c.Isolators.Add), "isolator"), c.VerdictWith)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\t%s\t%s\t%s\t%s\n", c.Circuit, c.Kind, c.Pathway, c.Devices, addresses,
			system.Length(c.Length, 0), system.Length(c.OrderCable, 0), c.Verdict, with)
	}
	writePathways(t, r)
	writeWire(t, r, system)
	writePower(t, r)
	writeFaults(t, r)
	writeInputs(t, r, system)
}

// writePathways writes what the job says of pathways for the record, if it says anything.
func writePathways(t io.Writer, r Result) {
	head := "\npathway\tcable\tmarking\tsurvivability\t\n"
	for _, c := range r.Circuits {
		if c.Marking == "" && c.Survivability == "" {
			continue
		}
		level := "not given"
		if c.Survivability != "" {
			level = "level " + c.Survivability
		}
		fmt.Fprintf(t, "%s%s\t%s\t%s\t%s\n", head, c.Circuit, c.Cable, c.Marking, level)
		head = ""
	}
}

// writeWire writes what a meter at the panel reads, worst end first; what does not apply stays blank.
func writeWire(t io.Writer, r Result, system measure.System) {
	fmt.Fprintf(t, "\nwire\tohm\tlimit\tmargin\tto\tcable left\tthinnest that passes\t\n")
	for _, c := range r.Circuits {
		limit, margin, left := "", "", ""
		if c.LimitOhm > 0 {
			limit, margin = fmt.Sprintf("%.1f", c.LimitOhm), fmt.Sprintf("%.1f", c.LimitOhm-c.LoopOhm)
		}
		if c.LimitOhm > 0 || c.Capacitance != nil {
			left = system.Length(c.Left, 0)
		}
		end := c.WorstBranch
		if len(c.Branches) > 1 {
			end += fmt.Sprintf(" (of %d ends)", len(c.Branches))
		}
		if c.Pathway != "B" {
			end = "and back"
		}
		verdict := c.Wire
		if p := c.Capacitance; p != nil {
			verdict += fmt.Sprintf(", %.3f of %.3f uF", p.Value, p.Limit)
		}
		fmt.Fprintf(t, "%s\t%.2f\t%s\t%s\t%s\t%s\t%s\t%s\n", c.Circuit, c.LoopOhm, limit, margin, end, left, c.SmallestConductor, verdict)
	}
}

// writePower writes current and voltage of appliance and 24 V circuits.
func writePower(t io.Writer, r Result) {
	head := "\npower\tcurrent\tin\tmay be\tlowest\tneeds\tat\tlumped\t\n"
	for _, c := range r.Circuits {
		p := c.Power
		if p == nil {
			continue
		}
		fmt.Fprint(t, head)
		head = ""
		allowed := "not given"
		if p.Allowed > 0 {
			allowed = fmt.Sprintf("%.2f A", p.Allowed)
		}
		lowest, lumped, needs := "", "", "not given"
		if p.LowestAt != "" {
			lowest, lumped = fmt.Sprintf("%.2f V", p.Lowest), fmt.Sprintf("%.2f V", p.Lumped)
		}
		if p.Minimum > 0 {
			needs = fmt.Sprintf("%.1f V", p.Minimum)
		}
		verdict := c.Wire
		if p.Blank {
			verdict += ", currents are blank"
		}
		fmt.Fprintf(t, "%s\t%.2f A\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", c.Circuit, p.Current, p.largest(), allowed, lowest, needs, p.LowestAt, lumped, verdict)
	}
}

// largest names the state in which a circuit draws most.
func (p PowerProof) largest() string {
	name, most := p.State, -1.0
	for _, s := range p.Currents {
		if s.Current >= most {
			name, most = s.State, s.Current
		}
	}
	return name
}

// writeFaults writes what the worst single faults cost, with the isolators to add.
func writeFaults(t io.Writer, r Result) {
	head := "\nfaults\tworst open\tworst short\tbetween\tlimit\tisolators\tas drawn\t\n"
	for _, c := range r.Circuits {
		i := c.Isolators
		if i == nil || len(c.Legs) == 0 {
			continue
		}
		fmt.Fprint(t, head)
		head = ""
		limit := measure.Count(i.LimitZones, "zone")
		if i.LimitDevices > 0 {
			limit = measure.Count(i.LimitDevices, "device") + ", " + limit
		}
		between, with := "", ""
		if i.WorstShort.Devices > 0 {
			between = i.WorstShort.From + " and " + i.WorstShort.To
		}
		if n := len(i.Add); n > 0 {
			with = fmt.Sprintf("with %d added: %d, %s: %s", n, i.WorstWith.Devices, measure.Count(i.WorstWith.Zones, "zone"), verdict(i.PassesWith))
		}
		fmt.Fprintf(t, "%s\t%d\t%d, %s\t%s\t%s\t%d drawn, %d to add\t%s\t%s\n", c.Circuit, i.WorstOpen.Devices,
			i.WorstShort.Devices, measure.Count(i.WorstShort.Zones, "zone"), between, limit, i.OnPlan, len(i.Add), verdict(i.Passes), with)
	}
}

// writeInputs writes how far the modules' own input circuits may run.
func writeInputs(t io.Writer, r Result, system measure.System) {
	if len(r.Inputs) == 0 {
		return
	}
	fmt.Fprintf(t, "\ninput circuits\tcount\twire\tat the end\tone way\tcable\t\n")
	for _, p := range r.Inputs {
		if len(p.Lengths) == 0 {
			fmt.Fprintf(t, "%s\t%d\t%s\t%s\t\t\n", p.Type, p.Devices, ohmGiven(p.MaxOhm), ohmGiven(p.EndOfLine))
		}
		for _, l := range p.Lengths {
			fmt.Fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s\n", p.Type, p.Devices, ohmGiven(p.MaxOhm), ohmGiven(p.EndOfLine), system.Length(l.OneWay, 0), l.Cable)
		}
	}
}

// ohmGiven is a resistance from a listing, which may be blank.
func ohmGiven(ohm float64) string {
	if ohm == 0 {
		return "not given"
	}
	return fmt.Sprintf("%g ohm", ohm)
}

func verdict(passes bool) outcome.Verdict {
	if passes {
		return outcome.Passes
	}
	return outcome.Fails
}

func writeBatteries(t io.Writer, r Result) {
	for _, b := range r.Battery {
		if s := b.Supply; s != nil {
			rating := "rating not given"
			if s.Rating > 0 {
				rating = fmt.Sprintf("%.2f A may be", s.Rating)
			}
			fmt.Fprintf(t, "\nsupply of %s: %.2f A in standby, %.2f A in alarm, %s, %s\n", b.Panel, s.Standby, s.Alarm, rating, s.Verdict)
		}
		switch {
		case len(b.Blank) > 0:
			fmt.Fprintf(t, "\nbattery of %s: not proved, currents are blank\n", b.Panel)
		case b.Size == 0:
			fmt.Fprintf(t, "\nbattery of %s: %.2f Ah needed (%s), more than the common sizes\n", b.Panel, b.Required, b.Basis)
		default:
			fmt.Fprintf(t, "\nbattery of %s: %.2f Ah needed (%s), next size %g Ah\n", b.Panel, b.Required, b.Basis, b.Size)
		}
	}
}

// HowMany says how many findings there are.
func HowMany(findings int) string {
	if findings == 1 {
		return "1 finding"
	}
	return fmt.Sprintf("%d findings", findings)
}

func writeFindings(w io.Writer, r Result) {
	if len(r.Findings) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", HowMany(len(r.Findings)))
	type kind struct {
		code string
		is   takeoff.Severity // a note that explains a warning is no more of its kind
	}
	n := map[kind]int{}
	for _, f := range r.Findings {
		k := kind{f.Code, f.Severity}
		if n[k]++; n[k] > shownFindings {
			continue
		}
		place := ""
		if f.Drawing != "" {
			place = " [" + strings.TrimSpace(f.Drawing+" "+f.Handle) + "]"
		}
		fmt.Fprintf(w, "%s %s: %s%s\n", f.Code, f.Severity, f.Message, place)
	}
	for _, f := range r.Findings {
		k := kind{f.Code, f.Severity}
		if more := n[k] - shownFindings; more > 0 {
			fmt.Fprintf(w, "%s: %d more like this in result.json and the workbook\n", f.Code, more)
			n[k] = 0
		}
	}
}
