package build

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// shownFindings is how many findings of one code are spelled out on the screen.
const shownFindings = 5

// WriteText writes a result as people read it on a screen; system is imperial or metric.
func WriteText(w io.Writer, r Result, system string) error {
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
	_, err := fmt.Fprintln(w, "\n"+Caution)
	return err
}

// Caution stands under everything that the program prints.
const Caution = `An aid, not an approval: the adopted code, the equipment's listing, the authority
having jurisdiction and licensed practice govern.`

func writeCounts(t io.Writer, r Result) {
	fmt.Fprintf(t, "\ntype\tlevel\tcount\n")
	total := 0
	for _, c := range r.Counts {
		fmt.Fprintf(t, "%s\t%s\t%d\n", c.Type, c.Level, c.Count)
		total += c.Count
	}
	fmt.Fprintf(t, "total\t\t%d\n", total)
}

func writeCircuits(t io.Writer, r Result, system string) {
	if len(r.Circuits) == 0 {
		return
	}
	length, unit := lengths(system)
	fmt.Fprintf(t, "\ncircuit\tkind\tclass\tdevices\taddresses\tlength\torder\t\n")
	for _, c := range r.Circuits {
		addresses := ""
		if c.AddressCapacity > 0 {
			addresses = fmt.Sprintf("%d of %d", c.AddressesUsed, c.AddressCapacity)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\t%.0f %s\t%.0f %s\t\n", c.Circuit, c.Kind, c.Pathway, c.Devices, addresses,
			c.Length*length, unit, c.OrderCable*length, unit)
	}
	fmt.Fprintf(t, "\nproof\tohm\tlimit\tcable left\tcurrent\tlowest\tworst short\tisolators\t\n")
	for _, c := range r.Circuits {
		writeProof(t, c, length, unit)
	}
}

// writeProof writes what a circuit's wire does on one line; what does not apply stays blank.
func writeProof(t io.Writer, c Circuit, length float64, unit string) {
	var limit, left, current, volts, short, isolators string
	if c.LimitOhm > 0 {
		limit = fmt.Sprintf("%.1f", c.LimitOhm)
		left = fmt.Sprintf("%.0f %s", c.Left*length, unit)
	}
	if p := c.Power; p != nil {
		current = fmt.Sprintf("%.2f of %.2f A", p.Current, p.Allowed)
		volts = fmt.Sprintf("%.2f V at %s", p.Lowest, p.LowestAt)
	}
	if i := c.Isolators; i != nil {
		short = fmt.Sprintf("%d devices, %d zone(s)", i.WorstWith.Devices, i.WorstWith.Zones)
		isolators = fmt.Sprintf("%d drawn, %d to add", i.OnPlan, len(i.Add))
	}
	verdict := "passes"
	if !c.Passes || c.Isolators != nil && !c.Isolators.PassesWith {
		verdict = "FAILS"
	}
	fmt.Fprintf(t, "%s\t%.2f\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", c.Circuit, c.LoopOhm, limit, left, current, volts, short, isolators, verdict)
}

func writeBatteries(t io.Writer, r Result) {
	for _, b := range r.Battery {
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

// lengths returns the factor from metres and the unit in which a system shows lengths.
func lengths(system string) (factor float64, unit string) {
	if system == "metric" {
		return 1, "m"
	}
	return 1 / 0.3048, "ft"
}

func writeFindings(w io.Writer, r Result) {
	if len(r.Findings) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%d findings\n", len(r.Findings))
	n := map[string]int{}
	for _, f := range r.Findings {
		n[f.Code]++
		if n[f.Code] > shownFindings {
			continue
		}
		place := ""
		if f.Drawing != "" {
			place = " [" + strings.TrimSpace(f.Drawing+" "+f.Handle) + "]"
		}
		fmt.Fprintf(w, "%s %s: %s%s\n", f.Code, f.Severity, f.Message, place)
	}
	for _, f := range r.Findings {
		if k := n[f.Code]; k > shownFindings {
			fmt.Fprintf(w, "%s: %d more of this kind stand in result.json and in the workbook\n", f.Code, k-shownFindings)
			n[f.Code] = 0
		}
	}
}
