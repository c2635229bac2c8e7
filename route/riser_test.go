package route

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff"
)

// One panel, whatever number of circuits: one finding, its levels in the order of the building.
func TestRiserFindings(t *testing.T) {
	b := Building{Panels: []Panel{{Name: "P", Level: "L0"}, {Name: "Q", Level: "L0"}}}
	for i := range 3 {
		b.Levels = append(b.Levels, takeoff.Level{Name: fmt.Sprintf("L%d", i)})
	}
	circuits := []Circuit{
		{Spec: Spec{Name: "A", Panel: "P"}, Unjoined: []string{"L2"}},
		{Spec: Spec{Name: "B", Panel: "P"}},
		{Spec: Spec{Name: "C", Panel: "P"}, Unjoined: []string{"L2", "L1"}},
		{Spec: Spec{Name: "D", Panel: "Q"}, Unjoined: []string{"L1"}},
	}
	var got []string
	for _, f := range RiserFindings(b, circuits) {
		got = append(got, f.String())
	}
	want := `F301 warning: no riser connects L0 with L1, L2: the cable of 2 circuits (A, C) goes straight up above panel P; add the shaft under risers, one row of the same name for each level it passes
F301 warning: no riser connects L0 with L1: the cable of circuit D goes straight up above panel Q; add the shaft under risers, one row of the same name for each level it passes`
	if strings.Join(got, "\n") != want {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	if fs := RiserFindings(b, circuits[1:2]); len(fs) > 0 {
		t.Errorf("all joined, and yet %v", fs)
	}
}
