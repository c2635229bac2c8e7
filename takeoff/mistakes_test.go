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
	// floor is an L of walls with three rooms, moved.
	floor := func(x, y int) string {
		at := func(pts ...int) string {
			s := "line A-WALL"
			for i, v := range pts {
				s += fmt.Sprint(" ", v+[2]int{x, y}[i%2])
			}
			return s + "\n"
		}
		return "layer A-WALL\n" + at(0, 0, 1200, 0, 1200, 500, 700, 500, 700, 900, 0, 900, 0, 0) + at(300, 0, 300, 900) + at(0, 380, 700, 380) + at(850, 0, 850, 500) +
			fmt.Sprintf("SMK %d %d\n", x+100, y+100)
	}
	grid := func(x, y int) (s string) {
		for i, name := range []string{"A", "B", "C", "1", "2"} {
			s += fmt.Sprintf("text %d %d 9 %s\n", x+170*i, y-150+40*(i%2), name)
		}
		return s
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
		{"walls that are drawn elsewhere", floor(0, 0), floor(600, 250), two(nil),
			"F222 warning plans[1].datum Level 2 is 16.5 m away from where it stands above Level 1: datum: [600, 250] would bring them together, by 100% of its walls"},
		{"walls that are drawn elsewhere, with a datum", floor(0, 0), floor(600, 250), two(func(r *takeoff.Request) {
			r.Plans[1].Datum = &geom.Point{X: 600, Y: 250}
		}), ""},
		{"a grid that is drawn elsewhere", "loop A-WALL 0 0 800 0 800 600 0 600\nSMK 50 50\n" + grid(0, 0), "loop A-WALL 900 0 1800 0 1800 700 900 700\nSMK 950 50\n" + grid(900, 0), two(nil),
			"F222 warning plans[1].datum Level 2 is 22.9 m away from where it stands above Level 1: datum: [900, 0] would bring them together, by 5 texts and symbols"},
		{"a level turned by a quarter", floor(0, 0) + grid(0, 0), floor(0, 0) + grid(0, 0) + "SMK 200 100", two(func(r *takeoff.Request) {
			q, z := 90.0, 0.0
			r.Plans[0].Turned, r.Plans[1].Turned = &z, &q
		}), "F222 warning plans[1].turned Level 2 is turned against Level 1: turned: 0 would bring them together"},
		{"a smaller floor above", floor(0, 0), "loop A-WALL 250 60 650 60 650 350 250 350\nSMK 300 300\nlayer A-WALL", two(nil), ""},
		{"another building", floor(0, 0), "loop A-WALL 9000 60 9650 60 9650 450 9000 450\nline A-WALL 9200 60 9200 450\nSMK 9100 300\nlayer A-WALL", two(nil),
			"F222 warning plans[1].datum Level 2 stands over hardly anything of Level 1 (0% of the smaller one)"},
		{"the lowest of three levels elsewhere", floor(600, 250), floor(0, 0), two(func(r *takeoff.Request) {
			r.Plans = append(r.Plans, takeoff.Plan{Drawing: "c.dxf", Level: "Level 3", Units: "in", Elevation: 8, Ceiling: 3, CableHeight: 3.3})
		}), "F222 warning plans[0].datum Level 1 is 16.5 m away from where it stands above Level 2: datum: [600, 250] would bring them together"},
		{"a riser that is drawn elsewhere", "loop A-WALL 0 0 800 0 800 600 0 600\nSMK 50 50\nRISER 400 300", "loop A-WALL 60 40 900 40 900 700 60 700\nSMK 95 50\nRISER 500 300", two(func(r *takeoff.Request) {
			r.Risers = []takeoff.Landmark{{Name: "Shaft", Match: []words.Match{{Block: "RISER"}}}}
		}), "F222 warning risers[0].match riser Shaft stands 2.5 m apart on Level 1 and Level 2, and cable goes straight up in it: datum: [100, 0] in the row of Level 2"},
		{"two risers of one name", "loop A-WALL 0 0 800 0 800 600 0 600\nSMK 50 50\nRISER 400 300\nRISER 700 300", "loop A-WALL 0 0 820 0 820 600 0 600\nSMK 95 50\nRISER 400 300\nRISER 700 300", two(func(r *takeoff.Request) {
			r.Risers = []takeoff.Landmark{{Name: "Shaft", Match: []words.Match{{Block: "RISER"}}}}
		}), ""},
		{"letters of the sheet that stay while the plan moves", floor(0, 0) + grid(0, 0), floor(600, 250) + grid(0, 0), two(func(r *takeoff.Request) {
			r.Plans[1].Datum = &geom.Point{X: 600, Y: 250}
		}), ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			req := one(tt.change)
			req.Units = measure.Metric
			drawings := map[string]string{"a.dxf": "units 1\n" + tt.a}
			if tt.b != "" {
				drawings["b.dxf"] = "units 1\n" + tt.b
				drawings["c.dxf"] = "units 1\n" + tt.b + "\nSMK 500 100" // of the same building
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
