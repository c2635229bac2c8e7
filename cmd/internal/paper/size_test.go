package paper

import (
	"fmt"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// many is a job of 2,000 devices on 16 circuits and 4 levels.
func many(t testing.TB) *outcome.Outcome {
	t.Helper()
	typ := takeoff.DeviceType{Type: "smoke", Name: "Smoke detector", Addresses: 1, WiredTo: []takeoff.CircuitKind{takeoff.SLC},
		Points: []takeoff.Point{{Function: "smoke", Event: "111"}}}
	w := &outcome.Outcome{Job: &job.Job{Name: "Test", Types: []job.Type{{DeviceType: typ}}, Circuits: []job.Circuit{{Circuit: "SLC"}},
		Stickers: job.Stickers{Page: "letter", Columns: 3, Rows: 10, Size: geom.Pt(0.0667, 0.0254), Margins: geom.Pt(0.0048, 0.0127), Pitch: geom.Pt(0.0699, 0.0254)}}}
	for i := range 4 {
		w.Take.Levels = append(w.Take.Levels, takeoff.Level{Name: fmt.Sprintf("Level %d", i+1), Index: i})
	}
	cable, err := wire.ParseConductor("16 AWG solid")
	if err != nil {
		t.Fatal(err)
	}
	var devices []takeoff.Device
	var walks []assign.Walk
	for c := range 16 {
		level := fmt.Sprintf("Level %d", c/4+1)
		l := outcome.Laid{Circuit: route.Circuit{Spec: route.Spec{Name: fmt.Sprintf("SLC-%d", c+1), Kind: takeoff.SLC, Panel: "P", Pathway: circuit.ClassA,
			Cable: route.Cable{Name: "16/2", Conductor: cable, Temperature: 75}}},
			Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127}}
		last, at := "P", geom.Pt(0, 0)
		for k := range 125 {
			id := fmt.Sprintf("L%d-%03d", c/4+1, c%4*125+k)
			p := geom.Pt(float64(c%4)*30+float64(k%12)*2.5, float64(k/12)*4)
			devices = append(devices, takeoff.Device{ID: id, Type: "smoke", Level: level, Room: "103 READING ROOM", Status: takeoff.Counted, Pos: p})
			l.Devices = append(l.Devices, id)
			l.Legs = append(l.Legs, route.Leg{From: last, To: id, Length: 5, Stretches: []route.Stretch{{Level: level, Points: []geom.Point{at, geom.Pt(p.X, at.Y), p}}}})
			last, at = id, p
		}
		l.Legs = append(l.Legs, route.Leg{From: last, To: "P", Length: 5, Return: true})
		walks = append(walks, assign.Walk{Circuit: l.Name, Kind: l.Kind, Devices: l.Devices, Addressing: l.Addressing})
		if l.Proof, _, err = route.Prove(route.Building{Types: w.Job.DeviceTypes()}, l.Circuit, devices); err != nil {
			t.Fatal(err)
		}
		w.Circuits = append(w.Circuits, l)
	}
	w.Devices, _ = assign.Number(devices, w.Job.DeviceTypes(), walks)
	return w
}

func TestManyDevices(t *testing.T) {
	files, _, err := Documents(many(t))
	if err != nil || len(files) != 4 {
		t.Fatal(len(files), err)
	}
}

func BenchmarkDocuments2000(b *testing.B) {
	w := many(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Documents(w); err != nil {
			b.Fatal(err)
		}
	}
}

func TestKeysAreDistinct(t *testing.T) {
	var types []job.Type
	for _, n := range []string{"smoke", "strobe", "heat", "co", "duct smoke", "sounder base", "s", "スモーク", "!!", "horn strobe", "smoke"} {
		types = append(types, job.Type{DeviceType: takeoff.DeviceType{Type: n}})
	}
	b := binder{Outcome: &outcome.Outcome{Job: &job.Job{Types: types}}}
	keys := b.keys()
	seen := map[string]string{}
	for typ, k := range keys {
		if other, ok := seen[k]; ok || k == "" || len([]rune(k)) > 2 {
			t.Errorf("%q and %q share the letters %q", typ, other, k)
		}
		seen[k] = typ
	}
	for typ, want := range map[string]string{"smoke": "S", "strobe": "ST", "co": "CO", "duct smoke": "DS", "heat": "H"} {
		if keys[typ] != want {
			t.Errorf("%s is marked %q, want %q", typ, keys[typ], want)
		}
	}
}
