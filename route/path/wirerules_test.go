package path

import (
	"math"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/geom"

	"pgregory.net/rapid"
)

// The rules by which lines are joined, one at a time. The panel sits at (0, 0),
// a at (10, 0), b at (20, 0), all with radius 0.3; tolerance 0.05.
func TestWiringRules(t *testing.T) {
	line := func(v ...float64) []geom.Point {
		var out []geom.Point
		for i := 0; i+1 < len(v); i += 2 {
			out = append(out, geom.Pt(v[i], v[i+1]))
		}
		return out
	}
	toA := line(0.3, 0, 9.7, 0)
	tests := []struct {
		name  string
		lines [][]geom.Point
		order string
		kinds string
		total float64
	}{
		{"ends at the symbols' edges", [][]geom.Point{toA, line(10.3, 0, 19.7, 0)}, "ab", "", 20},
		{"ends in the symbols' middles", [][]geom.Point{line(0, 0, 10, 0), line(10, 0, 20, 0)}, "ab", "", 20},
		{"one line through all", [][]geom.Point{line(0, 0, 20, 0)}, "ab", "", 20},
		// Overshoot: the line ends 0.2 m behind the middle and comes back to it.
		{"ends behind the middle", [][]geom.Point{line(0, 0, 10.2, 0)}, "a", "not touched", 10.4},
		{"short by less than the tolerance", [][]geom.Point{line(0, 0, 9.66, 0)}, "a", "not touched", 10},
		{"short by more", [][]geom.Point{line(0, 0, 9.6, 0)}, "", "gap not touched not touched", 0},
		{"ends 0.04 apart are one joint", [][]geom.Point{line(0, 0, 5, 0), line(5.04, 0, 10, 0)}, "a", "not touched", 10},
		{"ends 0.06 apart are not", [][]geom.Point{line(0, 0, 5, 0), line(5.06, 0, 10, 0)}, "", "gap not touched not touched", 0},
		{"three ends 0.04 apart hang together", [][]geom.Point{line(0, 0, 5, 0), line(5.08, 0, 10, 0), line(5.04, 0, 5.04, 5, 20, 5, 20, 0)}, "ab", "branch", 10 + 5 + 14.96 + 5},
		// Passing the middle at 0.1 m: landed, 0.1 m up and down again.
		{"passes close to the middle", [][]geom.Point{line(0, 0.1, 20, 0.1)}, "ab", "", 20 + 4*0.1},
		{"grazes the symbol", [][]geom.Point{line(0, 0.2, 20, 0.2)}, "b", "not touched passes close", 20 + 2*0.2},
		{"clear of the symbol", [][]geom.Point{line(0, 0, 0, 2, 20, 2, 20, 0)}, "b", "not touched", 24},
		{"turns inside the symbol", [][]geom.Point{line(0, 0, 10, 0, 10, 5, 20, 5, 20, 0)}, "ab", "", 30},
		{"touches a line away from its ends", [][]geom.Point{toA, line(5, 0, 5, 5, 20, 5, 20, 0)}, "ab", "branch", 10 + 25},
		{"stops 0.04 short of a line", [][]geom.Point{toA, line(5, 0.04, 5, 5, 20, 5, 20, 0)}, "ab", "branch", 10 + 25},
		{"stops 0.06 short of a line", [][]geom.Point{toA, line(5, 0.06, 5, 5, 20, 5, 20, 0)}, "a", "loose end not touched", 10},
		{"crosses a line", [][]geom.Point{toA, line(5, -1, 5, 5, 20, 5, 20, 0)}, "a", "loose end not touched", 10},
		{"a corner upon a corner is not a joint", [][]geom.Point{line(0, 0, 5, 0, 5, 5), line(10, 0, 5, 0, 5, -5)}, "", "loose end loose end not touched not touched", 0},
		{"drawn twice", [][]geom.Point{toA, line(9.7, 0, 0.3, 0), line(10.3, 0, 19.7, 0)}, "ab", "drawn twice", 20},
		{"stub inside a symbol", [][]geom.Point{toA, line(10, 0, 10, 0.2), line(10.3, 0, 19.7, 0)}, "ab", "", 20},
		{"two ways to a device", [][]geom.Point{toA, line(0, 0, 5, 5, 10, 0)}, "a back", "loop not touched", 10 + 2*5*math.Sqrt2},
		{"a point is no line", [][]geom.Point{toA, line(3, 3), line(4, 4, 4, 4), nil}, "a", "not touched", 10},
		{"not a number", [][]geom.Point{toA, line(math.NaN(), 0, 3, 3)}, "a", "bad line not touched", 10},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			symbols := []Symbol{{geom.Pt(0, 0), 0.3}, {geom.Pt(10, 0), 0.3}, {geom.Pt(20, 0), 0.3}}
			w, err := NewWiring(tt.lines, symbols, 0, WiringOptions{Gap: 0.5})
			if err != nil {
				t.Fatal(err)
			}
			order, total := "", 0.0
			for _, c := range w.Circuits {
				for _, p := range c.Order {
					order += string("Pab"[p])
				}
				if c.Return != nil {
					order += " back"
				}
				total += c.Length
			}
			var kinds []string
			for _, f := range w.Findings {
				kinds = append(kinds, f.Kind)
			}
			slices.Sort(kinds)
			if got := strings.Join(kinds, " "); got != tt.kinds || order != tt.order {
				t.Errorf("order %q with findings %q, want %q with %q", order, got, tt.order, tt.kinds)
			}
			near(t, total, tt.total, 0.041, "length of wire") // ends that meet within the tolerance
		})
	}
}

