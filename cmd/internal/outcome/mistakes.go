package outcome

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/cmd/internal/job"
	"loopwright/takeoff"
)

// mistakes adds what the job file itself says that can hardly be meant.
func (o *Outcome) mistakes() {
	o.Findings = append(o.Findings, o.Job.Doubts()...)
	o.aboveCeilings()
}

// aboveCeilings reports types that are mounted higher than the ceiling where they stand.
func (o *Outcome) aboveCeilings() {
	const slack = 0.001 // metres: what heights in two units may differ by
	for i, t := range o.Job.Types {
		if t.Mounting.Kind != takeoff.MountHeight {
			continue
		}
		var where []string
		for _, l := range o.Take.Levels {
			stands := func(d takeoff.Device) bool {
				return d.Type == t.Type && d.Level == l.Name && d.Status == takeoff.Counted
			}
			if t.Mounting.Height > l.Ceiling+slack && l.Ceiling >= job.LowCeiling && slices.ContainsFunc(o.Take.Devices, stands) {
				where = append(where, fmt.Sprintf("%s of %s", o.Job.Report.Length(l.Ceiling, 1), l.Name))
			}
		}
		if len(where) > 0 {
			o.Findings = append(o.Findings, takeoff.Finding{Code: job.CodeDoubt, Severity: takeoff.Warning, Key: fmt.Sprintf("types[%d].mounting", i),
				Message: fmt.Sprintf("%s is mounted %s above the floor, over the ceiling of %s: check the unit, or leave it if it stands above the ceiling",
					t.Type, o.Job.Report.Length(t.Mounting.Height, 1), strings.Join(where, " and "))})
		}
	}
}

// locate gives findings about a key of the job file the line that it is on, and names
// both in the message.
func (o *Outcome) locate() {
	for i := range o.Findings {
		if f := &o.Findings[i]; f.Key != "" && f.Line == 0 {
			at := o.Job.Complain(f.Key, "%s", f.Message)
			f.Line = at.Line
			f.Message = fmt.Sprintf("%s:%d: %s: %s", filepath.Base(at.File), at.Line, keyOf(f.Key), f.Message)
		}
	}
}

// keyOf is the key at the end of a path: units of plans[0].units, match of types[1].match[0].
func keyOf(path string) string {
	key, _, _ := strings.Cut(path[strings.LastIndex(path, ".")+1:], "[")
	return key
}
