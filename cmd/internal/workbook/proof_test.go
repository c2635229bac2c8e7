package workbook_test

import (
	"math"
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
	"loopwright/route"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// lookup finds a sheet and returns the row whose column A holds a text.
func lookup(t testing.TB, sheets []workbook.Sheet, sheet, name, col string) any {
	t.Helper()
	for _, s := range sheets {
		if s.Name != sheet {
			continue
		}
		for _, c := range s.Cells() {
			if c.At[0] == 'A' && c.At[1] <= '9' && c.Value == name {
				return s.Value(col + c.At[1:])
			}
		}
	}
	t.Fatalf("no row %s on sheet %s", name, sheet)
	return nil
}

func near(t testing.TB, what string, got any, want, tolerance float64) {
	t.Helper()
	g, ok := got.(float64)
	if n, whole := got.(int); whole {
		g, ok = float64(n), true
	}
	if !ok || math.Abs(g-want) > tolerance {
		t.Errorf("%s: the sheet says %v, the stages say %.6f", what, got, want)
	}
}

// TestProofsAgree holds the formulas against the packages that prove circuits:
// the two compute the same by different code. What stands in cells is rounded to
// a ten-thousandth of a foot, so a thousandth of an ohm and of a volt is allowed.
func TestProofsAgree(t *testing.T) {
	for _, load := range []func(testing.TB) *outcome.Outcome{small, demo, filled} {
		in := load(t)
		sheets, err := workbook.Compose(in)
		if err != nil {
			t.Fatal(err)
		}
		const foot = 0.3048
		for _, c := range in.Circuits {
			near(t, c.Name+" loop", lookup(t, sheets, "Loop", c.Name, "H"), c.Proof.Loop.Ohm, 1e-3)
			near(t, c.Name+" measured", lookup(t, sheets, "Circuits", c.Name, "M"), c.Length/foot, 0.01)
			near(t, c.Name+" slack", lookup(t, sheets, "Circuits", c.Name, "O"), c.Slack/foot, 0.01)
			if p := c.Proof.Power; p != nil && len(p.Blank) == 0 {
				near(t, c.Name+" lowest volts", lookup(t, sheets, "Voltage", c.Name, "K"), p.WorstVolts, 1e-3)
				near(t, c.Name+" current", lookup(t, sheets, "Voltage", c.Name, "J"), p.Current, 1e-9)
			}
			verdict, _ := lookup(t, sheets, "Circuits", c.Name, "V").(string)
			if !strings.HasPrefix(verdict, string(c.AsDrawn())) {
				t.Errorf("%s: the sheet says %q, the program says %q", c.Name, verdict, c.AsDrawn())
			}
			if len(c.Survival.Legs) > 0 {
				passes := map[bool]string{true: "passes", false: "FAILS"}
				if v := lookup(t, sheets, "Faults", c.Name, "I"); v != passes[c.Survival.Passes] {
					t.Errorf("%s: the sheet says %v of a short, the program says %v", c.Name, v, c.Survival.Passes)
				}
				if v := lookup(t, sheets, "Faults", c.Name, "N"); v != passes[c.Survival.PassesNow] {
					t.Errorf("%s: the sheet says %v of a short with isolators added, the program says %v", c.Name, v, c.Survival.PassesNow)
				}
			}
		}
		for _, k := range in.Job.Cables {
			sum := 0.0
			for _, c := range in.Circuits {
				if c.Cable.Name == k.Cable {
					sum += c.Wire()
				}
			}
			order, _ := route.Reels(sum*(1+in.Job.Allowances.Waste), k.Reel)
			near(t, "order of "+k.Cable, lookup(t, sheets, "Cable", k.Cable, "L"), order/foot, 0.02)
		}
	}
}

// filled is the small job with every figure given, so that all of it is proved.
func filled(t testing.TB) *outcome.Outcome {
	return smallWith(t, func(j *job.Job) {
		j.Types[5].Alarm = takeoff.Amps{A: 0.25, Known: true}
		j.Panels[0].Battery = 4
	})
}

// TestBatteryAgrees holds the sheet against the battery of package wire.
func TestBatteryAgrees(t *testing.T) {
	in := filled(t)
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	n := map[string]int{}
	for _, d := range in.Devices {
		n[d.Type]++
	}
	p := in.Job.Panels[0]
	drains := []wire.Drain{{Name: "panel", Count: 1, Standby: p.Standby.A, Alarm: p.Alarm.A}}
	for _, ty := range in.Job.Types {
		drains = append(drains, wire.Drain{Name: ty.Type, Count: n[ty.Type], Standby: ty.Standby.A, Alarm: ty.Alarm.A})
	}
	want, err := wire.StandbyBattery(drains, wire.BatteryDuty{Hours: in.Job.Battery.StandbyHours, Minutes: in.Job.Battery.AlarmMinutes, Factor: 1 + in.Job.Battery.Margin})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "required", lookup(t, sheets, "Battery", "required, margin included", "F"), want.Required, 1e-9)
	near(t, "size", lookup(t, sheets, "Battery", "next size up", "F"), want.Size, 0)
	if v := lookup(t, sheets, "Battery", "verdict", "F"); v != "FAILS" {
		t.Errorf("a battery of 4 Ah for %.2f Ah: %v", want.Required, v)
	}
}

