package pair

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff/geom"
)

// spots reads "name type x y key" items between semicolons.
func spots(t *testing.T, text string) (out []Spot, names []string) {
	for _, item := range strings.Split(text, ";") {
		if strings.TrimSpace(item) == "" {
			continue
		}
		var name, typ, key string
		var x, y float64
		n, err := fmt.Sscan(item, &name, &typ, &x, &y, &key)
		if n < 4 {
			t.Fatalf("%q: %v", item, err)
		}
		out = append(out, Spot{Key: key, Type: typ, Level: "L", Sheet: "S", Pos: geom.Pt(x, y)})
		names = append(names, name)
	}
	return out, names
}

var byWord = map[By]string{byKey: "key", bySpot: "spot", byPlace: "place", byMove: "move"}

func describe(r Result, old, fresh []string) string {
	var parts []string
	for _, p := range r.Pairs {
		parts = append(parts, fmt.Sprintf("%s=%s %s %.2g", old[p.Old], fresh[p.New], byWord[p.By], p.Distance))
	}
	for _, i := range r.Removed {
		parts = append(parts, "-"+old[i])
	}
	for _, j := range r.Added {
		parts = append(parts, "+"+fresh[j])
	}
	return strings.Join(parts, ", ")
}

func TestMatch(t *testing.T) {
	tests := []struct{ name, old, fresh, want string }{
		{"by key, moved far", "a smoke 0 0 1; b smoke 9 0 2; c smoke 18 0 3", "A smoke 0 0 1; B smoke 9 0 2; C smoke 40 0 3", "a=A key 0, b=B key 0, c=C key 22"},
		{"keys dealt anew", "a smoke 0 0 1; b smoke 9 0 2; c smoke 18 0 3; d smoke 27 0 4", "A smoke 0 0 3; B smoke 9 0 4; C smoke 18 0 1; D smoke 27 0 2", "a=A spot 0, b=B spot 0, c=C spot 0, d=D spot 0"},
		{"most were spaced anew, one went far", "a smoke 0 0 1; b smoke 9 0 2; c smoke 18 0 3; d smoke 27 0 4", "A smoke 1 0 1; B smoke 11 0 2; C smoke 20 5 3; D smoke 29 0 4", "a=A key 1, b=B key 2, c=C key 5.4, d=D key 2"},
		{"keys dealt anew along a tight row", "a smoke 0 0 1; b smoke 2 0 2; c smoke 4 0 3; d smoke 6 0 4", "A smoke 0 0 2; B smoke 2 0 3; C smoke 4 0 4; D smoke 6 0 5", "a=A spot 0, b=B spot 0, c=C spot 0, d=D spot 0"},
		{"key, another type, near", "a smoke 0 0 1; b smoke 9 0 2", "A heat 0 0 1; B smoke 9 0 2", "a=A key 0, b=B key 0"},
		{"key, another type, far: not the same", "a smoke 0 0 1; b smoke 9 0 2; c smoke 30 0 3", "A heat 9 9 1; B smoke 9 0 2; C smoke 30 0 3", "b=B key 0, c=C key 0, -a, +A"},
		{"no keys, retyped in place", "a smoke 0 0; b smoke 9 0; c smoke 0 9", "A heat 0 0; B smoke 9 0; C smoke 0 9", "a=A place 0, b=B spot 0, c=C spot 0"},
		{"a retyped one is not a moved one", "a smoke 0 0; h heat 2.9 0; c smoke 0 19; d smoke 9 19", "A heat 0 0; S smoke 0 2.9; C smoke 0 19; D smoke 9 19", "a=A place 0, c=C spot 0, d=D spot 0, -h, +S"},
		{"moves cross least", "a smoke 0 0; b smoke 2 0; c heat 9 9; d heat 9 0; e heat 0 9", "A smoke 1 0; B smoke 3 0; C heat 9 9; D heat 9 0; E heat 0 9", "a=A move 1, b=B move 1, c=C spot 0, d=D spot 0, e=E spot 0"},
		{"out of reach", "a smoke 0 0; b heat 9 9; c heat 9 0; d heat 0 9", "A smoke 3.5 0; B heat 9 9; C heat 9 0; D heat 0 9", "b=B spot 0, c=C spot 0, d=D spot 0, -a, +A"},
		{"a whole sheet shifted", "a smoke 0 0; b smoke 9 0; c heat 0 9; d heat 5 5; e smoke 9 9", "A smoke 100 50; B smoke 109 50; C heat 100 59; D heat 106 55; N smoke 120 60", "a=A spot 0, b=B spot 0, c=C spot 0, d=D move 1, -e, +N"},
		{"base and detector on one spot", "a base 0 0; b smoke 0 0; c smoke 9 0", "A heat 0 0; B base 0 0; C smoke 9 0", "a=B spot 0, b=A place 0, c=C spot 0"},
		{"one insert holds three", "a smoke 0 0 1; b heat 1 0 1; c smoke 2 0 1; d smoke 9 0 2", "C smoke 2 0 1; B heat 1 0 1; A smoke 0 0 1; D smoke 9 0 2", "a=A key 0, b=B key 0, c=C key 0, d=D key 0"},
		{"an insert of three, moved far", "a smoke 0 0 1; b heat 1 0 1; c smoke 2 0 1; d smoke 9 0 2; e smoke 9 9 3", "C smoke 22 0 1; B heat 21 0 1; A smoke 20 0 1; D smoke 9 0 2; E smoke 9 9 3", "a=A key 20, b=B key 20, c=C key 20, d=D key 0, e=E key 0"},
		{"an insert holds one more, and one of another type", "a smoke 0 0 1; b heat 1 0 1; c smoke 9 0 2", "B pull 1 0 1; N heat 4 0 1; A smoke 0 0 1; C smoke 9 0 2", "a=A key 0, b=B key 0, c=C key 0, +N"},
		{"nothing before", "", "A smoke 0 0", "+A"},
		{"nothing left", "a smoke 0 0", "", "-a"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			old, oldNames := spots(t, tt.old)
			fresh, names := spots(t, tt.fresh)
			if got := describe(Match(old, fresh), oldNames, names); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestRenamedSheetAndLevel(t *testing.T) {
	old := []Spot{{Key: "1", Type: "smoke", Level: "Level 1", Sheet: "old.dxf"}, {Key: "2", Type: "smoke", Level: "Level 2", Sheet: "two.dxf"}}
	fresh := []Spot{{Key: "1", Type: "smoke", Level: "Ground", Sheet: "new.dxf"}, {Key: "2", Type: "smoke", Level: "Level 2", Sheet: "two-b.dxf"}}
	if r := Match(old, fresh); len(r.Pairs) != 2 || r.Pairs[0].By != byKey || r.Pairs[1].By != byKey {
		t.Errorf("%+v", r)
	}
}

func TestPersonsIDsHoldEverywhere(t *testing.T) {
	old := []Spot{{Key: "A", Certain: true, Type: "smoke", Level: "1"}, {Key: "B", Certain: true, Type: "smoke", Level: "1", Pos: geom.Pt(9, 0)}}
	fresh := []Spot{{Key: "B", Certain: true, Type: "smoke", Level: "1"}, {Key: "A", Certain: true, Type: "heat", Level: "2", Pos: geom.Pt(99, 0)}}
	r := Match(old, fresh)
	if len(r.Pairs) != 2 || r.Pairs[0].New != 1 || r.Pairs[1].New != 0 {
		t.Errorf("%+v", r)
	}
}

// bruteForce tries every way of pairing: the reference that assignment is held to.
func bruteForce(edges [][]edge, row int, taken int, alone float64) float64 {
	if row == len(edges) {
		return 0
	}
	best := alone + bruteForce(edges, row+1, taken, alone)
	for _, e := range edges[row] {
		if taken&(1<<e.to) == 0 {
			best = min(best, e.cost+bruteForce(edges, row+1, taken|1<<e.to, alone))
		}
	}
	return best
}

func TestAssignmentIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows, cols := rapid.IntRange(0, 6).Draw(t, "rows"), rapid.IntRange(1, 6).Draw(t, "cols")
		edges := make([][]edge, rows)
		for r := range edges {
			for c := range cols {
				if k := rapid.IntRange(0, 12).Draw(t, "cost"); k < 10 {
					edges[r] = append(edges[r], edge{c, float64(k)})
				}
			}
		}
		got, sum, used := assignment(edges, cols, 9), 0.0, map[int]bool{}
		for r, c := range got {
			if c < 0 {
				sum += 9
				continue
			}
			if used[c] {
				t.Fatalf("column %d twice", c)
			}
			used[c] = true
			k := slices.IndexFunc(edges[r], func(e edge) bool { return e.to == c })
			if k < 0 {
				t.Fatalf("row %d has no edge to %d", r, c)
			}
			sum += edges[r][k].cost
		}
		if want := bruteForce(edges, 0, 0, 9); math.Abs(sum-want) > 1e-9 {
			t.Fatalf("sum %v, least %v: %v", sum, want, got)
		}
	})
}

