package compare

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
)

// head is the first row of changes.csv.
var head = []string{"change", "id", "old_id", "type", "new_type", "level", "room", "new_room", "drawing", "handle",
	"from_x_m", "from_y_m", "to_x_m", "to_y_m", "distance_m", "circuit", "address", "new_circuit", "new_address", "why"}

// rows are the changes as rows of texts.
func (r Report) rows() [][]string {
	out := [][]string{head}
	for _, c := range r.Changes {
		fx, fy := pointCells(c.From)
		tx, ty := pointCells(c.To)
		out = append(out, []string{string(c.Change), c.ID, c.OldID, c.Type, c.NewType, c.Level, c.Room, c.NewRoom, c.Drawing, c.Handle,
			fx, fy, tx, ty, blank(c.Distance), c.Circuit, blank(float64(c.Address)), c.NewCircuit, blank(float64(c.NewAddress)), c.Why})
	}
	return out
}

func pointCells(p *[2]float64) (x, y string) {
	if p == nil {
		return "", ""
	}
	return strconv.FormatFloat(p[0], 'f', -1, 64), strconv.FormatFloat(p[1], 'f', -1, 64)
}

func blank(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// Write writes changes.csv, changes.json and a marked copy of every drawing of
// the new revision that has changes into dir, all together or none, and never over
// an input. A drawing that cannot be marked is a finding. What is said tells of
// files that somebody had worked on.
func (r *Report) Write(old, fresh Side, dir string) (said []string, err error) {
	outs := []build.Output{{Name: "changes.csv", Data: build.Table(r.rows())}}
	r.unmarked()
	taken := map[string]bool{}
	for _, d := range drawings(fresh, r.marks) {
		var ms []mark
		for _, m := range r.marks {
			if m.drawing == d {
				ms = append(ms, m)
			}
		}
		data, err := marked(fresh, old.file, d, ms)
		if err != nil {
			r.Findings = append(r.Findings, finding(codeNotMarked, takeoff.Error, d, fmt.Sprintf("the changes cannot be marked on %s: %v", d, err)))
			continue
		}
		outs = append(outs, build.Output{Name: build.PlanName(d, taken), Data: data})
	}
	for _, o := range outs {
		r.Outputs = append(r.Outputs, o.Name)
	}
	r.Outputs = append(r.Outputs, recordName)
	r.Sums = build.Sums(outs)
	var b bytes.Buffer
	if err := result.WriteJSON(&b, r); err != nil {
		return nil, err
	}
	return build.WriteAll(dir, recordName, append(outs, build.Output{Name: recordName, Data: b.Bytes()}), slices.Concat(old.inputs(), fresh.inputs()))
}

// recordName is the file that tells about the others.
const recordName = "changes.json"

// unmarked reports changes that stand on no drawing of the new revision.
func (r *Report) unmarked() {
	n := 0
	for _, m := range r.marks {
		if m.drawing == "" {
			n++
		}
	}
	if n > 0 {
		r.Findings = append(r.Findings, finding(codeNoSheet, takeoff.Note, "", fmt.Sprintf("%d change(s) are on levels with no drawing in the new revision: they are listed, not marked", n)))
	}
}
