package takeoff

import (
	"math"
	"testing"

	"loopwright/takeoff/geom"
)

var roomTexts = []struct{ text, number, name string }{
	{"301 ARCHIVE", "301", "ARCHIVE"},
	{"CORRIDOR 300", "300", "CORRIDOR"},
	{"STORAGE\n305", "305", "STORAGE"},
	{"STAIR 1\nS1", "S1", "STAIR 1"},
	{"STAIR 1", "", "STAIR 1"},
	{"MEN'S\nTOILET\nB-104A", "B-104A", "MEN'S TOILET"},
	{"TYPE 'F1'", "", "TYPE 'F1'"},
	{"КАФЕ 12", "12", "КАФЕ"},
	{"104", "104", ""},
	{"24'-0\"", "", ""},
	{"CLG 9'-0\"", "", ""},
	{"SEE NOTE 4", "", ""},
	{"UP", "", ""},
	{"LEVEL 1 FLOOR PLAN", "", ""},
	{"859 SQ. FT.", "", ""},
	{"13'8 x 14'", "", ""},
	{"", "", ""},
}

func TestParseRoom(t *testing.T) {
	for _, tt := range roomTexts {
		if number, name := parseRoom(tt.text); number != tt.number || name != tt.name {
			t.Errorf("%q: %q and %q, want %q and %q", tt.text, number, name, tt.number, tt.name)
		}
	}
}

// Whatever a text says, a room read from it is not read as another from its label.
func FuzzParseRoom(f *testing.F) {
	for _, tt := range roomTexts {
		f.Add(tt.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		number, name := parseRoom(text)
		if number != "" && !roomNumber.MatchString(number) {
			t.Fatalf("%q: number %q", text, number)
		}
		if number != "" && name != "" {
			// A name of several lines may be longer than one line may be; then it reads as a note.
			if n, m := parseRoom(number + "\n" + name); (n != number || m == "") && n+m != "" {
				t.Fatalf("%q: %q and %q, then %q and %q", text, number, name, n, m)
			}
		}
	})
}

func TestLevelName(t *testing.T) {
	tests := []struct {
		title, name string
		order       int
	}{
		{"LEVEL 1 FIRE ALARM PLAN", "Level 1", 1},
		{"2ND FLOOR PLAN", "Level 2", 2},
		{"Third Floor - Electrical Plan", "Level 3", 3},
		{"BASEMENT PLAN", "Basement", -1},
		{"GROUND FLOOR PLAN", "Ground Floor", 0},
		{"ROOF PLAN", "Roof", 99},
		{"FLOOR 12", "Level 12", 12},
		{"SITE PLAN", "", 0},
		{"FIRE PROOFING", "", 0},
	}
	for _, tt := range tests {
		name, order, ok := LevelName(tt.title)
		if name != tt.name || order != tt.order || ok != (tt.name != "") {
			t.Errorf("%q: %q %d %v, want %q %d", tt.title, name, order, ok, tt.name, tt.order)
		}
	}
}

// The sizes are those of things in a drawing; the unit to take is known.
func TestUnitsFit(t *testing.T) {
	m := func(side, door, text float64) []Measure {
		return []Measure{{"side", side, extentFrom, extentTo}, {"door", door, doorFrom, doorTo}, {"text", text, textFrom, textTo}}
	}
	tests := []struct {
		name, unit string
		measures   []Measure
		sure       bool
	}{
		{"house in inches", "in", m(796, 30, 5.5), true},
		{"office in millimetres", "mm", m(48000, 900, 250), true},
		{"office in metres", "m", m(48, 0.9, 0.25), true},
		{"house in feet", "ft", m(66, 3, 0.5), true},
		{"office in centimetres", "cm", m(4800, 90, 25), true},
	}
	for _, tt := range tests {
		u := UnitsFit{Measures: tt.measures}
		if got, sure := best(u); got != tt.unit || sure != tt.sure {
			t.Errorf("%s: %s (sure %v), want %s (%v)", tt.name, got, sure, tt.unit, tt.sure)
		}
	}
}

// A plan that is turned comes back to lie on another of its kind, for any
// angle, quarter turns among them. The walls have no symmetry.
func TestTurnAgainst(t *testing.T) {
	walls := []Wall{}
	for _, s := range [][4]float64{{0, 0, 20, 0}, {20, 0, 20, 8}, {20, 8, 6, 8}, {6, 8, 6, 15}, {6, 15, 0, 15}, {0, 15, 0, 0}, {12, 0, 12, 8}} {
		walls = append(walls, Wall{Segment: geom.Segment{A: geom.Pt(s[0], s[1]), B: geom.Pt(s[2], s[3])}})
	}
	for _, turn := range []float64{0, 17, 30, 44.9, 45.5, 90, 133, 180, -90, -12.5} {
		ref := Sheet{Plan: Plan{Level: "1", Datum: &geom.Point{X: 6, Y: 8}}, MetrePer: 1, Walls: walls}
		at := geom.Pt(100, -40)
		s := Sheet{Plan: Plan{Level: "2", Datum: &at}, MetrePer: 1}
		for _, w := range walls {
			w.A = at.Add(w.A.Sub(*ref.Plan.Datum).Turn(turn))
			w.B = at.Add(w.B.Sub(*ref.Plan.Datum).Turn(turn))
			s.Walls = append(s.Walls, w)
		}
		tk := &taker{}
		if got := tk.turnAgainst(&ref, &s, newWallRaster(&ref, ref.turned())); math.Abs(math.Remainder(got-turn, 360)) > 0.02 {
			t.Errorf("turned by %g: found %g", turn, got)
		}
	}
}
