package build

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
)

// towerType is a device of the building below: how it stands in the job file.
type towerType struct{ block, lines string }

var towerTypes = []towerType{
	{"SMK", `smoke, match: [{block: SMK}], mounting: ceiling, addresses: 1, points: [{function: smoke, event: "111"}], standby: 0.3 mA, alarm: 5 mA, material: 50, hours: 0.5`},
	{"HEAT", `heat, match: [{block: HEAT}], mounting: ceiling, addresses: 1, points: [{function: heat, event: "114"}], standby: 0.3 mA, alarm: 5 mA, material: 45, hours: 0.5`},
	{"PULL", `pull station, match: [{block: PULL}], mounting: 1.2 m, addresses: 1, points: [{function: pull, event: "115"}], standby: 0.3 mA, alarm: 5 mA, material: 50, hours: 0.5`},
	{"MOD", `input module, match: [{block: MOD}], mounting: wall, addresses: 1, points: [{function: waterflow, event: "113"}, {function: tamper, event: "203"}], standby: 0.4 mA, alarm: 2 mA, material: 80, hours: 1`},
	{"HS", `horn strobe, match: [{block: HS}], mounting: wall, standby: 0 mA, alarm: 100 mA, material: 60, hours: 1`},
}

// writeFloor draws one storey: nx by ten rooms of 6 m, each with a name, a
// door in its lower wall, and so many devices.
func writeFloor(tb testing.TB, file string, nx, perRoom int) {
	tb.Helper()
	f, err := os.Create(file)
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	defer w.Flush()
	tag := func(pairs ...any) {
		for i := 0; i < len(pairs); i += 2 {
			fmt.Fprintf(w, "%3d\n%v\n", pairs[i], pairs[i+1])
		}
	}
	layers := []string{"0", "A-WALL", "A-AREA-IDEN", "E-FIRE"}
	tag(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 0, "ENDSEC", 0, "SECTION", 2, "TABLES")
	tag(0, "TABLE", 2, "LTYPE", 70, 1, 0, "LTYPE", 2, "CONTINUOUS", 70, 0, 3, "Solid", 72, 65, 73, 0, 40, 0, 0, "ENDTAB")
	tag(0, "TABLE", 2, "LAYER", 70, len(layers))
	for i, l := range layers {
		tag(0, "LAYER", 2, l, 70, 0, 62, 7-i, 6, "CONTINUOUS")
	}
	tag(0, "ENDTAB", 0, "TABLE", 2, "STYLE", 70, 1, 0, "STYLE", 2, "STANDARD", 70, 0, 40, 0, 41, 1, 50, 0, 71, 0, 42, 0.2, 3, "txt", 4, "", 0, "ENDTAB")
	tag(0, "ENDSEC", 0, "SECTION", 2, "BLOCKS")
	for _, t := range towerTypes {
		tag(0, "BLOCK", 8, "0", 2, t.block, 70, 0, 10, 0, 20, 0, 3, t.block, 0, "CIRCLE", 8, "0", 10, 0, 20, 0, 40, 0.15, 0, "ENDBLK", 8, "0")
	}
	tag(0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	line := func(x1, y1, x2, y2 float64) { tag(0, "LINE", 8, "A-WALL", 10, x1, 20, y1, 11, x2, 21, y2) }
	const side, ny = 6.0, 10
	for i := range nx {
		for j := range ny {
			x, y := float64(i)*side, float64(j)*side
			line(x, y, x+2, y)
			if j == 0 {
				line(x+2, y, x+3, y)
			}
			line(x+3, y, x+side, y)
			line(x, y, x, y+side)
			tag(0, "TEXT", 8, "A-AREA-IDEN", 10, x+2, 20, y+4.6, 40, 0.2, 1, fmt.Sprintf("%d OFFICE", 100+j*nx+i))
			for k := range perRoom {
				// Off the grid by a little, as nothing on a plan stands in ranks.
				dx, dy := float64((i*7+j*3+k)%5)*0.11, float64((i*3+j*5+k)%7)*0.09
				tag(0, "INSERT", 8, "E-FIRE", 2, towerTypes[k%len(towerTypes)].block, 10, x+0.9+float64(k%3)*1.8+dx, 20, y+1.2+float64(k/3)*1.7+dy)
			}
		}
	}
	line(0, ny*side, float64(nx)*side, ny*side)
	line(float64(nx)*side, 0, float64(nx)*side, ny*side)
	tag(0, "ENDSEC", 0, "EOF")
}

// writeTower writes the drawings and the job file of a building.
func writeTower(tb testing.TB, dir string, levels, nx, perRoom int) (jobFile string) {
	tb.Helper()
	var b strings.Builder
	p := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	p("job: Tower\nreport: metric\nplans:")
	for l := 1; l <= levels; l++ {
		name := fmt.Sprintf("level-%d.dxf", l)
		writeFloor(tb, filepath.Join(dir, name), nx, perRoom)
		p("  - {drawing: %s, level: Level %d, units: m, elevation: %d m, datum: [0, 0], walls: [A-WALL]}", name, l, 4*(l-1))
	}
	p("types:")
	for _, t := range towerTypes {
		p("  - {type: %s}", t.lines)
	}
	p("panels:\n  - {panel: FACP, at: {level: Level 1, point: [1, 1]}, standby: 150 mA, alarm: 400 mA}")
	p("risers:\n  - {riser: shaft, at: {level: Level 1, point: [1.5, 1.5]}}")
	p("cables:\n  - {cable: a, conductor: 16 AWG solid}")
	p("circuits:")
	p("  - {circuit: SLC, circuits: auto, kind: slc, panel: FACP, pathway: A, cable: a, max_resistance: 50 ohm, addresses: {scheme: binary7, first: 1, last: 127, spare: 10%%}}")
	p("  - {circuit: NAC, circuits: auto, kind: nac, panel: FACP, pathway: B, cable: a, max_current: 2 A, start: 20.4 V, end: 16 V}")
	jobFile = filepath.Join(dir, "job.yaml")
	if err := os.WriteFile(jobFile, []byte(b.String()), 0o644); err != nil {
		tb.Fatal(err)
	}
	return jobFile
}

// BenchmarkBuild runs the whole job on 100, 1,000 and 10,000 devices; MB is
// what the process has ever taken from the system.  Cost an n log n device
// tells growth: it stays near the same where cost grows like n log n.  With
// LOOPWRIGHT_KEEP=folder the 10,000 are left there to be run by hand.
func BenchmarkBuild(b *testing.B) {
	for _, c := range []struct{ levels, nx, perRoom int }{{1, 10, 1}, {1, 20, 5}, {10, 20, 5}} {
		n := c.levels * c.nx * 10 * c.perRoom
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			if keep := os.Getenv("LOOPWRIGHT_KEEP"); keep != "" && c.levels == 10 {
				dir = keep
			}
			file := writeTower(b, dir, c.levels, c.nx, c.perRoom)
			for b.Loop() {
				j, err := job.Load(file)
				if err != nil {
					b.Fatal(err)
				}
				r, err := Run(j, filepath.Join(b.TempDir(), "out"), outcome.Known{}, nil)
				if err != nil {
					b.Fatal(err)
				}
				counted := 0
				for _, k := range r.Counts {
					counted += k.Count
				}
				if counted != n {
					b.Fatalf("%d devices counted, want %d", counted, n)
				}
				os.Remove(filepath.Join(dir, "job.ledger.csv"))
			}
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(float64(m.Sys)/(1<<20), "MB")
		})
	}
}
