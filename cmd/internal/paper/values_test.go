package paper

import (
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/assign/sheet"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// small is a tapped circuit: A to B, from B to C and D; C takes no address.
func small(pathway circuit.Class) (*binder, outcome.Laid, error) {
	module := takeoff.DeviceType{Type: "module", Name: "Input module", Addresses: 1, EndOfLine: 1, Options: []takeoff.Option{{Switch: "class A", OnWhen: "A"}}}
	base := takeoff.DeviceType{Type: "base", Isolates: true}
	l := outcome.Laid{Circuit: route.Circuit{Spec: route.Spec{Name: "SLC-1", Kind: takeoff.SLC, Panel: "P", Pathway: pathway},
		Devices: []string{"A", "B", "C", "D"},
		Legs:    []route.Leg{{From: "P", To: "A", Length: 1}, {From: "A", To: "B", Length: 2}, {From: "B", To: "C", Length: 3}, {From: "B", To: "D", Length: 4}}},
		Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 2}}
	var ds []takeoff.Device
	for _, id := range l.Devices {
		d := takeoff.Device{ID: id, Type: "module", Level: "Level 1"}
		if id == "C" {
			d.Type = "base"
		}
		ds = append(ds, d)
	}
	types := []takeoff.DeviceType{module, base}
	numbered, _ := assign.Number(ds, types, []assign.Walk{{Circuit: "SLC-1", Kind: takeoff.SLC, Devices: l.Devices, Addressing: l.Addressing}})
	b, err := newBinder(&outcome.Outcome{Job: &job.Job{Types: []job.Type{{DeviceType: module}, {DeviceType: base}}}, Devices: numbered, Circuits: []outcome.Laid{l}})
	return b, l, err
}

func TestCircuitRows(t *testing.T) {
	for _, pathway := range []circuit.Class{circuit.ClassA, circuit.ClassB} {
		b, l, err := small(pathway)
		if err != nil {
			t.Fatal(err)
		}
		rows := b.circuit(l).Rows
		if len(rows) != 4 || rows[2].Address != 0 || !rows[2].Isolates || rows[2].Type != "base" || rows[2].Order != 3 {
			t.Fatalf("rows %+v", rows)
		}
		// The switch goes by the class of the module's own input circuit, not of the circuit that it hangs on.
		for _, inputs := range []string{"A", "B"} {
			module := b.types["module"]
			module.Inputs = inputs
			b.types["module"] = module
			if on := b.circuit(l).Rows[0].Options[0].On; on != (inputs == "A") {
				t.Errorf("class %s, inputs %s: the class A switch is %v", pathway, inputs, on)
			}
		}
		if in := rows[1].In; len(in) != 1 || in[0] != (sheet.Neighbor{Name: "A", Address: 1, Length: 2}) {
			t.Errorf("cable into B: %+v", in)
		}
		if out := rows[1].Out; len(out) != 2 || out[0].Name != "C" || out[1].Name != "D" || out[1].Length != 4 {
			t.Errorf("cable out of B: %+v", out)
		}
		// Two addresses for three devices: the last has none, and its row says so.
		if rows[3].Address != 0 || !strings.Contains(rows[3].Note, "NO ADDRESS") {
			t.Errorf("row without an address left: %+v", rows[3])
		}
	}
}

// A text's lines stand where the reader of the drawing sees them: the first line
// above the last, turned with the text.
func TestPlanTexts(t *testing.T) {
	scale := geom.Scaling(0.5, 0.5)
	for _, c := range []struct {
		name string
		in   dxf.Text
		want []sheet.PlanText
	}{
		{"one line", dxf.Text{Text: "A", Pos: dxf.Vec3{X: 4, Y: 6}, Height: 2, Lines: 1}, []sheet.PlanText{{At: geom.Pt(2, 3), Height: 1, Text: "A"}}},
		{"centred", dxf.Text{Text: "A", Pos: dxf.Vec3{X: 4, Y: 6}, Height: 2, Width: 4, Lines: 1, Align: dxf.Align{H: dxf.Center}}, []sheet.PlanText{{At: geom.Pt(1, 3), Height: 1, Text: "A"}}},
		{"from the top", dxf.Text{Text: "A\nB", Pos: dxf.Vec3{X: 0, Y: 0}, Height: 6, Lines: 2, Align: dxf.Align{V: dxf.Top}},
			[]sheet.PlanText{{At: geom.Pt(0, -3), Height: 3, Text: "A"}, {At: geom.Pt(0, -8), Height: 3, Text: "B"}}},
		{"upright", dxf.Text{Text: "A\n\nB", Pos: dxf.Vec3{X: 0, Y: 0}, Height: 6, Rotation: 90, Lines: 3},
			[]sheet.PlanText{{At: geom.Pt(-10, 0), Height: 3, Rotation: 90, Text: "A"}, {At: geom.Pt(0, 0), Height: 3, Rotation: 90, Text: "B"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := planTexts(c.in, scale)
			if len(got) != len(c.want) {
				t.Fatalf("%d lines, want %d", len(got), len(c.want))
			}
			for i, g := range got {
				w := c.want[i]
				if g.At.Dist(w.At) > 1e-9 || g.Text != w.Text || g.Height != w.Height || g.Rotation != w.Rotation {
					t.Errorf("line %d: %+v, want %+v", i, g, w)
				}
			}
		})
	}
}
