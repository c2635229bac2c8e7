package matrix

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

var slc, nac = []takeoff.CircuitKind{takeoff.SLC}, []takeoff.CircuitKind{takeoff.NAC}

var types = []takeoff.DeviceType{
	{Type: "smoke", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "smoke", Event: "111"}}},
	{Type: "duct", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "duct smoke", Event: "116"}, {Function: "fan", Event: "320"}}},
	{Type: "tamper", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "valve", Event: "203"}}},
	{Type: "co", Addresses: 1, WiredTo: slc, Points: []takeoff.Point{{Function: "co", Event: "162"}}},
	{Type: "base", WiredTo: []takeoff.CircuitKind{takeoff.SLC, takeoff.Power}},
	{Type: "horn", WiredTo: nac},
	{Type: "iso", WiredTo: slc, Isolates: true},
}

// devicesOf reads "type level room x" items between semicolons.
func devicesOf(text string) []assign.Numbered {
	var ds []assign.Numbered
	for i, item := range strings.Split(text, ";") {
		var d assign.Numbered
		fmt.Sscan(item, &d.Type, &d.Level, &d.Room, &d.Pos.X)
		d.ID, d.Circuit, d.Address, d.Status = fmt.Sprint("D", i+1), "C", i+1, takeoff.Counted
		for _, t := range types {
			for k, p := range t.Points {
				if t.Type == d.Type {
					d.Points = append(d.Points, assign.NumberedPoint{Point: fmt.Sprintf("%d.%d", i+1, k+1), Function: p.Function, Event: p.Event})
				}
			}
		}
		ds = append(ds, d)
	}
	return ds
}

func zone(d takeoff.Device) string { return "zone " + d.Level + string(d.Room[0]) }

func lines(rows [][]string) string {
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(append([]string{r[2]}, r[len(head):]...), " | ") + "\n")
	}
	return b.String()
}

func TestScopes(t *testing.T) {
	building := "smoke 1 101 0;base 1 101 0;smoke 1 101 5;base 1 101 5;smoke 2 201 0;base 2 201 0;horn 1 110 9;horn 2 210 9;duct 1 102 3;smoke 1 110 7"
	tests := []struct {
		name  string
		rules []Rule
		want  string
	}{
		{"the draft: alarm inputs work appliances", nil,
			"id | DRAFT: base, all of 3 from D2 | DRAFT: horn, all of 2 from D7\nD1 | x | x\nD3 | x | x\nD5 | x | x\nD9 | x | x\nD10 | x | x\n"},
		{"its own detector", []Rule{{Select{Functions: []string{"smoke"}}, Select{Types: []string{"base"}}, Device}},
			"id | base, own spot\nD1 | D2\nD3 | D4\nD5 | D6\nD9 | \nD10 | \n"},
		{"all of the dwelling", []Rule{{Select{Functions: []string{"smoke"}}, Select{Types: []string{"base"}}, Room}},
			"id | base, own room\nD1 | D2 D4\nD3 | D2 D4\nD5 | D6\nD9 | \nD10 | \n"},
		{"by level", []Rule{{Select{Functions: []string{"smoke"}}, Select{Types: []string{"horn"}}, Level}},
			"id | horn D7 | horn D8\nD1 | x | \nD3 | x | \nD5 |  | x\nD9 |  | \nD10 | x | \n"},
		{"by zone", []Rule{{Select{Rooms: []string{"1*"}}, Select{Types: []string{"base"}}, Zone}},
			"id | base, 1 2 from D2\nD1 | x\nD3 | x\nD5 | \nD9 | x\nD10 | x\n"},
		{"the relay in the device", []Rule{{Select{Types: []string{"duct"}}, Select{Functions: []string{"fan"}}, Device}},
			"id | duct fan, own spot\nD1 | \nD3 | \nD5 | \nD9 | D9\nD10 | \n"},
		{"two rules", []Rule{{Select{Levels: []string{"1"}}, Select{Types: []string{"horn"}, Levels: []string{"1"}}, Building}, {Select{Types: []string{"smoke"}}, Select{Types: []string{"base"}}, Device}},
			"id | horn D7 | base, own spot\nD1 | x | D2\nD3 | x | D4\nD5 |  | D6\nD9 | x | \nD10 | x | \n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := lines(Make(devicesOf(building), types, tt.rules, zone).Table()); got != tt.want {
				t.Errorf("got\n%swant\n%s", got, tt.want)
			}
		})
	}
}

