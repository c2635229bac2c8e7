package route

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/testdata/against"
)

// drawing is a circuit like strung, with loads in standby and in alarm.
func drawing(t testing.TB, kind takeoff.CircuitKind, legs, standby, alarm []float64) (Building, Circuit, []takeoff.Device) {
	c, ds, types := strung(t, kind, "16", legs, alarm)
	for i, a := range standby {
		types[i].Standby = takeoff.Amps{A: max(0, a), Known: a >= 0}
	}
	c.StartVolts, c.EndVolts, c.MaxCurrent, c.SpareShare, c.MaxResistance = 20.4, 16, 2, .2, 50
	return Building{Types: types}, c, ds
}

// A power circuit is judged in standby and in alarm, each with its own loads: 1.6 A
// of 2 A may be drawn. At 16 AWG, 4.89 ohm per 1,000 ft, 1 A over 400 ft loses 3.912 V, over 500 ft 4.89 V.
func TestProveStates(t *testing.T) {
	tests := []struct {
		name                 string
		kind                 takeoff.CircuitKind
		legs, standby, alarm []float64
		state                string // that asks most
		current              float64
		says                 string
	}{
		{"holders draw in standby and release in alarm", takeoff.Power, []float64{10, 10}, []float64{.9, .9}, []float64{0, 0}, Standby, 1.8, "F402 draws 1.800 A in standby, over the 1.600 A allowed"},
		{"states are not added up", takeoff.Power, []float64{10, 10}, []float64{1, 0}, []float64{0, 1.2}, Alarm, 1.2, ""},
		{"each state by itself is judged", takeoff.Power, []float64{10, 10}, []float64{1.7, 0}, []float64{0, 1.65}, Alarm, 1.65,
			"F402 draws 1.700 A in standby, over the 1.600 A allowed|F402 draws 1.650 A in alarm, over the 1.600 A allowed"},
		{"voltage in standby", takeoff.Power, []float64{400, 100}, []float64{0, 1}, []float64{0, .1}, Standby, 1, "F403 in standby d2 gets 15.51 V and needs 16.00 V"},
		{"the far load in alarm is the harder one", takeoff.Power, []float64{10, 490}, []float64{1.5, 0}, []float64{0, 1}, Alarm, 1, "F403 in alarm d2 gets 15.51 V"},
		{"a blank standby current", takeoff.Power, []float64{10, 10}, []float64{.1, -1}, []float64{.1, .1}, Standby, .1, "F404 no standby current for 1 device, first d2"},
		{"an appliance circuit rests in standby", takeoff.NAC, []float64{10, 10}, []float64{-1, -1}, []float64{.1, .1}, Alarm, .2, ""},
		{"an appliance that draws in standby", takeoff.NAC, []float64{10, 10}, []float64{.9, .9}, []float64{.1, .1}, Standby, 1.8, "F402 draws 1.800 A in standby"},
		// The spare of an SLC is of its addresses: 1.9 A of 2 A may be drawn.
		{"an SLC within its current", takeoff.SLC, []float64{10, 10}, []float64{.01, .01}, []float64{.9, 1}, Alarm, 1.9, ""},
		{"an SLC over its current", takeoff.SLC, []float64{10, 10}, []float64{.01, .01}, []float64{1, 1.1}, Alarm, 2.1, "F402 draws 2.100 A in alarm, over the 2.000 A allowed"},
		{"voltage at the last device of an SLC", takeoff.SLC, []float64{400, 100}, []float64{0, .1}, []float64{0, 1}, Alarm, 1, "F403 in alarm d2 gets 15.51 V"},
		{"a blank current on an SLC", takeoff.SLC, []float64{10, 10}, []float64{.1, -1}, []float64{.2, .1}, Standby, .1, "F404 no standby current for 1 device, first d2"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b, c, ds := drawing(t, tt.kind, tt.legs, tt.standby, tt.alarm)
			p, fs, err := Prove(b, c, ds)
			if err != nil {
				t.Fatal(err)
			}
			if p.Power.Name != tt.state || math.Abs(p.Power.Current-tt.current) > 1e-9 {
				t.Errorf("%s with %.3f A asks most, want %s with %.3f A", p.Power.Name, p.Power.Current, tt.state, tt.current)
			}
			says := slices.DeleteFunc(strings.Split(tt.says, "|"), func(s string) bool { return s == "" })
			if len(fs) != len(says) || p.Passes() != (len(says) == 0) || p.HasSmallest && strings.Contains(tt.says, "F402") {
				t.Fatalf("passes %v, thinnest %v, findings %v", p.Passes(), p.Smallest, fs)
			}
			for i, f := range fs {
				code, part, _ := strings.Cut(says[i], " ")
				if f.Code != code || !strings.Contains(f.Message, part) {
					t.Errorf("%s %s, want %s", f.Code, f.Message, says[i])
				}
			}
		})
	}
}

