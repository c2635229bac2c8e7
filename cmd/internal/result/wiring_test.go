package result

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
)

// writeWired writes a drawing in metres: detectors at places, wires as lines from point to point.
func writeWired(t *testing.T, file string, detectors [][2]float64, wires ...[]float64) {
	t.Helper()
	var b strings.Builder
	tag := func(pairs ...any) {
		for i := 0; i < len(pairs); i += 2 {
			fmt.Fprintf(&b, "%3d\n%v\n", pairs[i], pairs[i+1])
		}
	}
	tag(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 0, "ENDSEC", 0, "SECTION", 2, "BLOCKS",
		0, "BLOCK", 8, "0", 2, "SMK", 70, 0, 10, 0, 20, 0, 3, "SMK", 0, "CIRCLE", 8, "0", 10, 0, 20, 0, 40, 0.15, 0, "ENDBLK", 8, "0",
		0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	for _, d := range detectors {
		tag(0, "INSERT", 8, "E-FIRE", 2, "SMK", 10, d[0], 20, d[1])
	}
	for _, w := range wires {
		for i := 2; i < len(w); i += 2 {
			tag(0, "LINE", 8, "E-WIRE", 10, w[i-2], 20, w[i-1], 11, w[i], 21, w[i+1])
		}
	}
	tag(0, "ENDSEC", 0, "EOF")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A class A circuit drawn over two levels whose drawings have different origins.
// By hand, in metres: level 1 10 + 10 out, 6 + 20 + 6 home; level 2 10, 10 and 20; 4 up and 4 down.
// Cable runs at ceiling height and the panel is as high, so there are no drops. Ids run from the top of a sheet: L2-002 is at y 0.
func TestDrawnWiringOverTwoLevels(t *testing.T) {
	dir := t.TempDir()
	writeWired(t, filepath.Join(dir, "1.dxf"), [][2]float64{{10, 0}}, []float64{0, 0, 10, 0}, []float64{10, 0, 20, 0}, []float64{20, 0, 20, 6, 0, 6, 0, 0})
	// The second drawing lies 1000 m to the right, as its datum says.
	writeWired(t, filepath.Join(dir, "2.dxf"), [][2]float64{{1030, 0}, {1030, 10}},
		[]float64{1020, 0, 1030, 0}, []float64{1030, 0, 1030, 10}, []float64{1030, 10, 1020, 10, 1020, 0})
	yaml := `
job: Wired
report: metric
plans:
- {drawing: 1.dxf, level: Level 1, units: m, elevation: 0 m, ceiling: 3 m, cable_height: 3 m, datum: [0, 0], wiring: [E-WIRE]}
- {drawing: 2.dxf, level: Level 2, units: m, elevation: 4 m, ceiling: 3 m, cable_height: 3 m, datum: [1000, 0], wiring: [E-WIRE]}
types: [{type: smoke, match: [{block: SMK}]}]
panels: [{panel: FACP, mounting: 3 m, at: {level: Level 1, point: [0, 0]}}]
risers: [{riser: R, at: {point: [20, 0]}}]
circuits: [{circuit: S, pathway: A}]
cables: [{cable: 16/2, conductor: 16 AWG solid}]
route: {along: wiring}
`
	file := filepath.Join(dir, "job.yaml")
	if err := os.WriteFile(file, []byte(yaml), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	o, err := outcome.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := Of(o, nil).Circuits[0]
	var walk []string
	for _, l := range c.Legs {
		walk = append(walk, fmt.Sprintf("%s-%s %.3f/%.3f %s", l.From, l.To, l.Length, l.Rise, l.Via))
	}
	want := "FACP-L1-001 10.000/0.000 wiring, L1-001-L2-002 24.000/4.000 wiring, L2-002-L2-001 10.000/0.000 wiring, L2-001-FACP 56.000/4.000 wiring"
	if got := strings.Join(walk, ", "); got != want || math.Abs(c.Length-100) > 1e-6 {
		t.Errorf("%.3f m: %s\nwant 100 m: %s\n%v", c.Length, got, want, o.Findings)
	}
	if n := codes(o)["F304"]; n > 0 {
		t.Errorf("the wiring is whole, and yet: %v", o.Findings)
	}
}