func TestWiringWithoutAPanel(t *testing.T) {
	symbols := []Symbol{{geom.Pt(0, 0), 0}, {geom.Pt(3, 4), 0}, {geom.Pt(9, 0), 0}}
	for _, panel := range []int{-1, 3} {
		if _, err := NewWiring(nil, symbols, panel, WiringOptions{}); err == nil {
			t.Errorf("panel %d accepted", panel)
		}
	}
	for _, bad := range []Symbol{{geom.Pt(math.Inf(1), 0), 0}, {geom.Pt(0, 0), -1}, {geom.Pt(0, 0), math.NaN()}} {
		if _, err := NewWiring(nil, []Symbol{bad}, 0, WiringOptions{}); err == nil {
			t.Errorf("symbol %+v accepted", bad)
		}
	}
}

// Whatever is drawn: every device is on one circuit or in a finding, runs fit
// together, and no wire is counted twice.
func TestWiringLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := func() float64 { return float64(rapid.IntRange(0, 12).Draw(t, "c")) / 2 }
		var symbols []Symbol
		for range rapid.IntRange(1, 6).Draw(t, "symbols") {
			symbols = append(symbols, Symbol{geom.Pt(c(), c()), rapid.SampledFrom([]float64{0, 0.2, 0.6}).Draw(t, "radius")})
		}
		var lines [][]geom.Point
		drawn := 0.0
		for range rapid.IntRange(0, 8).Draw(t, "lines") {
			var l []geom.Point
			for range rapid.IntRange(0, 5).Draw(t, "points") {
				l = append(l, geom.Pt(c(), c()))
			}
			lines = append(lines, l)
			drawn += geom.PathLen(l)
		}
		opt := WiringOptions{Taps: rapid.Bool().Draw(t, "taps"), Return: rapid.Bool().Draw(t, "return")}
		w, err := NewWiring(lines, symbols, 0, opt)
		if err != nil {
			t.Fatal(err)
		}
		seen := make([]int, len(symbols))
		total := 0.0
		for _, c := range w.Circuits {
			sum := 0.0
			at := map[int]bool{0: true}
			runs := c.Runs
			if c.Return != nil {
				runs = append(slices.Clone(runs), *c.Return)
			}
			for _, r := range runs {
				p := r.Leg.Points
				if p[0] != w.Nodes[r.From].At || p[len(p)-1] != w.Nodes[r.To].At {
					t.Fatalf("run %d-%d is drawn from %v to %v", r.From, r.To, p[0], p[len(p)-1])
				}
				if math.Abs(geom.PathLen(p)-r.Leg.Length) > 1e-9 || r.Leg.Via != ViaWiring {
					t.Fatalf("run %d-%d: %+v", r.From, r.To, r.Leg)
				}
				if !at[r.From] {
					t.Fatalf("run %d-%d leaves a node that was not reached", r.From, r.To)
				}
				at[r.To] = true
				sum += r.Leg.Length
			}
			if math.Abs(sum-c.Length) > 1e-9 {
				t.Fatalf("runs of %v, circuit of %v", sum, c.Length)
			}
			total += sum
			for _, p := range c.Order {
				seen[p]++
				if !at[p] {
					t.Fatalf("device %d is in the order and on no run", p)
				}
			}
		}
		cuts := 0
		for _, p := range w.graph.pieces {
			if !p.dead {
				cuts += len(p.pts)
			}
		}
		// Each end of a piece may add the way to a symbol's middle.
		if total > drawn+float64(2*cuts)*0.7+1e-9 {
			t.Fatalf("%v m of wire read, %v m drawn", total, drawn)
		}
		cutOff := false
		missing := make([]bool, len(symbols))
		for _, f := range w.Findings {
			cutOff = cutOff || f.Kind == CutOff
			if f.Place >= 0 && f.Kind == Untouched {
				missing[f.Place] = true
			}
			if f.Message == "" || !f.At.IsFinite() {
				t.Fatalf("finding %+v", f)
			}
		}
		for i := 1; i < len(symbols); i++ {
			if seen[i] > 1 || seen[i] == 1 && missing[i] || seen[i] == 0 && !missing[i] && !cutOff {
				t.Fatalf("device %d: on %d circuits, missing %v", i, seen[i], missing[i])
			}
			if seen[i] == 1 && math.IsInf(alongWires(w, 0)[i], 1) {
				t.Fatalf("device %d is on a circuit, but no wire leads from the panel to it", i)
			}
		}
	})
}