// The thinnest conductor carries the standby load, too: 1 A over 500 ft in 16 AWG
// loses 4.89 V of the 4.4 V that may be lost; in 14 AWG, 3.07 ohm per 1,000 ft, 3.07 V.
func TestThinnestConductorInStandby(t *testing.T) {
	b, c, ds := drawing(t, takeoff.Power, []float64{500}, []float64{1}, []float64{.01})
	c.Cable = solid(t, "14")
	p, _, err := Prove(b, c, ds)
	if err != nil || !p.Passes() || p.Smallest.String() != "14 AWG solid" {
		t.Errorf("passes %v, thinnest %v, %v", p.Passes(), p.Smallest, err)
	}
}

// A general circuit simulator, ngspice (Debian package ngspice), agrees on the
// voltages of two circuits with standby loads: both conductors of each leg are
// resistors of their own there, and each device a current source.
func TestAgainstSimulatorInStandby(t *testing.T) {
	program := against.Program(t, "ngspice")
	for _, tt := range []struct{ legs, standby, alarm []float64 }{
		{[]float64{50, 80, 30, 120}, []float64{.06, .06, .06, .06}, []float64{0, 0, 0, 0}},
		{[]float64{200, 10, 75}, []float64{.3, .02, .41}, []float64{.1, .5, .05}},
	} {
		b, c, ds := drawing(t, takeoff.Power, tt.legs, tt.standby, tt.alarm)
		p, _, err := Prove(b, c, ds)
		if err != nil {
			t.Fatal(err)
		}
		for s, loads := range [][]float64{tt.standby, tt.alarm} {
			deck := "* power\nV1 p0 m0 20.4\nRg m0 0 1\n"
			show := ""
			for i, feet := range tt.legs {
				ohm := feet * 4.89 / 1000
				deck += fmt.Sprintf("Ra%[1]d p%[1]d p%[2]d %.12[3]g\nRb%[1]d m%[1]d m%[2]d %.12[3]g\nI%[2]d p%[2]d m%[2]d %.12[4]g\n", i, i+1, ohm, loads[i])
				show += fmt.Sprintf("print v(p%[1]d)-v(m%[1]d)\n", i+1)
			}
			file := filepath.Join(t.TempDir(), "deck.cir")
			if err := os.WriteFile(file, []byte(deck+".control\nset numdgt=12\nop\n"+show+".endc\n.end\n"), 0o600); err != nil {
				t.Fatal(err)
			}
			out, err := exec.Command(program, "-b", file).CombinedOutput()
			found := regexp.MustCompile(`(?m)^\S+ = (\S+)\s*$`).FindAllStringSubmatch(string(out), -1)
			if len(found) != len(tt.legs) {
				t.Fatalf("ngspice: %v\n%s", err, out)
			}
			for i, m := range found {
				want, err := strconv.ParseFloat(m[1], 64)
				if got := p.States[s].Feeds[0].Volts[i+1]; err != nil || math.Abs(got-want) > 1e-6 {
					t.Errorf("%s, device %d: %.9f V, ngspice %.9f V", p.States[s].Name, i+1, got, want)
				}
			}
		}
	}
}

// A class A loop cut at any of its legs feeds its devices from both ends: the lowest
// voltage of all cuts is that which the proof gives, at the first leg or the last.
func TestLoopCutAtAnyLeg(t *testing.T) {
	b, chain, ds := drawing(t, takeoff.SLC, []float64{120, 300, 40, 260}, []float64{.01, .02, .01, .03}, []float64{.2, .35, .1, .3})
	c := chain
	c.Pathway = circuit.ClassA
	c.Legs = append(slices.Clone(chain.Legs), Leg{From: "d4", To: "P", Length: 199 * feet, Slack: feet, Return: true})
	p, _, err := Prove(b, c, ds)
	if err != nil {
		t.Fatal(err)
	}
	lowest := math.Inf(1)
	for cut := range c.Legs {
		for _, side := range [][]Leg{c.Legs[:cut], backward(c.Legs[cut+1:])} {
			part := chain
			part.Legs = side
			var on []takeoff.Device
			for _, l := range side {
				on = append(on, ds[slices.IndexFunc(ds, func(d takeoff.Device) bool { return d.ID == l.To })])
			}
			q, _, err := Prove(b, part, on)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range q.States {
				if s.WorstFeed >= 0 {
					lowest = min(lowest, s.WorstVolts)
				}
			}
		}
	}
	if math.Abs(lowest-p.Power.WorstVolts) > 1e-9 {
		t.Errorf("%.4f V with the worst cut, the proof says %.4f V", lowest, p.Power.WorstVolts)
	}
}

// backward are the legs as they are fed from the end of the last.
func backward(legs []Leg) (out []Leg) {
	for _, l := range slices.Backward(legs) {
		l.From, l.To = l.To, l.From
		out = append(out, l)
	}
	return out
}
