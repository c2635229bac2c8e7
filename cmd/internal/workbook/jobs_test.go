package workbook_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// input runs a job up to what its workbook shows.
func input(t testing.TB, file string) *outcome.Outcome {
	t.Helper()
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	o, err := outcome.Compute(j, nil)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// small is the small job with its circuits as they were laid once: what the
// sheets say of them must not change when routes get better.
func small(t testing.TB) *outcome.Outcome { return smallWith(t, nil) }

// smallWith is the small job after an edit that changes no route.
func smallWith(t testing.TB, edit func(*job.Job)) *outcome.Outcome {
	t.Helper()
	j, err := job.Load(filepath.Join("testdata", "small", "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(j)
	}
	take, err := takeoff.Take(takeoff.Request{Folder: filepath.Dir(j.File), Plans: j.Plans, Types: j.DeviceTypes(),
		Panels: []takeoff.Landmark{{Name: "FACP", Level: "Level 1", At: &j.Panels[0].At.Point}}, Risers: []takeoff.Landmark{{Name: "Shaft", At: &j.Risers[0].At.Point}}})
	if err != nil {
		t.Fatal(err)
	}
	in := &outcome.Outcome{Job: j, Take: take}
	in.Findings = []takeoff.Finding{
		{Code: "F404", Severity: takeoff.Error, Message: "circuit PWR-1: no alarm current for 3 devices, first D10: nothing is proved until their types give it"},
		{Code: "F201", Severity: takeoff.Note, Message: "a note with a place", Drawing: "level-1.dxf", Handle: "2F1", At: geom.Pt(12.5, 7), Placed: true},
	}
	var walks []assign.Walk
	for _, c := range laid(t) {
		proof, _, err := route.Prove(route.Building{Types: j.DeviceTypes()}, c, take.Devices)
		if err != nil {
			t.Fatal(err)
		}
		a := assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127, Spare: 0.2}
		x := outcome.Laid{Circuit: c, Proof: proof, Addressing: a}
		if c.Kind == takeoff.SLC {
			x.Survival, x.Limits.Zones = faults(c), 1
		}
		in.Circuits = append(in.Circuits, x)
		walks = append(walks, assign.Walk{Circuit: c.Name, Kind: c.Kind, Devices: c.Devices, Addressing: a})
	}
	in.Devices, _ = assign.Number(take.Devices, j.DeviceTypes(), walks)
	return in
}

// faults are invented losses: seven devices of two zones by every short before
// the isolator that stands fourth, four by those behind it.
func faults(c route.Circuit) route.Survival {
	s := route.Survival{OnPlan: 1, Added: []route.Isolator{{Circuit: c.Name, Beside: "D04", From: "D04", To: "D11", Level: "Level 1"}},
		With: route.LegLoss{From: "FACP", To: "D01", Short: 4, Zones: 1}, PassesNow: true}
	for i, l := range c.Legs {
		loss := route.LegLoss{From: l.From, To: l.To, Short: 7, Zones: 2, Over: true}
		if i > 4 {
			loss.Short, loss.Zones, loss.Over = 4, 1, false
		}
		s.Legs = append(s.Legs, loss)
	}
	s.Worst = s.Legs[0]
	return s
}

// laid reads the circuits of the small job.
func laid(t testing.TB) []route.Circuit {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", "small", "circuits.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cs []route.Circuit
	if err := json.Unmarshal(b, &cs); err != nil {
		t.Fatal(err)
	}
	return cs
}

// demo is the demo job, computed once for all tests, which must not change it.
func demo(t testing.TB) *outcome.Outcome {
	t.Helper()
	demoOnce.Do(func() { demoInput = input(t, filepath.Join("..", "..", "..", "testdata", "demo", "job.yaml")) })
	if demoInput.Job == nil {
		t.Fatal("the demo job could not be computed")
	}
	return demoInput
}

var (
	demoOnce  sync.Once
	demoInput *outcome.Outcome
)

// file writes a workbook into a folder of the test's own.
func file(t testing.TB, in *outcome.Outcome) string {
	t.Helper()
	var b bytes.Buffer
	if err := workbook.Write(&b, in); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "takeoff.xlsx")
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}
