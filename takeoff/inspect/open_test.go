package inspect

import (
	"math"
	"path/filepath"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
	"loopwright/testdata/against"
)

// openPlans are real plans with what a person counts on them.
var openPlans = []struct {
	file, units string
	headerFits  bool // the header's units can be believed
	width       float64
	counts      map[string]int         // by block, or by what is in figures
	figures     map[string]words.Match // symbols that are no blocks
	rooms       map[string][]string    // rooms of the symbols of a block, where the plan names them
}{
	// The header says mm; 58'-0" and 8'-4" of deck are written over the plan.
	{"D001.dxf", "in", false, 66.33, map[string]int{"P-Toilet": 2, "FIXT-OVALBATH": 3}, nil,
		map[string][]string{"P-Toilet": {"TOIL.", "BATH"}, "FIXT-OVALBATH": {"MSTR. BATH", "MSTR. BATH", "BATH"}}},
	// The header says nothing; 175'-0" is written, posts of patios stand beyond it. A section stands beside the plan.
	{"D012.dxf", "in", false, 175, map[string]int{"TOILET": 20, "RANGE": 12}, nil,
		map[string][]string{"RANGE": {"A101 TYPE 'D1'", "A102 TYPE 'F1'", "A103 TYPE 'F2'", "A104 TYPE 'C'", "A105 TYPE 'D1'", "A106 TYPE 'D1'",
			"A107 TYPE 'C'", "A108 TYPE 'G'", "A109 TYPE 'A3'", "A110 TYPE 'F3'", "A111 TYPE 'B2'", "A112 TYPE 'B1'"}}},
	// A pavilion without symbols, texts or dimensions, in metres as its header says.
	{"D029.dxf", "m", true, 0, nil, nil, nil},
	// A storey without blocks or names of rooms; the header says nothing, 21.74 is written over it. A wall in section stands beside it.
	{"D036.dxf", "mm", false, 21.74 / 0.3048, map[string]int{"flue": 5, "level mark": 2, "wall label": 21, "opening label": 4}, map[string]words.Match{
		"flue":       {Sample: &geom.Point{X: 17805, Y: 18796}, Layer: "SCHORNSTEINE"}, // drawn by hand, none quite like another; two larger ones in the section
		"level mark": {Sample: &geom.Point{X: 19855, Y: 19947}, Layer: "LEGENDE"},
		"wall label": {Text: "W*", Layer: "LEGENDE-70"}, "opening label": {Text: "S?", Layer: "LEGENDE-70"}}, nil},
	// The floor of a shed, 6235 mm written over it; bubbles with leaders, and the same again on a frozen layer.
	{"D032.dxf", "mm", true, 0, map[string]int{"bubble C": 2, "bubble 1": 2}, map[string]words.Match{
		"bubble C": {Sample: &geom.Point{X: 174, Y: 4975}, Layer: "1_base_d"}, "bubble 1": {Sample: &geom.Point{X: 1325, Y: 5908}, Layer: "1_base_d"}}, nil},
}

// TestAgainstOpenPlans counts two kinds of symbol on real plans. The counts were made
// by eye on pictures that another program drew (ezdxf's drawing add-on); the
// widths are those of the overall dimensions written on the plans, in feet.
func TestAgainstOpenPlans(t *testing.T) {
	dir := against.Folder(t, "dxf", "open")
	for _, tt := range openPlans {
		all, _, err := Files([]string{filepath.Join(dir, tt.file)})
		if err != nil {
			t.Fatal(err)
		}
		in := all[0]
		if got := in.Units.Unit(); got != tt.units {
			t.Errorf("%s: units %s, want %s", tt.file, got, tt.units)
		}
		m, _ := measure.MetresPer(tt.units)
		if w := max(in.Levels[0].Box.Width(), in.Levels[0].Box.Height()) * m / 0.3048; tt.width > 0 && math.Abs(w-tt.width) > 0.03*tt.width {
			t.Errorf("%s: %.1f ft wide, want %.1f", tt.file, w, tt.width)
		}
		req := takeoff.Request{Folder: dir, Plans: []takeoff.Plan{{Drawing: tt.file, Level: "L"}}}
		for b := range tt.counts {
			m, ok := tt.figures[b]
			if !ok {
				m = words.Match{Block: b}
			}
			req.Types = append(req.Types, takeoff.DeviceType{Type: b, Match: []words.Match{m}})
		}
		if _, err := takeoff.Take(req); (err == nil) != tt.headerFits {
			t.Errorf("%s: with the header's units: error %v", tt.file, err)
		}
		req.Plans[0].Units = tt.units
		r, err := takeoff.Take(req)
		if err != nil {
			t.Fatal(err)
		}
		got, rooms := map[string]int{}, map[string]map[string]int{}
		for _, d := range r.Devices {
			if d.Status == takeoff.Counted {
				got[d.Type]++
				if rooms[d.Type] == nil {
					rooms[d.Type] = map[string]int{}
				}
				rooms[d.Type][d.Room]++
			}
		}
		for b, n := range tt.counts {
			if got[b] != n {
				t.Errorf("%s: %d of %s, want %d", tt.file, got[b], b, n)
			}
			for _, room := range tt.rooms[b] {
				if rooms[b][room]--; rooms[b][room] < 0 {
					t.Errorf("%s: no %s in %s", tt.file, b, room)
				}
			}
		}
	}
}

// Every drawing of which the README of the open drawings says that its header is
// wrong or missing is doubted, with the unit that is right; those that it says
// nothing about are believed where they are plans.
func TestAgainstOpenUnits(t *testing.T) {
	dir := against.Folder(t, "dxf", "open")
	for _, tt := range []struct{ file, header, unit string }{
		{"D001.dxf", "mm", "in"}, // 58'-0" is written over what is drawn 696 units wide
		{"D012.dxf", "", "in"},   // 175'-0" over 2100
		{"D017.dxf", "mm", "m"},  // a survey: coordinates and heights in metres
		{"D020.dxf", "m", "m"},   // 373 m of streets: doubted as a storey, and proposed as a site
		{"D029.dxf", "m", "m"},
		{"D032.dxf", "mm", "mm"}, // 6235 is written over 6235 units
		{"D036.dxf", "", "mm"},   // 21.74 is written over 21740 units
	} {
		all, _, err := Files([]string{filepath.Join(dir, tt.file)})
		if err != nil {
			t.Fatal(err)
		}
		in := all[0]
		header := in.Units.Header
		if in.Units.From != "header" {
			header = ""
		}
		if got := in.Units.Unit(); header != tt.header || got != tt.unit {
			t.Errorf("%s: header %q, unit %q, want %q, %q", tt.file, header, got, tt.header, tt.unit)
		}
		if doubted := tt.header != tt.unit || tt.file == "D020.dxf"; doubted == (in.Units.From == "header" && len(in.Units.Doubts(tt.header)) == 0) {
			t.Errorf("%s: doubts %q", tt.file, in.Units.Doubts(tt.header))
		}
	}
}
