package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/route"
	"loopwright/takeoff"
)

// The columns of the table of legs on the sheet of voltages.
const (
	voltCircuit = 1 + iota
	voltFed
	voltFrom
	voltTo
	voltType
	voltLength
	voltSeries
	voltLoad
	voltCurrent
	voltDrop
	voltVolts
	voltMargin
)

// voltageSheets proves current and voltage of appliance and power circuits, leg by leg.
func voltageSheets(b *book, o *outcome.Outcome) (circuits, legs *xlsx.Sheet) {
	u := b.u
	s := b.NewSheet("Voltage", 12, 9, 9, 11, 12, 12, 11, 13, 11, 11, 11, 12, 28, 13, 10)
	l := b.NewSheet("Voltage by leg", 12, 9, 12, 12, 18, 11, 11, 11, 11, 11, 11, 12, 10)
	s.Title("Voltage drop, point to point",
		"Each leg carries the current of the loads beyond it: drop = current x (2 x length x ohm per "+u.rate+" / 1000 + series). Standby and alarm "+
			"currents come from the sheet Battery, ohms from Loop. A circuit that draws current in standby is proved in both states. "+
			"Start and minimum voltage and the circuit's capacity are listing data. A class A or X loop is proved from either end alone, as after an "+
			"open at the other.")
	cs := poweredCircuits(o)
	if len(cs) == 0 {
		s.Note("This job has no circuit of kind nac or power, and no slc with a limit of current or voltage.")
		return s, nil
	}
	s.Head = s.Header("circuit", "kind", "class", "start, V", "minimum, V", "capacity, A", "kept free", "may carry, A", "loads not given", "carries, A", "lowest, V", "at", "verdict", "lost in the panel, V/A", "state").Row
	s.Freeze = 1
	top := s.Next()
	l.Title("Voltage drop, leg by leg", "Each row refers to the row that feeds it and to those that it feeds: do not sort. Figures to change "+
		"are on the sheets Voltage, Battery and Loop.")
	l.Head = l.Header("circuit", "fed from", "from", "to", "type", "length, "+u.length, "series, ohm", "load, A", "in leg, A", "drop, V", "volts", "to spare, V", "state").Row
	l.Freeze = 1
	first := l.Next()
	var runs []voltageRun
	for _, c := range cs {
		given := top + len(runs) // the row in which the circuit's listing data stand
		for _, state := range statesOf(c) {
			r := voltageRun{c: c, state: state, steps: stepsOf(b, o, c), top: top + len(runs), given: given, first: first}
			first += len(r.steps)
			solve(b, o, &r)
			runs = append(runs, r)
		}
	}
	for i := range runs {
		voltageRow(b, s, l, &runs[i])
	}
	s.Verdicts = append(s.Verdicts, fmt.Sprintf("M%d:M%d", top, top+len(runs)-1))
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("D%d:F%d", top, top+len(runs)-1), Most: 1e4}, xlsx.Check{Where: fmt.Sprintf("G%d:G%d", top, top+len(runs)-1), Most: 1})
	for i := range runs {
		legVoltages(b, l, s, &runs[i])
	}
	return s, l
}

// statesOf are the states in which a circuit is proved, the one that asks most of it first.
func statesOf(c *outcome.Laid) []string {
	var names []string
	for _, s := range c.Proof.States {
		if s.Name == c.Proof.Power.Name {
			names = slices.Insert(names, 0, s.Name)
		} else {
			names = append(names, s.Name)
		}
	}
	return names
}

// voltageRun is one circuit in one state on the sheet of voltages: where its rows
// stand and what they must come to.
type voltageRun struct {
	c     *outcome.Laid
	state string // of the system: standby or alarm
	steps []step

	top, given, first int // rows: in the table of circuits, there with the listing data, first in the table of legs

	missing        int
	total          float64
	length, series []float64
	load           []any
	current, drop  []float64
	volts          []float64
	proved         bool
}

func (r *voltageRun) last() int { return max(r.first, r.first+len(r.steps)-1) }

// startRows is how many of the rows are fed from the start.
func (r *voltageRun) startRows() int {
	n := 0
	for _, s := range r.steps {
		if s.fed == "start" {
			n++
		}
	}
	return n
}