// TestSurvivorsAreFound: whatever a revision adds, takes away or shifts, what
// stayed is found again, with keys or without.
func TestSurvivorsAreFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(12, 60).Draw(t, "n")
		keys := rapid.Bool().Draw(t, "keys")
		by := geom.Pt(rapid.Float64Range(-500, 500).Draw(t, "dx"), rapid.Float64Range(-500, 500).Draw(t, "dy"))
		if rapid.Bool().Draw(t, "still") {
			by = geom.Point{}
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		var old, fresh []Spot
		survivor := map[int]int{}
		gone := rapid.IntRange(0, n/5).Draw(t, "gone")
		for i := range n {
			s := Spot{Type: []string{"smoke", "heat", "pull"}[i%3], Level: "L", Sheet: "S", Key: fmt.Sprint(i),
				Pos: geom.Pt(float64(i%8)*7+rng.Float64()*3, float64(i/8)*7+rng.Float64()*3)}
			old = append(old, s)
			if i < gone {
				continue
			}
			s.Pos = s.Pos.Add(by)
			if !keys {
				s.Key = fmt.Sprint("n", i)
			}
			survivor[i] = len(fresh)
			fresh = append(fresh, s)
		}
		for i := range rapid.IntRange(0, n/5).Draw(t, "come") {
			fresh = append(fresh, Spot{Type: "smoke", Level: "L", Sheet: "S", Key: fmt.Sprint("c", i), Pos: geom.Pt(100+7*float64(i), 100).Add(by)})
		}
		r := Match(old, fresh)
		for _, p := range r.Pairs {
			if want, ok := survivor[p.Old]; !ok || want != p.New {
				t.Fatalf("old %d found as new %d, want %d (%v), shift %v, found %v", p.Old, p.New, want, ok, by, r.Shifts)
			}
		}
		if len(r.Pairs) != len(survivor) {
			t.Fatalf("%d of %d survivors found; shift %v, found %v", len(r.Pairs), len(survivor), by, r.Shifts)
		}
	})
}

