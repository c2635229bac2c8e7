package drafting

import (
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff/dxf/edit"
)

// Drawings lists the job's drawings, each once, in the order of its plans.
func Drawings(o *outcome.Outcome) []string {
	var names []string
	for _, p := range o.Job.Plans {
		if p.Drawing != "" && !slices.Contains(names, p.Drawing) {
			names = append(names, p.Drawing)
		}
	}
	return names
}

// Plan is a copy of a drawing of the job with all that was decided.
func Plan(o *outcome.Outcome, drawing string) (Annotated, error) {
	s, err := compose(o, drawing)
	if err != nil {
		return Annotated{}, err
	}
	return annotateFile(o, s)
}

// asBuiltLayers stands before the kind in the names of the layers that found
// addresses stand on.
const asBuiltLayers = "ASBT-{kind}"

// AsBuilt is a copy of a drawing of the job with texts beside its devices, by
// their ids, on layers of their own and with nothing else of ours; no bytes if
// it shows none of the devices.
func AsBuilt(o *outcome.Outcome, drawing string, texts map[string]string) (Annotated, error) {
	bare := *o
	bare.Circuits = nil // where cable runs is no matter of found addresses
	s, err := compose(&bare, drawing)
	if err != nil {
		return Annotated{}, err
	}
	s.layers = strings.ReplaceAll(s.layers, "{kind}", asBuiltLayers)
	s.attribute, s.schedule, s.riser = "", nil, nil
	var marks []mark
	for _, m := range s.marks {
		if m.text = texts[m.id]; m.text != "" {
			m.kind = kindAddress
			marks = append(marks, m)
		}
	}
	if s.marks = marks; len(marks) == 0 {
		return Annotated{}, nil
	}
	return annotateFile(o, s)
}

func annotateFile(o *outcome.Outcome, s sheet) (Annotated, error) {
	d, err := edit.Open(o.Job.Resolve(s.drawing))
	if err != nil {
		return Annotated{}, err
	}
	defer d.Close()
	return annotate(d, s)
}