// solve computes what the formulas of a run must come to.
func solve(b *book, o *outcome.Outcome, r *voltageRun) {
	n := len(r.steps)
	r.length, r.series, r.load = make([]float64, n), make([]float64, n), make([]any, n)
	r.current, r.drop, r.volts = make([]float64, n), make([]float64, n), make([]float64, n)
	rate := b.byCircuit[r.c.Name].rate.Or0()
	for i, s := range r.steps {
		r.length[i] = b.legLength[b.legKey[r.c.Name]+s.leg]
		r.series[i] = seriesOf(o, s.typ)
		r.load[i] = 0.0
		if c, ok := r.currentOf(b, s.typ); ok {
			if v, ok := c.Num(); ok {
				r.load[i] = v / 1000
			} else if !r.blankIsNone() {
				r.load[i] = notGiven
			}
		}
		if s.fed == "start" {
			if v, ok := r.load[i].(float64); ok {
				r.total += v
			} else {
				r.missing++
			}
		}
	}
	r.proved = r.missing == 0 && r.c.StartVolts > 0
	if !r.proved {
		return
	}
	for i := n - 1; i >= 0; i-- {
		r.current[i] = r.load[i].(float64)
		for _, k := range r.steps[i].beyond {
			r.current[i] += r.current[k]
		}
	}
	for i, s := range r.steps {
		r.drop[i] = r.current[i] * (2*r.length[i]*rate/1000 + r.series[i])
		r.volts[i] = r.c.StartVolts - r.c.LoadFactor*r.total - r.drop[i]
		if s.before >= 0 {
			r.volts[i] = r.volts[s.before] - r.drop[i]
		}
	}
}

// currentOf is the cell with the current of a type in the state of the run.
func (r *voltageRun) currentOf(b *book, typ string) (xlsx.Ref, bool) {
	c, ok := b.current[typ]
	if r.state == route.Standby {
		return c.standby, ok
	}
	return c.alarm, ok
}

// blankIsNone reports whether a current that is not given is none: see package route.
func (r *voltageRun) blankIsNone() bool { return r.state == route.Standby && r.c.Kind == takeoff.NAC }

// lowest is the index of the step with the least voltage; -1 without any.
func (r *voltageRun) lowest() int {
	low := -1
	for i, v := range r.volts {
		if low < 0 || v < r.volts[low] {
			low = i
		}
	}
	return low
}

