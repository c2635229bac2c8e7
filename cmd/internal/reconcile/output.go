package reconcile

import (
	"cmp"
	"fmt"
	"io"
	"strconv"
	"strings"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
)

// outputs makes every file.
func (m *merger) outputs() ([]build.Output, error) {
	plans, fs := asBuiltPlans(m.outcome, m.marks())
	for _, f := range fs {
		m.diffs = append(m.diffs, Difference{Code: f.Code, Severity: f.Severity, What: "drawing", Source: f.Drawing, Message: f.Message})
	}
	book, err := m.workbook()
	if err != nil {
		return nil, err
	}
	diffs, readings := build.Table(m.differenceRows()), build.Table(m.readingRows())
	return append([]build.Output{{Name: "takeoff.xlsx", Data: book}, {Name: "differences.csv", Data: diffs}, {Name: "readings.csv", Data: readings}}, plans...), nil
}

// marks are the texts for the drawings: the address as found, and the planned
// one behind it where they are not the same.
func (m *merger) marks() map[string]string {
	out := map[string]string{}
	for _, s := range m.states {
		if s.Address == 0 && len(s.found) == 0 {
			continue
		}
		switch found := strings.Join(strings.Split(values(s.found), "; "), " OR "); {
		case found == "" && s.installed():
			out[s.ID] = strconv.Itoa(s.Address)
		case found == "":
		case found == strconv.Itoa(s.Address):
			out[s.ID] = found
		default:
			out[s.ID] = fmt.Sprintf("%s (PLANNED %s)", found, strings.ToUpper(none(s.Address)))
		}
	}
	return out
}

func (m *merger) differenceRows() [][]string {
	rows := [][]string{{"code", "severity", "what", "circuit", "id", "level", "room", "planned", "found", "source", "message"}}
	for _, d := range m.diffs {
		rows = append(rows, []string{d.Code, d.Severity.String(), d.What, d.Circuit, d.ID, d.Level, d.Room, d.Planned, d.Found, d.Source, d.Message})
	}
	return rows
}

func (m *merger) readingRows() [][]string {
	rows := [][]string{{"circuit", "end", "ohm", "volt", "computed at 20 C", "computed", "limit", "verdict", "initials", "date", "source"}}
	for _, x := range m.readings {
		row := []string{x.Circuit, x.End, x.Ohm, x.Volt, "", "", "", x.verdict, x.Initials, x.Date, x.source}
		switch {
		case !x.computes():
		case x.input:
			row[5] = fmt.Sprintf("%.2f to %.2f", x.at20, x.hot)
		default:
			row[4], row[5] = fmt.Sprintf("%.2f", x.at20), fmt.Sprintf("%.2f", x.hot)
		}
		if x.limit > 0 {
			row[6] = strconv.FormatFloat(x.limit, 'f', -1, 64)
		}
		rows = append(rows, row)
	}
	return rows
}

// WriteText writes a result as people read it on a screen.
func WriteText(w io.Writer, r Result, dir string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, as built\n\n", r.Job)
	for _, s := range r.Sources {
		fmt.Fprintf(&b, "%s: %s, %d devices, %d readings\n", s.File, s.Kind, s.Devices, s.Readings)
	}
	fmt.Fprintf(&b, "\n%-12s %8s %6s %11s %8s %9s\n", "circuit", "devices", "done", "as planned", "other", "problems")
	for _, c := range r.Circuits {
		if c.Devices == 0 {
			continue // every device there is counted on another circuit
		}
		name := c.Circuit
		if name == "" {
			name = "on none"
		}
		fmt.Fprintf(&b, "%-12s %8d %6d %11d %8d %9d\n", name, c.Devices, c.Done, c.Confirmed, c.Other, c.Problems)
	}
	for _, x := range r.Readings {
		computed := ""
		if x.Computed > 0 {
			computed = fmt.Sprintf(", %.2f to %.2f ohm computed", cmp.Or(x.Least, x.Computed20), x.Computed)
		}
		fmt.Fprintf(&b, "\n%s, %s: %s ohm measured%s, %s (%s)", x.Circuit, x.End, x.Entered, computed, x.Verdict, x.Source)
	}
	if len(r.Readings) > 0 {
		b.WriteString("\n")
	}
	if len(r.Findings) > 0 {
		fmt.Fprintf(&b, "\n%s\n", result.HowMany(len(r.Findings)))
	}
	for i, f := range r.Findings {
		if i == shownFindings {
			fmt.Fprintf(&b, "%d more in differences.csv\n", len(r.Findings)-shownFindings)
			break
		}
		fmt.Fprintf(&b, "%s %s: %s\n", f.Code, f.Severity, strings.ReplaceAll(f.Message, "\n", " / "))
	}
	fmt.Fprintf(&b, "\nWritten to %s: %s\nLedger: %s\n\n%s\n", dir, strings.Join(r.Outputs, ", "), r.Ledger, takeoff.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

// shownFindings is how many findings are spelled out on the screen.
const shownFindings = 60
