package workbook_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// large is a building of ten levels with n devices on a grid, every tenth of
// them an appliance, in circuits of 100, each plan with 5,000 lines.
func large(t testing.TB, n int) *outcome.Outcome {
	t.Helper()
	in := smallWith(t, nil)
	const levels = 10
	in.Take.Levels, in.Take.Devices, in.Devices, in.Circuits = nil, nil, nil, nil
	types := in.Job.DeviceTypes()
	var walks []assign.Walk
	for l := range levels {
		level := takeoff.Level{Name: fmt.Sprintf("Level %d", l+1), Index: l, Elevation: 4 * float64(l), Ceiling: 3, CableHeight: 3.3}
		level.Sheets = []takeoff.Sheet{{Plan: takeoff.Plan{Drawing: fmt.Sprintf("level-%d.dxf", l+1), Level: level.Name, Walls: []string{"A-WALL"}}, Units: "m", UnitsFrom: "header", MetrePer: 1, ToBuilding: geom.Identity()}}
		in.Take.Levels = append(in.Take.Levels, level)
		for i := range n / levels {
			ty := types[[]int{0, 0, 1, 2, 4}[i%5]]
			p := geom.Pt(float64(i%40)*6, float64(i/40)*6)
			in.Take.Devices = append(in.Take.Devices, takeoff.Device{ID: fmt.Sprintf("L%d-%04d", l+1, i+1), Type: ty.Type, Level: level.Name, Room: fmt.Sprintf("%d%02d ROOM", l+1, i/10),
				Status: takeoff.Counted, Drawing: level.Sheets[0].Plan.Drawing, Handle: fmt.Sprintf("%X", 0x200+i), At: p, Pos: p, Symbol: geom.Around(p, 0.4, 0.4)})
		}
	}
	cs := laid(t)
	chain := func(name string, spec route.Spec, ds []takeoff.Device) {
		c := route.Circuit{Spec: spec}
		c.Name = name
		from, at := c.Panel, geom.Pt(0, 0)
		for _, d := range ds {
			c.Devices = append(c.Devices, d.ID)
			h := d.Pos.Sub(at).Len()
			c.Legs = append(c.Legs, route.Leg{From: from, To: d.ID, Horizontal: h, Drop: 0.6, Length: h + 0.6, Slack: 0.3, Via: "rectilinear",
				Stretches: []route.Stretch{{Level: d.Level, Points: []geom.Point{at, d.Pos}}}})
			from, at = d.ID, d.Pos
		}
		if c.Pathway.Looped() {
			c.Legs = append(c.Legs, route.Leg{From: from, To: c.Panel, Horizontal: at.Len(), Length: at.Len(), Return: true, Via: "rectilinear", Stretches: []route.Stretch{{Level: ds[len(ds)-1].Level, Points: []geom.Point{at, {}}}}})
		}
		proof, _, err := route.Prove(route.Building{Types: types}, c, in.Take.Devices)
		if err != nil {
			t.Fatal(err)
		}
		a := assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127}
		x := outcome.Laid{Circuit: c, Proof: proof, Addressing: a}
		if c.Kind == takeoff.SLC {
			x.Survival, x.Limits.Zones = faults(c), 1
		}
		in.Circuits = append(in.Circuits, x)
		walks = append(walks, assign.Walk{Circuit: name, Kind: c.Kind, Devices: c.Devices, Addressing: a})
	}
	var slc, nac []takeoff.Device
	for _, d := range in.Take.Devices {
		if d.Type == types[4].Type {
			if nac = append(nac, d); len(nac) == 20 {
				chain(fmt.Sprintf("NAC-%d", len(in.Circuits)), cs[1].Spec, nac)
				nac = nil
			}
		} else if slc = append(slc, d); len(slc) == 100 {
			chain(fmt.Sprintf("SLC-%d", len(in.Circuits)), cs[0].Spec, slc)
			slc = nil
		}
	}
	in.Devices, _ = assign.Number(in.Take.Devices, types, walks)
	in.Job.File = filepath.Join(t.TempDir(), "job.yaml")
	for _, l := range in.Take.Levels {
		linework(t, in.Job.Resolve(l.Sheets[0].Plan.Drawing))
	}
	return in
}

// linework writes a drawing of 5,000 lines in metres, every seventh of a wall.
func linework(t testing.TB, file string) {
	t.Helper()
	var b bytes.Buffer
	b.WriteString("0\nSECTION\n2\nENTITIES\n")
	for i := range 5000 {
		x, y := float64(i%100)*2.4, float64(i/100)*3
		layer := "A-FURN"
		if i%7 == 0 {
			layer = "A-WALL"
		}
		fmt.Fprintf(&b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", layer, x, y, x+2, y+float64(i%3))
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkWrite(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			in := large(b, n)
			var size, peak int
			for b.Loop() {
				var before, after runtime.MemStats
				runtime.GC()
				runtime.ReadMemStats(&before)
				var buf bytes.Buffer
				if err := workbook.Write(&buf, in); err != nil {
					b.Fatal(err)
				}
				runtime.ReadMemStats(&after)
				size, peak = buf.Len(), int(after.HeapSys-after.HeapReleased)
			}
			b.ReportMetric(float64(size)/1e6, "MB-file")
			b.ReportMetric(float64(peak)/1e6, "MB-heap")
		})
	}
}

// TestAgainstLibreOfficeLarge opens ten thousand devices on ten levels in LibreOffice: equal
// values in every formula cell.
func TestAgainstLibreOfficeLarge(t *testing.T) {
	against.Program(t, "soffice")
	in := large(t, 10_000)
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	path := file(t, in)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	saved := recalculate(t, path)[0]
	n := compare(t, sheets, saved)
	t.Logf("%s: %d bytes, %d formula cells compared", filepath.Base(path), info.Size(), n)
}
