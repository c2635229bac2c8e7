package fieldpage_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// schemes are all that a job file can name, with every way of wiring them.
func schemes() []assign.Scheme {
	ss := []assign.Scheme{{Name: "decade"}, {Name: "none"}}
	for _, name := range []string{"binary7", "binary8"} {
		for _, highest := range []bool{false, true} {
			for _, zero := range []bool{false, true} {
				for _, offset := range []int{0, -1} {
					ss = append(ss, assign.Scheme{Name: name, HighestFirst: highest, OnMeansZero: zero, Offset: offset})
				}
			}
		}
	}
	return ss
}

// bare is an input without drawings: one level, the devices on circuits.
func bare(name string, circuits []outcome.Laid, devices []assign.Numbered) *outcome.Outcome {
	j := &job.Job{Name: name, Types: []job.Type{{DeviceType: takeoff.DeviceType{Type: "smoke", Name: "Smoke detector", Addresses: 1}}}}
	return &outcome.Outcome{Job: j, Take: takeoff.Result{Levels: []takeoff.Level{{Name: "Level 1", Ceiling: 3}}}, Circuits: circuits, Devices: devices}
}

// TestAgainstChromiumSwitchesAsDrawn reads the switches of every address of every scheme back
// from where their knobs stand, as an eye does, and decodes them.
func TestAgainstChromiumSwitchesAsDrawn(t *testing.T) {
	chromium(t)
	const last = 127
	var circuits []outcome.Laid
	var devices []assign.Numbered
	for i, s := range schemes() {
		c := outcome.Laid{Circuit: route.Circuit{Spec: route.Spec{Name: fmt.Sprintf("SLC-%d", i+1), Kind: takeoff.SLC, Panel: "FACP", Pathway: circuit.ClassA}},
			Addressing: assign.Addressing{Scheme: s, First: 1, Last: last}}
		for a := 1; a <= last; a++ {
			set, err := s.Encode(a)
			if err != nil {
				t.Fatal(err)
			}
			d := assign.Numbered{Device: takeoff.Device{ID: fmt.Sprintf("D%d-%d", i, a), Type: "smoke", Level: "Level 1", Status: takeoff.Counted, Pos: geom.Pt(float64(a), float64(i))},
				Circuit: c.Name, Order: a, Address: a, Span: 1, Switches: &set}
			c.Devices = append(c.Devices, d.ID)
			devices = append(devices, d)
		}
		circuits = append(circuits, c)
	}
	ctx, _ := tab(t)
	do(t, ctx, phone())
	open(t, ctx, written(t, bare("Switches", circuits, devices)))
	type drawn struct {
		ID      string
		Address int
		Row     string // from where the knobs or pointers stand
		Fill    string // from how the knobs are filled
		Values  []int
		Sum     string
		Text    string
	}
	got := eval[[]drawn](t, ctx, readSwitches)
	if len(got) != len(devices) {
		t.Fatalf("%d devices drawn, want %d", len(got), len(devices))
	}
	for k, g := range got {
		s, want := schemes()[k/last], devices[k]
		if g.Sum != s.Sum(want.Address) {
			t.Errorf("%s: the sum reads %q, want %q", g.ID, g.Sum, s.Sum(want.Address))
		}
		if s.Name == "none" {
			if g.Text != fmt.Sprintf("Set electronically to %d. No switches.", want.Address) {
				t.Errorf("%s: %q", g.ID, g.Text)
			}
			continue
		}
		if a, err := s.Decode(g.Row); err != nil || a != want.Address || g.ID != want.ID || g.Address != want.Address {
			t.Fatalf("%+v, %s: the knobs read %q, which is %d (%v), want %d", s, g.ID, g.Row, a, err, want.Address)
		}
		if s.Name == "decade" {
			continue
		}
		if g.Fill != g.Row {
			t.Errorf("%s: knobs stand as %s and are filled as %s", g.ID, g.Row, g.Fill)
		}
		if v, w := asJSON(g.Values), asJSON(s.Values()); v != w {
			t.Errorf("%s: values under the switches %s, want %s", g.ID, v, w)
		}
	}
}

func asJSON(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(b)
}

// readSwitches goes through all devices and reads what is drawn, by geometry.
const readSwitches = `data.rows.map((r) => {
	select(r, true);
	const d = byId('detail');
	const middle = (n) => { const b = n.getBBox(); return b.y + b.height / 2; };
	const out = {ID: r.id, Address: Number(d.querySelector('.who strong').textContent), Row: '', Fill: '', Values: [], Sum: (d.querySelector('.sum') || {textContent: ''}).textContent, Text: (d.querySelector('.plain') || {textContent: ''}).textContent};
	for (const s of d.querySelectorAll('.switch')) {
		const knob = s.querySelector('.knob');
		out.Row += middle(knob) < middle(s.querySelector('.slot')) ? '1' : '0';
		out.Fill += getComputedStyle(knob).fill !== getComputedStyle(s.querySelector('.slot')).fill ? '1' : '0';
	}
	for (const v of d.querySelectorAll('.value')) out.Values.push(Number(v.textContent));
	out.Row += [...d.querySelectorAll('.dial')].map((g) => {
		const p = g.querySelector('.pointer'), at = (n) => Number(p.getAttribute(n));
		const turn = (Math.atan2(at('x2') - at('x1'), at('y1') - at('y2')) / (2 * Math.PI) + 1) % 1;
		const n = g.querySelectorAll('.number').length;
		return Math.round(turn * n) % n;
	}).join('/');
	return out;
})`