// TestBlanksAreFlagged: what is not given is neither zero nor silent.
func TestBlanksAreFlagged(t *testing.T) {
	sheets, err := workbook.Compose(small(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		sheet, row, col string
		want            any
	}{
		{"Prices", "pull", "E", nil},
		{"Prices", "pull", "G", "price not given"},
		{"Prices", "14/2", "G", "price not given"},
		{"Prices", "smoke", "G", ""},
		{"Labor", "isolator", "G", "hours not given"},
		{"Battery", "required, margin included", "F", "not given"},
		{"Voltage", "PWR-1", "M", "not proved: load not given"},
		{"Voltage", "PWR-1", "K", ""},
		{"Voltage", "NAC-1", "M", "passes"},
		{"Conduit", "14/2", "C", "not given"},
		{"Loop", "NAC-1", "K", "not proved: no limit"},
		{"Parts", "waterflow", "H", "box not given"},
	} {
		if got := lookup(t, sheets, tt.sheet, tt.row, tt.col); got != tt.want {
			t.Errorf("%s, %s, column %s: %v, want %v", tt.sheet, tt.row, tt.col, got, tt.want)
		}
	}
}

// TestConduitFill: published areas and fills of EMT (NEC Chapter 9 Table 4 areas
// times the limits of Table 1), and sizes that follow from them for a cable of
// 0.2 in, worked by hand: area 0.0314 in2; three need 0.0942 and 1/2 in gives
// 0.1216, five need 0.157 and 3/4 in gives 0.2132; two need 0.0628 of 0.0942.
func TestConduitFill(t *testing.T) {
	sheets, err := workbook.Compose(small(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		size           string
		one, two, more float64
	}{
		{"1/2", 0.1611, 0.0942, 0.1216}, {"3/4", 0.2825, 0.1652, 0.2132}, {"1", 0.4579, 0.2678, 0.3456},
		{"1-1/4", 0.7929, 0.4638, 0.5984}, {"1-1/2", 1.0791, 0.6312, 0.8144}, {"2", 1.7787, 1.0404, 1.3424},
	} {
		near(t, tt.size+" one", lookup(t, sheets, "Conduit", tt.size, "D"), tt.one, 5.1e-5)
		near(t, tt.size+" two", lookup(t, sheets, "Conduit", tt.size, "E"), tt.two, 5.1e-5)
		near(t, tt.size+" more", lookup(t, sheets, "Conduit", tt.size, "F"), tt.more, 5.1e-5)
	}
	for col, want := range map[string]string{"D": "1/2", "E": "1/2", "F": "1/2", "G": "3/4", "H": "3/4", "I": "3/4", "J": "may jam"} {
		if got := lookup(t, sheets, "Conduit", "16/2", col); got != want {
			t.Errorf("cable of 0.2 in, column %s: %v, want %s", col, got, want)
		}
	}
}

// TestCountsAgree holds the count cells against the takeoff's own count.
func TestCountsAgree(t *testing.T) {
	in := demo(t)
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	total := map[string]int{}
	for _, c := range takeoff.Counts(in.Take.Devices, in.Job.DeviceTypes(), in.Take.Levels) {
		total[c.Type] += c.Count
	}
	if len(total) < 5 {
		t.Fatalf("the demo counts %d types", len(total))
	}
	for typ, n := range total {
		near(t, typ, lookup(t, sheets, "Prices", typ, "C"), float64(n), 0)
	}
}
