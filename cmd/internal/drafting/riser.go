package drafting

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// riserDiagram is the whole system in one picture: levels as rows from the top
// down, a column for every circuit.
type riserDiagram struct {
	levels  []string
	panels  []riserPanel
	columns []riserColumn
}

// riserPanel is a panel and the row that it stands in.
type riserPanel struct {
	name  string
	level int
}

// riserColumn is a circuit.
type riserColumn struct {
	panel   int // index of riserDiagram.Panels
	returns bool
	head    []string         // name, class, cable
	cells   map[int][]string // lines by row: what hangs there
}

// riserDrawing is the drawing that the riser diagram stands on: the one that
// shows the first panel.
func riserDrawing(o *outcome.Outcome) string {
	for _, p := range o.Take.Panels {
		if p.Drawing != "" && slices.Contains(Drawings(o), p.Drawing) {
			return p.Drawing
		}
	}
	if ds := Drawings(o); len(ds) > 0 {
		return ds[0]
	}
	return ""
}

// riserOf gathers the riser diagram; nil if there is no circuit to show.
func riserOf(o *outcome.Outcome) *riserDiagram {
	r := &riserDiagram{}
	row := map[string]int{}
	for _, l := range slices.Backward(o.Take.Levels) {
		row[l.Name] = len(r.levels)
		r.levels = append(r.levels, l.Name)
	}
	panel := map[string]int{}
	for _, p := range o.Take.Panels {
		if _, twice := panel[p.Name]; !twice {
			panel[p.Name] = len(r.panels)
			r.panels = append(r.panels, riserPanel{p.Name, row[p.Level]})
		}
	}
	for _, c := range o.Circuits {
		p, ok := panel[c.Panel]
		if !ok || len(c.Devices) == 0 {
			continue
		}
		col := riserColumn{panel: p, returns: c.Pathway.Looped(), cells: riserCells(o, c, row)}
		col.head = []string{c.Name, "CLASS " + string(c.Pathway), strings.TrimSpace("CABLE " + c.Cable.Name), "ORDER " + length(o, c.Order)}
		r.columns = append(r.columns, col)
	}
	if len(r.columns) == 0 {
		return nil
	}
	return r
}

// riserCells counts a circuit's devices by level and type, types in the job's order.
func riserCells(o *outcome.Outcome, c outcome.Laid, row map[string]int) map[int][]string {
	type key struct{ level, typ string }
	n := map[key]int{}
	last := ""
	byID := map[string]takeoff.Device{}
	for _, d := range o.Devices {
		byID[d.ID] = d.Device
	}
	for _, id := range c.Devices {
		d := byID[id]
		n[key{d.Level, d.Type}]++
		last = d.Level
	}
	out := map[int][]string{}
	for level, i := range row {
		for _, t := range o.Job.Types {
			if k := n[key{level, t.Type}]; k > 0 {
				out[i] = append(out[i], fmt.Sprintf("%d %s", k, strings.ToUpper(t.Name)))
			}
		}
	}
	for _, a := range c.Survival.Added {
		if i, ok := row[a.Level]; ok && a.Level != "" {
			out[i] = append(out[i], "1 ISOLATOR TO ADD")
		}
	}
	if !c.Pathway.Looped() && c.Kind != takeoff.SLC && !c.Taps {
		out[row[last]] = append(out[row[last]], "EOL")
	}
	return out
}

// length writes metres in the job's units.
func length(o *outcome.Outcome, m float64) string {
	return strings.ToUpper(o.Job.Report.Length(m, 0))
}
