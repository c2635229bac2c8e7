package inspect

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// TestStackedFigures: copies of an exploded symbol on one spot count once, and
// one that a proposal of [Files] shows is found by that very proposal.
func TestStackedFigures(t *testing.T) {
	for _, row := range []struct {
		name  string
		spots [][2]float64
		count int // that count
		twice int // left out as copies
	}{
		{"apart", [][2]float64{{60, 400}, {300, 400}, {500, 100}}, 3, 0},
		{"one pair", [][2]float64{{60, 400}, {300, 400}, {300, 400}, {500, 100}}, 3, 1},
		{"three on a spot", [][2]float64{{60, 400}, {60, 400}, {60, 400}, {500, 100}}, 2, 2},
		{"the sample itself twice", [][2]float64{{60, 400}, {60, 400}, {500, 100}}, 2, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			var b strings.Builder
			b.WriteString("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
			for i, p := range row.spots {
				fmt.Fprintf(&b, "0\nCIRCLE\n5\n%X\n8\nE-FIRE\n10\n%g\n20\n%g\n40\n9\n", 0x100+2*i, p[0], p[1])
				fmt.Fprintf(&b, "0\nTEXT\n5\n%X\n8\nE-FIRE\n10\n%g\n20\n%g\n40\n8\n1\nS\n", 0x101+2*i, p[0]-3, p[1]-4)
			}
			b.WriteString("0\nENDSEC\n0\nEOF\n")
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "plan.dxf"), []byte(b.String()), 0o666); err != nil {
				t.Fatal(err)
			}
			_, look, err := Files([]string{filepath.Join(dir, "plan.dxf")})
			if err != nil {
				t.Fatal(err)
			}
			sample, figures := geom.Pt(60, 400), 0
			for _, a := range look.Account(0, nil) {
				if a.Form == "figure" && a.Unexplained() {
					sample, figures = geom.Pt(a.X, a.Y), figures+1
				}
			}
			if row.count > 1 && len(row.spots) == row.count && figures != 1 {
				t.Errorf("%d figures proposed, want 1", figures)
			}
			r, err := takeoff.Take(takeoff.Request{Folder: dir, Plans: []takeoff.Plan{{Drawing: "plan.dxf", Level: "L1", Units: "in"}},
				Types: []takeoff.DeviceType{{Type: "smoke", Match: []words.Match{{Sample: &sample, Layer: "E-FIRE"}}}}})
			if err != nil {
				t.Fatal(err)
			}
			n := map[takeoff.Status]int{}
			for _, d := range r.Devices {
				n[d.Status]++
				if d.Status == takeoff.Excluded && d.Reason != takeoff.Duplicate {
					t.Errorf("%s left out as %s", d.ID, d.Reason)
				}
			}
			if n[takeoff.Counted] != row.count || n[takeoff.Excluded] != row.twice {
				t.Errorf("%d count and %d are copies, want %d and %d", n[takeoff.Counted], n[takeoff.Excluded], row.count, row.twice)
			}
		})
	}
}
