package reconcile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign/sheet"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/returned"
	"loopwright/takeoff"
)

// metered is a reading beside what was computed.
type metered struct {
	returned.Reading
	source  string
	ohm     float64
	known   bool // ohm is a number
	at20    float64
	hot     float64
	limit   float64
	place   bool // the end is one of the circuit's
	worst   bool
	volts   bool // the end is the panel's terminals, where volts are metered
	input   bool // the end is a module's own circuit: between at20 and hot lies what its wire may add to the resistor
	verdict string
}

// reading hears a meter reading and judges it.
func (m *merger) reading(src returned.Source, r returned.Reading) {
	x := &metered{Reading: r, source: src.File, verdict: "not judged"}
	m.readings = append(m.readings, x)
	find := func(code string, sev takeoff.Severity, format string, args ...any) {
		computed := ""
		if x.computes() {
			computed = fmt.Sprintf("%.2f", x.hot)
		}
		m.diffs = append(m.diffs, Difference{Code: code, Severity: sev, What: "ohm", Circuit: r.Circuit, ID: x.End, Planned: computed, Found: r.Ohm, Source: src.File, Message: fmt.Sprintf(format, args...)})
	}
	i := slices.IndexFunc(m.outcome.Circuits, func(c outcome.Laid) bool { return c.Name == r.Circuit })
	if i < 0 {
		find(codeCircuit, takeoff.Error, "%s, %s: the job has no circuit %q; it says: %s", src.File, r.Where, r.Circuit, r.Words())
		return
	}
	x.expect(m.outcome.Circuits[i])
	if !x.place {
		m.expectInput(x)
	}
	if !x.place {
		find(codeUnknown, takeoff.Error, "%s, %s: circuit %s has no end %q to meter; it says: %s", src.File, r.Where, r.Circuit, r.End, r.Words())
		return
	}
	if r.Ohm == "" {
		return
	}
	if x.ohm, x.known = ohms(r.Ohm); !x.known {
		x.verdict = "no number"
		find(codeUnreadable, takeoff.Warning, "%s, %s: %q is not a resistance in ohms: write digits, without a thousands separator", src.File, r.Where, r.Ohm)
		return
	}
	if !x.computes() {
		return
	}
	switch low, high := x.bounds(); {
	case x.limit > 0 && x.ohm > x.limit:
		x.verdict = "OVER THE LIMIT"
		find(codeOverLimit, takeoff.Error, "circuit %s, %s: %.2f ohm measured, over the limit of %.1f ohm", r.Circuit, x.End, x.ohm, x.limit)
	case x.ohm < low:
		x.verdict = "far under"
		find(codeFar, takeoff.Warning, "circuit %s, %s: %.2f ohm measured, far below the computed %s: look for %s", r.Circuit, x.End, x.ohm, x.computed(), x.causes(false))
	case x.ohm > high:
		x.verdict = "far over"
		find(codeFar, takeoff.Warning, "circuit %s, %s: %.2f ohm measured, far above the computed %s: look for %s", r.Circuit, x.End, x.ohm, x.computed(), x.causes(true))
	default:
		x.verdict = "as computed"
	}
}

// computes reports whether there is a value to hold the reading against: that of
// a module's own circuit may be blank in the job file.
func (x *metered) computes() bool { return x.place && !x.volts && (!x.input || x.hot > 0) }

// expect fills in what the circuit's proof says about the end.
func (x *metered) expect(c outcome.Laid) {
	if x.End == sheet.TerminalsEnd(c.Panel) {
		x.place, x.volts = true, true
		return
	}
	loop := c.Proof.Loop
	for i, b := range loop.Branches {
		end := c.Proof.Nodes[b.End]
		if end != x.End && (x.End != "" || i != loop.Worst) {
			continue
		}
		x.End, x.place, x.worst = end, true, i == loop.Worst
		x.hot, x.limit = b.Ohm, c.MaxResistance
		x.at20 = b.Ohm
		if ohm, ok := c.Cold(b); ok {
			x.at20 = ohm
		}
		return
	}
}

// bounds are the readings between which one is as computed.
func (x *metered) bounds() (low, high float64) {
	return outcome.Band(x.hot, x.at20)
}

// causes are what to look for where a reading is far over, or under, what was computed.
func (x *metered) causes(over bool) string {
	switch {
	case x.input && over:
		return "a wrong or missing resistor, an open wire or a bad joint"
	case x.input:
		return "a closed switch, a second or wrong resistor, or a short"
	case over:
		return "a bad joint, a longer run or thinner wire"
	}
	return "a short before the end, or a different cable route"
}

func (x *metered) computed() string { return fmt.Sprintf("%.2f to %.2f ohm", x.at20, x.hot) }

// ohms reads a resistance as people write it: point or comma, with or without
// its unit. What may be a thousand or a thousandth ("5,100") is no number.
func ohms(text string) (float64, bool) {
	t := strings.ToLower(strings.TrimSpace(text))
	for _, unit := range []string{"ohms", "ohm", "ω"} { // in lower case: the Greek letter, and what becomes of the sign of the unit
		t = strings.TrimSpace(strings.TrimSuffix(t, unit))
	}
	times := 1.0
	if s, ok := strings.CutSuffix(t, "k"); ok {
		t, times = strings.TrimSpace(s), 1000
	}
	if whole, part, ok := strings.Cut(t, ","); ok && !strings.ContainsAny(part, ",.") && !strings.Contains(whole, ".") {
		if len(part) == 3 && strings.Trim(whole, "0") != "" {
			return 0, false
		}
		t = whole + "." + part
	}
	if t == "" || strings.Trim(t, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(t, 64)
	return v * times, err == nil && v >= 0 && !math.IsInf(v*times, 0)
}

// contradictory reports ends that two sources metered differently.
func (m *merger) contradictory() {
	type end struct{ circuit, end string }
	heard := map[end][]said{}
	var order []end
	for _, x := range m.readings {
		if !x.known {
			continue
		}
		e := end{x.Circuit, x.End}
		if heard[e] == nil {
			order = append(order, e)
		}
		heard[e] = hear(heard[e], strconv.FormatFloat(x.ohm, 'f', -1, 64), x.source)
	}
	for _, e := range order {
		if len(heard[e]) > 1 {
			m.diffs = append(m.diffs, Difference{Code: codeContradict, Severity: takeoff.Warning, What: "ohm", Circuit: e.circuit, ID: e.end, Found: values(heard[e]),
				Message: fmt.Sprintf("circuit %s, %s: the sources give different readings: %s; all are kept", e.circuit, e.end, quote(heard[e]))})
		}
	}
}
