package takeoff_test

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// wall is a wall along y with openings of 36 in at x = 100, 300 and 500, and a room around it.
const wall = "layer A-WALL\nline A-WALL 0 0 100 0\nline A-WALL 136 0 300 0\nline A-WALL 336 0 500 0\nline A-WALL 536 0 800 0\nloop A-WALL 0 -300 800 -300 800 300 0 300\n"

// aboutJob writes the findings about keys of the job file as "code severity key message".
func aboutJob(res takeoff.Result) string {
	var out []string
	for _, f := range res.Findings {
		if f.Key != "" {
			out = append(out, fmt.Sprintf("%s %s %s %s", f.Code, f.Severity, f.Key, f.Message))
		}
	}
	return strings.Join(out, "\n")
}

// What can hardly be meant, by what is drawn: each slip is one finding that names its
// key, and its neighbours that are no slips are none.
func TestMistakes(t *testing.T) {
	doors := func(r *takeoff.Request) {
		r.Types[0].Match = append([]words.Match{{Block: "SMK"}}, words.Match{Block: "D*"})
	}
	two := func(change func(r *takeoff.Request)) func(*takeoff.Request) {
		return func(r *takeoff.Request) {
			r.Plans = append(r.Plans, takeoff.Plan{Drawing: "b.dxf", Level: "Level 2", Units: "in", Elevation: 4, Ceiling: 3, CableHeight: 3.3})
			if change != nil {
				change(r)
			}
		}
	}
	half := func(x float64) *geom.Box {
		b := geom.BoxOf(geom.Pt(x, -400), geom.Pt(x+400, 400))
		return &b
	}
	for _, tt := range []struct {
		name    string
		a, b    string
		change  func(*takeoff.Request)
		finding string // the one about the job file; "" for none
	}{
		{"a leaf and an arc", wall + "door D36 36\nD36 100 0\nSMK 50 50", "", doors,
			"F218 error types[0].match[1] 1 symbol of block D36 count as smoke and are doors, drawn as a leaf and the arc that it swings along: narrow rule 2 (block: D*)"},
		{"a leaf and an arc in a symbol with a circle", wall + "door D36 36 circle\nD36 100 0\nSMK 50 50", "", doors, ""},
		{"a leaf and an arc as small as a symbol", wall + "door D10 10\nD10 100 0\nSMK 50 50", "", doors, ""},
		{"bars that fill openings", wall + "bar D36 36\nD36 100 0\nD36 300 0\nD36 500 0\nSMK 50 50", "", doors,
			"F218 error types[0].match[1] 3 symbols of block D36 count as smoke and fill openings of walls, as doors and windows do: narrow rule 2 (block: D*)"},
		{"contacts in the middle of openings", wall + "DC 118 0\nDC 318 0\nDC 518 0\nSMK 50 50", "", doors, ""},
		{"bars along a wall", wall + "bar D36 36\nD36 40 0\nD36 200 0\nD36 400 0\nSMK 50 50", "", doors, ""},
		{"one drawing for two levels", wall + "SMK 50 50", "SMK 50 50", two(func(r *takeoff.Request) { r.Plans[1].Drawing = "a.dxf" }),
			"F219 warning plans[1].drawing a.dxf stands for Level 1 and for Level 2, its 1 symbol count on each"},
		{"a copy of the drawing", wall + "SMK 50 50", wall + "SMK 50 50", two(nil),
			"F219 warning plans[1].drawing a.dxf stands for Level 1 and for Level 2, b.dxf, a copy of it: its 1 symbol count on each"},
		{"two parts of one drawing", wall + "SMK 50 50\nSMK 450 50", "SMK 50 50", two(func(r *takeoff.Request) {
			r.Plans[1].Drawing, r.Plans[0].Region, r.Plans[1].Region = "a.dxf", half(0), half(400)
			r.Plans[1].Datum = &geom.Point{X: 400}
		}), ""},
		{"two drawings", wall + "SMK 50 50", wall + "SMK 60 50", two(nil), ""},
		{"no such wall layer", wall + "SMK 50 50", "", func(r *takeoff.Request) { r.Plans[0].Walls = []string{"WALLS"} },
			"F220 warning plans[0].walls Level 1: nothing is drawn on WALLS in a.dxf, so no wall is known there: walls seem to be on A-WALL"},
		{"a list of wall layers that serves two plans", wall + "line A-GLAZ 0 0 10 0\nSMK 50 50", wall + "SMK 60 50", two(func(r *takeoff.Request) {
			r.Plans[0].Walls, r.Plans[1].Walls = []string{"A-WALL", "A-GLAZ"}, []string{"A-WALL", "A-GLAZ"}
		}), ""},
		{"no such wiring layer", wall + "SMK 50 50", "", func(r *takeoff.Request) { r.Plans[0].Wiring = []string{"E-WIRE"} },
			"F220 warning plans[0].wiring Level 1: nothing is drawn on E-WIRE in a.dxf, so no wiring is followed there: correct the name"},
		{"two wings on one height", wall + "SMK 50 50", "SMK 2050 50\nloop A-WALL 2000 -300 2800 -300 2800 300 2000 300", two(func(r *takeoff.Request) {
			r.Plans[0].Level, r.Plans[1].Level, r.Plans[1].Elevation = "East", "West", 0
		}), ""},
		{"two levels on one height", wall + "SMK 50 50", wall + "SMK 60 50", two(func(r *takeoff.Request) { r.Plans[1].Elevation = 0 }),
			"F221 warning plans[1].elevation Level 1 and Level 2 are both at 0"},
		{"levels left out between", wall + "SMK 50 50", wall + "SMK 60 50", two(func(r *takeoff.Request) {
			r.Plans[1].Level, r.Plans[1].Elevation = "Level 6", 20
		}), ""},
		{"a level 43 m up", wall + "SMK 50 50", wall + "SMK 60 50", two(func(r *takeoff.Request) { r.Plans[1].Elevation = 43 }),
			"F221 warning plans[1].elevation Level 2 is 43.0 m above Level 1"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			req := one(tt.change)
			req.Units = measure.Metric
			drawings := map[string]string{"a.dxf": "units 1\n" + tt.a}
			if tt.b != "" {
				drawings["b.dxf"] = "units 1\n" + tt.b
			}
			res, err := sketched(t, req, drawings)
			if err != nil {
				t.Fatal(err)
			}
			got := aboutJob(res)
			if tt.finding == "" && got != "" || !strings.HasPrefix(got, tt.finding) || strings.Contains(got, "\n") {
				t.Errorf("%s\nwant %q", got, tt.finding)
			}
		})
	}
}