func TestFindings(t *testing.T) {
	building := "smoke 1 101 0;tamper 1 101 2;co 1 102 4;horn 1 103 6;duct 1 104 8;iso 1 105 9"
	tests := []struct {
		name  string
		rules []Rule
		want  string
	}{
		{"draft", nil, "F520 note the job has no matrix; F521 note nothing in the matrix is activated by 1 input, co co; F522 note nothing in the matrix activates 1 output, duct fan"},
		{"rules", []Rule{{Select{Types: []string{"smoke"}}, Select{Types: []string{"horn"}}, Building}, {Select{Types: []string{"co"}}, Select{Types: []string{"horn"}}, Room}},
			"F523 warning rule 2 of the matrix matches; F521 warning nothing in the matrix is activated by 1 input, co co; F521 warning nothing in the matrix is activated by 1 input, duct duct smoke; F522 warning nothing in the matrix activates 1 output, duct fan"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			fs := Make(devicesOf(building), types, tt.rules, zone).Findings()
			want := strings.Split(tt.want, "; ")
			if len(fs) != len(want) {
				t.Fatalf("%v", fs)
			}
			for i, f := range fs {
				if s := fmt.Sprintf("%s %s %s", f.Code, f.Severity, f.Message); !strings.HasPrefix(s, want[i]) {
					t.Errorf("%s\nwant %s...", s, want[i])
				}
			}
		})
	}
}

// TestTableSaysWhatTheRulesSay reads the table back: every cell that is filled
// stands for outputs that the rules name, and none is lost.
func TestTableSaysWhatTheRulesSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var items []string
		for range rapid.IntRange(1, 25).Draw(t, "devices") {
			items = append(items, fmt.Sprintf("%s %d %d0%d %d", rapid.SampledFrom([]string{"smoke", "duct", "base", "horn", "co"}).Draw(t, "type"),
				rapid.IntRange(1, 2).Draw(t, "level"), rapid.IntRange(1, 2).Draw(t, "wing"), rapid.IntRange(1, 3).Draw(t, "room"), rapid.IntRange(0, 2).Draw(t, "x")))
		}
		var rules []Rule
		for range rapid.IntRange(0, 3).Draw(t, "rules") {
			rules = append(rules, Rule{Select{Types: []string{rapid.SampledFrom([]string{"smoke", "duct", "co"}).Draw(t, "in")}},
				Select{Types: []string{rapid.SampledFrom([]string{"base", "horn", "duct"}).Draw(t, "out")}}, rapid.SampledFrom(Scopes).Draw(t, "scope")})
		}
		m := Make(devicesOf(strings.Join(items, ";")), types, rules, zone)
		cols := m.columns()
		rows := m.Table()
		for i := range m.Inputs {
			n := 0
			for k, c := range cols {
				n += len(c.in[i])
				if cell := rows[i+1][len(head)+k]; (cell == "") != (len(c.in[i]) == 0) {
					t.Fatalf("cell %q for outputs %v", cell, c.in[i])
				}
				if !c.narrow && len(c.in[i]) != 0 && len(c.in[i]) != len(c.outs) {
					t.Fatalf("column %s joins outputs that do not go together: %v of %v", m.title(c), c.in[i], c.outs)
				}
			}
			if n != len(m.Works[i]) {
				t.Fatalf("input %d works %d outputs and the table shows %d", i, len(m.Works[i]), n)
			}
		}
	})
}

func TestLargeMatrixStaysNarrow(t *testing.T) {
	var ds []assign.Numbered
	for i := range 600 { // 300 dwellings, each with a detector on a sounder base
		d := assign.Numbered{Device: takeoff.Device{ID: fmt.Sprint("D", i), Type: []string{"smoke", "base"}[i%2], Level: fmt.Sprint(i / 60), Room: fmt.Sprint(100 + i/2), Status: takeoff.Counted, Pos: geom.Pt(float64(i/2), 0)}}
		ds = append(ds, d)
	}
	m := Make(ds, types, []Rule{{Select{Types: []string{"smoke"}}, Select{Types: []string{"base"}}, Room}, {Select{Types: []string{"smoke"}}, Select{Types: []string{"base"}}, Level}}, zone)
	if rows := m.Table(); len(rows) != 301 || len(rows[0])-len(head) > 11 {
		t.Errorf("%d rows, %d columns", len(rows), len(rows[0])-len(head))
	}
}
