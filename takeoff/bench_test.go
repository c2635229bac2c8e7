package takeoff

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"loopwright/takeoff/words"
)

// writeLevel writes a plan of rooms, each with a name, four walls with a door
// gap, and so many devices of two types.
func writeLevel(tb testing.TB, file string, nx, ny, perRoom int) (devices int) {
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
	tag(0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009", 0, "ENDSEC", 0, "SECTION", 2, "BLOCKS")
	for _, b := range []string{"SMK", "HEAT"} {
		tag(0, "BLOCK", 8, "0", 2, b, 70, 0, 10, 0, 20, 0, 3, b, 0, "CIRCLE", 8, "0", 10, 0, 20, 0, 40, 9, 0, "ENDBLK", 8, "0")
	}
	tag(0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	line := func(x1, y1, x2, y2 float64) { tag(0, "LINE", 8, "A-WALL", 10, x1, 20, y1, 11, x2, 21, y2) }
	const side = 240.0 // inches
	for i := range nx {
		for j := range ny {
			x, y := float64(i)*side, float64(j)*side
			line(x, y, x+100, y)
			line(x+136, y, x+side, y)
			line(x, y, x, y+side)
			tag(0, "TEXT", 8, "A-AREA-IDEN", 10, x+60, 20, y+120, 40, 8, 1, fmt.Sprintf("%d OFFICE", 100+j*nx+i))
			for k := range perRoom {
				tag(0, "INSERT", 8, "E-FIRE", 2, []string{"SMK", "HEAT"}[k%2], 10, x+30+float64(k%6)*36, 20, y+30+float64(k/6)*36)
				devices++
			}
		}
	}
	line(0, float64(ny)*side, float64(nx)*side, float64(ny)*side)
	line(float64(nx)*side, 0, float64(nx)*side, float64(ny)*side)
	tag(0, "ENDSEC", 0, "EOF")
	return devices
}

// tower writes a building and returns the takeoff that asks for its devices.
func tower(tb testing.TB, levels, perLevel int) (Request, int) {
	dir := tb.TempDir()
	req := Request{Folder: dir, Types: []DeviceType{
		{Type: "smoke", Match: []words.Match{{Block: "*SMK*", Layer: "E-FIRE*"}}, Addresses: 1},
		{Type: "heat", Match: []words.Match{{Block: "*HEAT*", Layer: "E-FIRE*"}}, Addresses: 1},
	}}
	n := 0
	for l := range levels {
		name := fmt.Sprintf("level-%d.dxf", l)
		n += writeLevel(tb, filepath.Join(dir, name), 20, 10, perLevel/200)
		req.Plans = append(req.Plans, Plan{Drawing: name, Level: fmt.Sprintf("Level %d", l), Units: "in", Walls: []string{"A-WALL"},
			Elevation: 4 * float64(l), Ceiling: 3, CableHeight: 3.3, Hidden: HiddenExclude})
	}
	return req, n
}

// BenchmarkTake takes 1,000 and 10,000 devices off ten levels; MB is what the
// process has ever taken from the system, so far.
func BenchmarkTake(b *testing.B) {
	for _, perLevel := range []int{200, 1000, 4000} {
		b.Run(fmt.Sprintf("10x%d", perLevel), func(b *testing.B) {
			req, n := tower(b, 10, perLevel)
			b.ReportAllocs()
			for b.Loop() {
				r, err := Take(req)
				if err != nil {
					b.Fatal(err)
				}
				if len(r.Devices) != n {
					b.Fatalf("%d devices, want %d", len(r.Devices), n)
				}
			}
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(float64(m.Sys)/(1<<20), "MB")
			b.ReportMetric(float64(n), "devices")
		})
	}
}

// TestTower takes a whole building off: every device counts, in the room whose
// name its walls enclose.
func TestTower(t *testing.T) {
	req, n := tower(t, 2, 1000)
	r, err := Take(req)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Devices) != n || len(r.Rooms) != 400 {
		t.Fatalf("%d devices in %d rooms, want %d in 400", len(r.Devices), len(r.Rooms), n)
	}
	for _, d := range r.Devices {
		want := fmt.Sprintf("%d OFFICE", 100+int(d.At.Y/240)*20+int(d.At.X/240))
		if d.Status != Counted || d.Room != want {
			t.Errorf("%s at %v: %s in %q, want %q", d.Type, d.At, d.Status, d.Room, want)
		}
	}
	again, err := Take(req)
	if err != nil || fmt.Sprint(again) != fmt.Sprint(r) {
		t.Error("a second takeoff differs from the first", err)
	}
}
