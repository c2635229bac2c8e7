package build

import (
	"fmt"
	"path"
	"path/filepath"
	"strconv"
	"strings"

	"loopwright/cmd/internal/drafting"
	"loopwright/takeoff/dxf"
)

// plans writes the addresses into a copy of every drawing.
func (o *Outcome) plans() ([]Output, error) {
	var outs []Output
	taken := map[string]bool{}
	for _, name := range o.drawings() {
		s := o.sheetFor(name)
		d, err := dxf.Open(o.Job.Resolve(name))
		if err != nil {
			return nil, err
		}
		data, fs, err := drafting.Annotate(d, s)
		d.Close()
		if err != nil {
			return nil, fmt.Errorf("labels on %s: %w", name, err)
		}
		o.Findings = append(o.Findings, fs...)
		outs = append(outs, Output{"plans/" + unique(planName(name), taken), data})
	}
	return outs, nil
}

// drawings lists the job's drawings, each once, in the order of its plans.
func (o *Outcome) drawings() []string {
	var names []string
	seen := map[string]bool{}
	for _, p := range o.Job.Plans {
		if p.Drawing != "" && !seen[p.Drawing] {
			seen[p.Drawing] = true
			names = append(names, p.Drawing)
		}
	}
	return names
}

// planName is the name of a drawing's labeled copy: its own, without folders.
func planName(drawing string) string {
	return portable(path.Base(filepath.ToSlash(drawing)))
}

// PlanName is the name of an edited copy of a drawing in a folder of outputs;
// taken remembers the names given out.
func PlanName(drawing string, taken map[string]bool) string {
	return "plans/" + unique(planName(drawing), taken)
}

// unique tells two drawings of one name in different folders apart.
func unique(name string, taken map[string]bool) string {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	out := name
	for i := 2; taken[strings.ToLower(out)]; i++ {
		out = fmt.Sprintf("%s-%d%s", stem, i, ext)
	}
	taken[strings.ToLower(out)] = true
	return out
}

func (o *Outcome) sheetFor(drawing string) drafting.Sheet {
	s := drafting.Sheet{Drawing: drawing, Layers: o.Job.Label.Layers}
	for _, l := range o.Take.Levels {
		for _, sh := range l.Sheets {
			if sh.Plan.Drawing == drawing {
				s.Height = o.Job.Label.Height * o.Job.Label.PlotScale / sh.MetrePer
				s.Walls = append(s.Walls, sh.Plan.Walls...)
			}
		}
	}
	for _, d := range o.Devices {
		if d.Drawing != drawing || d.Address == 0 {
			continue
		}
		words := map[string]string{"circuit": d.Circuit, "address": strconv.Itoa(d.Address), "order": strconv.Itoa(d.Order),
			"id": d.ID, "type": d.Type, "level": d.Level, "room": d.Room, "point": strconv.Itoa(d.Address)}
		s.Marks = append(s.Marks, drafting.Mark{ID: d.ID, Text: drafting.Expand(o.Job.Label.Pattern, words), At: d.At, Symbol: d.Symbol, Handle: d.Handle})
	}
	return s
}
