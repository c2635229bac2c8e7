package build

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// smallJob is a job whose plan is a list of devices: quick to compute.
const smallJob = `
job: Small
plans: [{devices: plan.csv, level: Level 1, units: m}]
types:
  - {type: smoke, points: [{function: smoke, event: "111"}], standby: 0.3 mA, alarm: 5 mA, options: [{switch: class A, on_when: A}], input_pathway: A}
  - {type: horn, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 400 mA}
panels: [{panel: FACP, at: {level: Level 1, point: [0, 0]}, standby: 0.1 A, alarm: 0.2 A}]
circuits:
  - {circuit: SLC, pathway: A}
  - {circuit: NAC, circuits: auto, kind: nac, max_current: 2 A}
points: {location: "{room}", length: 12}
`

// folder writes a small job and returns its path.
func folder(t *testing.T, plan string) string {
	t.Helper()
	dir := t.TempDir()
	write(t, filepath.Join(dir, "job.yaml"), smallJob)
	write(t, filepath.Join(dir, "plan.csv"), "id,type,level,x,y,room\n"+plan)
	return filepath.Join(dir, "job.yaml")
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func computed(t *testing.T, file string) *outcome.Outcome {
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

func plan(n int, from float64) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "S%d,smoke,Level 1,%g,%d,10%d HALL\n", i+1, from+float64(5*(i%6)), 5*(i/6), i%2)
		fmt.Fprintf(&b, "H%d,horn,Level 1,%g,%d,10%d HALL\n", i+1, from+1+float64(5*(i%6)), 5*(i/6), i%2)
	}
	return b.String()
}

func TestLocationsAndOptions(t *testing.T) {
	o := computed(t, folder(t, plan(3, 1)))
	var got []string
	where := o.Locations()
	for _, d := range o.Walked() {
		if d.Address > 0 {
			got = append(got, fmt.Sprint(d.ID, " ", d.Address, " ", where[d.ID], " ", d.Options))
		}
	}
	want := "S1 1 100 HALL 1 [{class A true}], S2 2 101 HALL [{class A true}], S3 3 100 HALL 3 [{class A true}]"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
}

// TestCircuitsStay: devices of circuits that the program split stay on theirs
// when others go and come, though a fresh split would be another.
func TestCircuitsStay(t *testing.T) {
	file := folder(t, plan(10, 1))
	j, _ := job.Load(file)
	dir := t.TempDir()
	if _, err := Run(j, dir, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	was := map[string]assign.Numbered{}
	circuits := map[string]bool{}
	for _, d := range computed(t, file).Devices {
		was[d.ID] = d
		circuits[d.Circuit] = true
	}
	if len(circuits) != 4 { // 10 horns of 0.4 A at 1.6 A each
		t.Fatalf("circuits %v", circuits)
	}
	text, err := os.ReadFile(filepath.Join(filepath.Dir(file), "plan.csv"))
	if err != nil {
		t.Fatal(err)
	}
	const more = "H94,horn,Level 1,-4,15,\nH95,horn,Level 1,-4,18,\n"
	lines := strings.SplitAfter(string(text), "\n")
	lines = slices.DeleteFunc(lines, func(s string) bool {
		return strings.HasPrefix(s, "H2,") || strings.HasPrefix(s, "H3,") || strings.HasPrefix(s, "S4,")
	})
	write(t, filepath.Join(filepath.Dir(file), "plan.csv"), strings.Join(lines, "")+"H90,horn,Level 1,-4,-3,\nH91,horn,Level 1,-4,3,\nH92,horn,Level 1,-4,9,\nH93,horn,Level 1,-4,12,\n"+more)
	o := computed(t, file)
	names := map[string]bool{}
	for _, c := range o.Circuits {
		names[c.Name] = true
	}
	if !names["NAC-4"] || names["NAC-5"] {
		t.Errorf("12 horns fit the circuits there are, and two do not: %v", names)
	}
	for _, d := range o.Devices {
		if b, ok := was[d.ID]; ok && (b.Circuit != d.Circuit || b.Address != d.Address) {
			t.Errorf("%s was on %s with %d and is on %s with %d", d.ID, b.Circuit, b.Address, d.Circuit, d.Address)
		}
		if d.Circuit == "" {
			t.Errorf("%s hangs on nothing", d.ID)
		}
	}
	for _, c := range o.Circuits {
		if c.Kind == takeoff.NAC && len(c.Devices) > 4 {
			t.Errorf("%s has %d horns", c.Name, len(c.Devices))
		}
	}
	// A run that wrote this, and one more, give the same bytes.
	j, _ = job.Load(file)
	if _, err := Run(j, dir, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	first := listing(t, dir) + listing(t, filepath.Dir(file))
	if _, err := Run(j, dir, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	if second := listing(t, dir) + listing(t, filepath.Dir(file)); second != first {
		t.Error("a second run writes other bytes")
	}
}

// TestALedgerThatChangedMeanwhileIsNotWrittenOver: what a person writes into it
// while a run computes must not be lost.
func TestALedgerThatChangedMeanwhileIsNotWrittenOver(t *testing.T) {
	o := computed(t, folder(t, plan(4, 1)))
	if fs, err := o.LedgerFiles(); err != nil || len(fs) != 1 || fs[0].Path != outcome.LedgerPath(o.Job) {
		t.Fatalf("%v, %v", fs, err)
	}
	write(t, outcome.LedgerPath(o.Job), "edited meanwhile\n")
	if _, err := o.LedgerFiles(); err == nil || !strings.Contains(err.Error(), "was changed while this run computed") {
		t.Errorf("%v", err)
	}
}

func TestCheckWritesNothing(t *testing.T) {
	file := folder(t, plan(2, 1))
	before := listing(t, filepath.Dir(file))
	computed(t, file)
	if after := listing(t, filepath.Dir(file)); after != before {
		t.Errorf("%s", after)
	}
}

// TestARenamedCircuitKeepsItsAddresses: the job's name for a circuit is no reason to renumber a building.
func TestARenamedCircuitKeepsItsAddresses(t *testing.T) {
	file := folder(t, plan(5, 1))
	j, _ := job.Load(file)
	if _, err := Run(j, t.TempDir(), outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(smallJob, "circuit: SLC,", "circuit: LOOP-7, addresses: {first: 1, last: 99},", 1)
	write(t, file, text)
	led, _ := os.ReadFile(outcome.LedgerPath(j))
	write(t, outcome.LedgerPath(j), strings.Replace(string(led), "S1,SLC,1,1,1", "S1,SLC,1,77,1", 1))
	for _, d := range computed(t, file).Devices {
		if d.ID == "S1" && (d.Circuit != "LOOP-7" || d.Address != 77) {
			t.Errorf("%s on %s has %d", d.ID, d.Circuit, d.Address)
		}
	}
}
