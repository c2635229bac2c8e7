package matrix

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// head is the first cells of a row: which input it is.
var head = []string{"circuit", "point", "id", "type", "function", "event", "level", "room"}

// name is what an output is called in the head of its column.
func (t terminal) name() string {
	if t.Function != "" {
		return t.Device.Type + " " + t.Function
	}
	return t.Device.Type
}

// column is one column of outputs. Outputs that the same inputs work share a
// column; those within the room or on the spot of their input share one, too,
// and each row then names its own.
type column struct {
	name   string
	narrow bool // cells name the outputs
	outs   []int
	in     map[int][]int // outputs by input
}

// Table returns the matrix as rows of cells, a head first. It stays readable
// when large: outputs that always go together stand in one column.
func (m Matrix) Table() [][]string {
	cols := m.columns()
	rows := [][]string{slices.Clone(head)}
	for _, c := range cols {
		rows[0] = append(rows[0], m.title(c))
	}
	for i, in := range m.Inputs {
		d := in.Device
		row := []string{d.Circuit, in.Point, d.ID, d.Type, in.Function, in.Event, d.Level, d.Room}
		for _, c := range cols {
			row = append(row, m.cell(c, i))
		}
		rows = append(rows, row)
	}
	return rows
}

func (m Matrix) columns() []*column {
	var cols []*column
	byKey := map[string]*column{}
	get := func(key, name string, narrow bool) *column {
		if byKey[key] == nil {
			byKey[key] = &column{name: name, narrow: narrow, in: map[int][]int{}}
			cols = append(cols, byKey[key])
		}
		return byKey[key]
	}
	signature := m.signatures()
	for j, out := range m.Outputs { // wide columns in the order of the outputs
		if signature[j] != "" {
			c := get("wide "+out.name()+" "+signature[j], out.name(), false)
			c.outs = append(c.outs, j)
		}
	}
	for i := range m.Inputs {
		for k, j := range m.Works[i] {
			name := m.Outputs[j].name()
			key := "wide " + name + " " + signature[j]
			if s := m.rules[m.by[i][k]].Scope; narrow(s) {
				key, name = fmt.Sprint("narrow ", s, " ", name), fmt.Sprintf("%s, own %s", name, map[Scope]string{Room: "room", Device: "spot"}[s])
				get(key, name, true)
			}
			byKey[key].in[i] = append(byKey[key].in[i], j)
		}
	}
	return cols
}

func narrow(s Scope) bool { return s == Room || s == Device }

// signatures says by output which inputs activate it from beyond their own room; "" for none.
func (m Matrix) signatures() []string {
	sig := make([]strings.Builder, len(m.Outputs))
	for i := range m.Inputs {
		for k, j := range m.Works[i] {
			if !narrow(m.rules[m.by[i][k]].Scope) {
				sig[j].WriteString(strconv.Itoa(i) + ",")
			}
		}
	}
	out := make([]string, len(sig))
	for j := range sig {
		out[j] = sig[j].String()
	}
	return out
}

// title heads a column: what it is, where if it is on one level, and how many.
func (m Matrix) title(c *column) string {
	draft := ""
	if m.Draft {
		draft = "DRAFT: "
	}
	if c.narrow {
		return draft + c.name
	}
	if len(c.outs) == 1 {
		return draft + c.name + " " + m.Outputs[c.outs[0]].Device.ID
	}
	where := m.Outputs[c.outs[0]].Device.Level
	for _, j := range c.outs {
		if m.Outputs[j].Device.Level != where {
			where = "all of"
		}
	}
	return fmt.Sprintf("%s%s, %s %d from %s", draft, c.name, where, len(c.outs), m.Outputs[c.outs[0]].Device.ID)
}

// shown is how many outputs a cell names.
const shown = 6

func (m Matrix) cell(c *column, i int) string {
	outs := c.in[i]
	if len(outs) == 0 {
		return ""
	}
	if !c.narrow {
		return "x"
	}
	return m.list(outs)
}

func (m Matrix) list(outs []int) string {
	var ids []string
	for _, j := range outs {
		if id := m.Outputs[j].Device.ID; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	if len(ids) > shown {
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:shown], " "), len(ids)-shown)
	}
	return strings.Join(ids, " ")
}

// Findings reports a draft, inputs that activate nothing, outputs that nothing
// activates, and rules that match nothing.
func (m Matrix) Findings() []takeoff.Finding {
	severity := takeoff.Warning
	var fs []takeoff.Finding
	if m.Draft {
		severity = takeoff.Note
		if len(m.Inputs) == 0 && len(m.Outputs) == 0 {
			return nil
		}
		msg := "the job has no matrix: the one written is a draft in which every alarm input activates every notification appliance; add rules under matrix"
		if len(m.Inputs) == 0 {
			msg = "the matrix has no inputs: give the types their points, with function and event"
		}
		fs = append(fs, takeoff.Finding{Code: assign.CodeMatrixDraft, Severity: takeoff.Note, Message: msg})
		if len(m.Inputs) == 0 {
			return fs
		}
	}
	for _, r := range m.idle {
		fs = append(fs, takeoff.Finding{Code: assign.CodeIdleRule, Severity: takeoff.Warning,
			Message: fmt.Sprintf("rule %d of the matrix matches no input with an output: it does nothing", r+1)})
	}
	worked := make([]bool, len(m.Outputs))
	var idle []terminal
	for i, in := range m.Inputs {
		for _, j := range m.Works[i] {
			worked[j] = true
		}
		if len(m.Works[i]) == 0 && in.mustWork() {
			idle = append(idle, in)
		}
	}
	fs = append(fs, tell(idle, assign.CodeIdleInput, severity, "is activated by", "input")...)
	idle = nil
	for j, ok := range worked {
		if !ok {
			idle = append(idle, m.Outputs[j])
		}
	}
	return append(fs, tell(idle, assign.CodeIdleOutput, severity, "activates", "output")...)
}

// tell makes one finding for each kind of terminal.
func tell(idle []terminal, code string, s takeoff.Severity, verb, what string) []takeoff.Finding {
	var order []string
	by := map[string][]terminal{}
	for _, t := range idle {
		n := t.name()
		if by[n] == nil {
			order = append(order, n)
		}
		by[n] = append(by[n], t)
	}
	var fs []takeoff.Finding
	for _, n := range order {
		var ids []string
		for _, t := range by[n][:min(shown, len(by[n]))] {
			ids = append(ids, t.Device.ID)
		}
		list := strings.Join(ids, ", ")
		if k := len(by[n]) - shown; k > 0 {
			list += fmt.Sprintf(" and %d more", k)
		}
		d := by[n][0].Device
		fs = append(fs, takeoff.Finding{Code: code, Severity: s,
			Message: fmt.Sprintf("nothing in the matrix %s %s, %s: %s", verb, measure.Count(len(by[n]), what), n, list),
			Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != ""})
	}
	return fs
}