// building makes n devices of one type mix on a regular grid, the hardest case
// for finding a shift: it looks much the same one column further on.
func building(n int) []Spot {
	side := int(math.Ceil(math.Sqrt(float64(n))))
	var out []Spot
	for i := range n {
		typ := "smoke"
		if i%97 == 0 {
			typ = "pull"
		}
		out = append(out, Spot{Key: fmt.Sprint(i), Type: typ, Level: "L", Sheet: "S", Pos: geom.Pt(6*float64(i%side), 6*float64(i/side))})
	}
	return out
}

func revised(old []Spot) []Spot {
	rng := rand.New(rand.NewPCG(7, 7))
	var fresh []Spot
	for i, s := range old {
		if i%50 == 3 {
			continue
		}
		s.Key = "new" + s.Key
		s.Pos = s.Pos.Add(geom.Pt(25.4, -12.7))
		if i%20 == 5 {
			s.Pos = s.Pos.Add(geom.Pt(rng.Float64()*1.4, rng.Float64()*1.4))
		}
		fresh = append(fresh, s)
	}
	return fresh
}

func TestTenThousandRedrawnAndShifted(t *testing.T) {
	old := building(10_000)
	fresh := revised(old)
	r := Match(old, fresh)
	wrong := 0
	for _, p := range r.Pairs {
		if "new"+old[p.Old].Key != fresh[p.New].Key {
			wrong++
		}
	}
	if wrong > 0 || len(r.Pairs) != len(fresh) {
		t.Errorf("%d pairs of %d, %d wrong, shifts %v", len(r.Pairs), len(fresh), wrong, r.Shifts)
	}
}

func BenchmarkMatch10000(b *testing.B) {
	old := building(10_000)
	fresh := revised(old)
	for b.Loop() {
		Match(old, fresh)
	}
}

// Handles dealt anew along the rows of a grid that was shifted all agree on the next
// place: they have no say against devices that fit better.
func TestKeysThatAgreeOnTheNextPlace(t *testing.T) {
	var old, fresh []Spot
	for i := range 40 {
		s := Spot{Key: fmt.Sprint(i), Type: []string{"smoke", "heat", "smoke", "smoke", "pull"}[(i*i+i/8)%5], Level: "L", Sheet: "S", Pos: geom.Pt(float64(i/5)*6, float64(i%5)*7)}
		old = append(old, s)
		s.Key, s.Pos = fmt.Sprint(i+5), s.Pos.Add(geom.Pt(130, -120))
		fresh = append(fresh, s)
	}
	for _, p := range Match(old, fresh).Pairs {
		if p.Old != p.New {
			t.Fatalf("old %d is found as new %d", p.Old, p.New)
		}
	}
}