func voltageRow(b *book, s, l *xlsx.Sheet, r *voltageRun) {
	c, row := r.c, r.top
	first, last := r.first, r.last()
	starts := l.Span(voltLoad, first, first+r.startRows()-1)
	volts, names := l.Span(voltVolts, first, last), l.Span(voltTo, first, last)
	var allowed, lowest, where any = "", "", ""
	if c.MaxCurrent > 0 {
		allowed = c.MaxCurrent * (1 - c.CurrentSpare())
	}
	if i := r.lowest(); r.proved && i >= 0 {
		lowest, where = r.volts[i], r.steps[i].to
	}
	free := xlsx.Cell{Value: c.CurrentSpare(), Style: xlsx.Style{Form: xlsx.FormPercent, Role: xlsx.RoleInput}}
	listing := []xlsx.Cell{xlsx.Entry(c.StartVolts, xlsx.FormFine), xlsx.Entry(c.EndVolts, xlsx.FormFine), xlsx.Entry(c.MaxCurrent, xlsx.FormMilli), free, xlsx.EntryZero(c.LoadFactor, xlsx.FormMilli)}
	if r.top != r.given { // the circuit's figures stand once, where they may be changed
		for i, column := range []int{4, 5, 6, 7, 14} {
			was, at := listing[i], xlsx.At(column, r.given)
			if was.Value == nil {
				was.Value = ""
			}
			listing[i] = xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(%[1]s),%[1]s,"")`, at), was.Value, was.Style.Form)
		}
	}
	rest := `IF(NOT(ISNUMBER(D%[1]d)),"not proved: no start voltage",IF(NOT(ISNUMBER(H%[1]d)),"not proved: no capacity",IF(NOT(ISNUMBER(E%[1]d)),"not proved: no minimum","passes")))`
	if c.Kind == takeoff.SLC { // judged by what is given: its resistance is on the sheet Loop
		rest = `"passes"`
	}
	got := s.Add(xlsx.Text(c.Name), xlsx.Text(string(c.Kind)), xlsx.Text(string(c.Pathway)), listing[0], listing[1], listing[2], listing[3],
		xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(F%[1]d),F%[1]d*(1-G%[1]d),"")`, row), allowed, xlsx.FormMilli),
		xlsx.Calc(fmt.Sprintf(`SUMPRODUCT(--ISTEXT(%s))`, starts), r.missing, xlsx.FormCount),
		xlsx.Calc(fmt.Sprintf("SUM(%s)", starts), r.total, xlsx.FormMilli),
		xlsx.Calc(fmt.Sprintf(`IF(AND(I%[1]d=0,ISNUMBER(D%[1]d)),MIN(%[2]s),"")`, row, volts), lowest, xlsx.FormFine).As(xlsx.RoleStrong),
		xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(K%[1]d),INDEX(%[2]s,MATCH(K%[1]d,%[3]s,0)),"")`, row, names, volts), where, xlsx.FormGeneral),
		xlsx.Calc(fmt.Sprintf(`IF(AND(ISNUMBER(H%[1]d),J%[1]d>N(H%[1]d)+1E-9),"FAILS: current",IF(AND(ISNUMBER(K%[1]d),N(K%[1]d)<N(E%[1]d)-1E-9),"FAILS: voltage",`+
			`IF(I%[1]d>0,"not proved: load not given",`+strings.ReplaceAll(rest, "%[1]d", fmt.Sprint(row))+`)))`, row),
			r.verdict(), xlsx.FormGeneral),
		listing[4], xlsx.Text(r.state))
	cc := b.byCircuit[c.Name]
	cc.verdicts = append(cc.verdicts, got.Right(12))
	cc.volts = append(cc.volts, got.Right(10))
}

// verdict is what the formula beside it comes to.
func (r *voltageRun) verdict() string {
	c := r.c
	low := math.Inf(1)
	if i := r.lowest(); r.proved && i >= 0 {
		low = r.volts[i]
	}
	switch {
	case c.MaxCurrent > 0 && r.total > c.MaxCurrent*(1-c.CurrentSpare())+1e-9:
		return "FAILS: current"
	case low < c.EndVolts-1e-9:
		return "FAILS: voltage"
	case r.missing > 0:
		return "not proved: load not given"
	case c.Kind == takeoff.SLC:
		return "passes"
	case c.StartVolts <= 0:
		return "not proved: no start voltage"
	case c.MaxCurrent <= 0:
		return "not proved: no capacity"
	case c.EndVolts <= 0:
		return "not proved: no minimum"
	}
	return "passes"
}

// legVoltages adds the rows of one circuit. A row refers to the row that feeds
// it and to those that it feeds, so the rows are not for sorting.
func legVoltages(b *book, s, top *xlsx.Sheet, r *voltageRun) {
	start, minimum, missing := top.Ref(r.top, 4).There(), top.Ref(r.top, 5).There(), top.Ref(r.top, 9).There()
	proved := fmt.Sprintf("AND(%s=0,ISNUMBER(%s))", missing, start)
	rate := b.byCircuit[r.c.Name].rate.There()
	for i, st := range r.steps {
		row := r.first + i
		volts, current, drop, spare := any(notGiven), any(notGiven), any(""), any("")
		if r.proved {
			volts, current, drop = r.volts[i], r.current[i], r.drop[i]
			if r.c.EndVolts > 0 {
				spare = r.volts[i] - r.c.EndVolts
			}
		}
		load := xlsx.Cell{Value: 0.0, Style: xlsx.Style{Form: xlsx.FormMilli}}
		if c, ok := r.currentOf(b, st.typ); ok {
			blank := fmt.Sprintf("%q", notGiven)
			if r.blankIsNone() {
				blank = "0"
			}
			load = xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(%[1]s),%[1]s/1000,%[2]s)", c.There(), blank), r.load[i], xlsx.FormMilli)
		}
		sum := []string{xlsx.At(voltLoad, row)}
		for _, k := range st.beyond {
			sum = append(sum, xlsx.At(voltCurrent, r.first+k))
		}
		before := fmt.Sprintf("(%s-%s*%s)", start, top.Ref(r.top, 14).There(), top.Ref(r.top, 10).There())
		if st.before >= 0 {
			before = xlsx.At(voltVolts, r.first+st.before)
		}
		s.Add(xlsx.Text(r.c.Name), xlsx.Text(st.fed), xlsx.Text(st.from), xlsx.Text(st.to), xlsx.Text(st.typ),
			xlsx.Calc(fmt.Sprintf("SUMIF(LegKey,%d,LegInstalled)", b.legKey[r.c.Name]+st.leg), r.length[i], xlsx.FormFine), xlsx.Number(r.series[i], xlsx.FormFine), load,
			xlsx.Calc(fmt.Sprintf("IF(%s,%s,%q)", proved, strings.Join(sum, "+"), notGiven), current, xlsx.FormMilli),
			xlsx.Calc(fmt.Sprintf(`IF(%s,%s*(2*%s*%s/1000+%s),"")`, proved, xlsx.At(voltCurrent, row), xlsx.At(voltLength, row), rate, xlsx.At(voltSeries, row)), drop, xlsx.FormMilli),
			xlsx.Calc(fmt.Sprintf(`IF(%s,%s-%s,%q)`, proved, before, xlsx.At(voltDrop, row), notGiven), volts, xlsx.FormFine),
			xlsx.Calc(fmt.Sprintf(`IF(AND(ISNUMBER(%[1]s),ISNUMBER(%[2]s)),%[1]s-%[2]s,"")`, xlsx.At(voltVolts, row), minimum), spare, xlsx.FormFine), xlsx.Text(r.state))
	}
}
