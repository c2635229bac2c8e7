package build

import (
	"fmt"
	"path"
	"path/filepath"
	"strings"

	"loopwright/cmd/internal/drafting"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/parallel"
)

// drawPlans draws what was decided on a copy of every drawing. A drawing that
// cannot be edited is a finding: the other deliverables do not depend on it.
func drawPlans(o *outcome.Outcome) ([]Output, []takeoff.Finding) {
	names := drafting.Drawings(o)
	drawn := make([]drafting.Annotated, len(names))
	refused := make([]error, len(names))
	// A drawing in work is held several times over: no more of them at once than
	// there are processors. An error costs only its own drawing.
	parallel.For(len(names), func(i int) { drawn[i], refused[i] = drafting.Plan(o, names[i]) })
	var outs []Output
	var fs []takeoff.Finding
	taken := map[string]bool{}
	for i, name := range names {
		file := PlanName(name, taken)
		if err := refused[i]; err != nil {
			fs = append(fs, drafting.Refused(name, err))
			continue
		}
		fs = append(fs, drawn[i].Findings...)
		outs = append(outs, Output{file, drawn[i].Bytes})
	}
	return outs, fs
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
