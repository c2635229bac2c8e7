package tree

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff/geom"
)

func near(t testing.TB, got, want, tol float64, what string) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

func mustSteiner(t interface {
	Helper()
	Fatal(...any)
}, pts []geom.Point, root int) *Tree {
	t.Helper()
	tr, err := Steiner(pts, root)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

// spanning is the shortest rectilinear tree that branches at terminals only:
// what the search for a Steiner tree starts from.
func spanning(pts []geom.Point, root int) *Tree {
	c := newCanon(pts)
	return c.tree(c.spanning(), pts, root)
}

// Closed forms: half perimeters, and counts of unit steps.
func TestClosedForms(t *testing.T) {
	tests := []struct {
		name              string
		pts               []geom.Point
		steiner, spanning float64
	}{
		{"one point", []geom.Point{geom.Pt(3, 4)}, 0, 0},
		{"two points", []geom.Point{geom.Pt(0, 0), geom.Pt(3, 4)}, 7, 7},
		{"all on one place", []geom.Point{geom.Pt(1, 1), geom.Pt(1, 1), geom.Pt(1, 1)}, 0, 0},
		// Any three points: half the perimeter of their box.
		{"three points", []geom.Point{geom.Pt(0, 0), geom.Pt(4, 1), geom.Pt(2, 5)}, 9, 11},
		{"corners of a unit square", []geom.Point{geom.Pt(0, 0), geom.Pt(1, 0), geom.Pt(1, 1), geom.Pt(0, 1)}, 3, 3},
		// The four arms of a cross meet in its middle: 4 arms; without it 3 times 2.
		{"cross of four", []geom.Point{geom.Pt(1, 0), geom.Pt(2, 1), geom.Pt(1, 2), geom.Pt(0, 1)}, 4, 6},
		{"collinear", []geom.Point{geom.Pt(5, 2), geom.Pt(1, 2), geom.Pt(9, 2), geom.Pt(4, 2)}, 8, 8},
		// A grid of unit steps joins n points with n-1 of them, and no tree can do with less.
		{"grid of 5 x 4", grid(5, 4), 19, 19},
		{"grid of 12 x 10", grid(12, 10), 119, 119},
		// A comb: teeth of length 2, 3 apart, on a spine that no terminal lies on but the ends.
		{"comb", []geom.Point{geom.Pt(0, 0), geom.Pt(3, 2), geom.Pt(6, 2), geom.Pt(9, 0), geom.Pt(3, -2), geom.Pt(6, -2)}, 9 + 4*2, 5 + 3 + 5 + 4 + 3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := mustSteiner(t, tt.pts, 0)
			near(t, s.Length, tt.steiner, 1e-9, "Steiner length")
			sp := spanning(tt.pts, 0)
			near(t, sp.Length, tt.spanning, 1e-9, "spanning length")
			checkTree(t, s, tt.pts, 0)
			checkTree(t, sp, tt.pts, 0)
			if len(tt.pts) <= exactTerminals && !s.Exact {
				t.Error("a small tree must be exact")
			}
		})
	}
}

func grid(w, h int) []geom.Point {
	var out []geom.Point
	for y := range h {
		for x := range w {
			out = append(out, geom.Pt(float64(x), float64(y)))
		}
	}
	return out
}

// checkTree asserts everything that a Tree promises whatever its length.
func checkTree(t interface {
	Helper()
	Fatalf(string, ...any)
}, tr *Tree, pts []geom.Point, root int) {
	t.Helper()
	sum, edges := 0.0, 0
	if tr.Root != root || len(tr.Order) != len(pts) || tr.Order[0] != root {
		t.Fatalf("root %d, order %v", tr.Root, tr.Order)
	}
	if s := slices.Sorted(slices.Values(tr.Order)); s[0] != 0 || s[len(s)-1] != len(pts)-1 || len(slices.Compact(s)) != len(pts) {
		t.Fatalf("order names not every terminal once: %v", tr.Order)
	}
	for i, n := range tr.Nodes {
		if (n.Terminal >= 0) != (i < len(pts)) || n.Terminal >= 0 && (n.Terminal != i || n.At != pts[i]) {
			t.Fatalf("node %d: %+v", i, n)
		}
		if n.Terminal < 0 && len(n.Children) < 2 {
			t.Fatalf("Steiner point %d joins %d edges", i, len(n.Children)+1)
		}
		last := 0.0
		for _, c := range n.Children {
			if tr.Nodes[c].Parent != i {
				t.Fatalf("node %d is a child of %d and calls %d its parent", c, i, tr.Nodes[c].Parent)
			}
			if tr.Nodes[c].Length < last {
				t.Fatalf("children of %d are not nearest first", i)
			}
			last = tr.Nodes[c].Length
		}
		if i == root {
			if n.Parent != -1 || n.Path != nil || n.Dist != 0 {
				t.Fatalf("root: %+v", n)
			}
			continue
		}
		edges++
		p := tr.Nodes[n.Parent]
		if math.Abs(n.Length-p.At.Rect(n.At)) > 1e-9 || math.Abs(n.Dist-p.Dist-n.Length) > 1e-6 {
			t.Fatalf("node %d: length %v, dist %v", i, n.Length, n.Dist)
		}
		if n.Path[0] != p.At || n.Path[len(n.Path)-1] != n.At || len(n.Path) > 3 {
			t.Fatalf("node %d: path %v", i, n.Path)
		}
		for k := 1; k < len(n.Path); k++ {
			if n.Path[k-1].X != n.Path[k].X && n.Path[k-1].Y != n.Path[k].Y {
				t.Fatalf("node %d: path %v is not rectilinear", i, n.Path)
			}
		}
		sum += n.Length
	}
	// Every node hangs on the root: walking up ends there.
	for i := range tr.Nodes {
		for k, up := i, 0; k != root; k, up = tr.Nodes[k].Parent, up+1 {
			if up > len(tr.Nodes) {
				t.Fatalf("node %d hangs on a cycle", i)
			}
		}
	}
	if edges != len(tr.Nodes)-1 || math.Abs(sum-tr.Length) > 1e-6*(1+sum) {
		t.Fatalf("%d edges of %v, length %v", edges, sum, tr.Length)
	}
	if tr.LowerBound > tr.Length*(1+1e-12) {
		t.Fatalf("lower bound %v above the length %v", tr.LowerBound, tr.Length)
	}
	if tr.Exact && tr.LowerBound != tr.Length {
		t.Fatalf("exact, but the bound is %v of %v", tr.LowerBound, tr.Length)
	}
}

func drawPoints(t *rapid.T, lo, hi int) []geom.Point {
	n := rapid.IntRange(lo, hi).Draw(t, "n")
	span := rapid.SampledFrom([]int{3, 12, 1000}).Draw(t, "span") // few places give ties and doubles
	pts := make([]geom.Point, n)
	for i := range pts {
		pts[i] = geom.Pt(float64(rapid.IntRange(0, span).Draw(t, "x")), float64(rapid.IntRange(0, span).Draw(t, "y")))
	}
	return pts
}

func TestTreeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts := drawPoints(t, 1, 18)
		root := rapid.IntRange(0, len(pts)-1).Draw(t, "root")
		s := mustSteiner(t, pts, root)
		sp := spanning(pts, root)
		checkTree(t, s, pts, root)
		checkTree(t, sp, pts, root)
		if s.Length > sp.Length {
			t.Fatalf("Steiner %v longer than spanning %v", s.Length, sp.Length)
		}
		if 1.5*s.Length < sp.Length-1e-9 {
			t.Fatalf("Steiner %v shorter than Hwang's bound on %v allows", s.Length, sp.Length)
		}

		// The order of the input does not matter, nor where the root is.
		perm := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)).Perm(len(pts))
		mixed := make([]geom.Point, len(pts))
		for i, p := range perm {
			mixed[i] = pts[p]
		}
		m := mustSteiner(t, mixed, slices.Index(perm, root))
		if m.Length != s.Length {
			t.Fatalf("length %v after a change of order, %v before", m.Length, s.Length)
		}
		for i := range m.Order {
			if mixed[m.Order[i]] != pts[s.Order[i]] {
				t.Fatalf("walk %v after a change of order, %v before", m.Order, s.Order)
			}
		}
		if o := mustSteiner(t, pts, rapid.IntRange(0, len(pts)-1).Draw(t, "other root")); math.Abs(o.Length-s.Length) > 1e-9 {
			t.Fatalf("length %v from another root, %v before", o.Length, s.Length)
		}

		// Nor do a shift, a quarter turn or a mirror.
		dx, dy := float64(rapid.IntRange(-1e6, 1e6).Draw(t, "dx")), float64(rapid.IntRange(-1e6, 1e6).Draw(t, "dy"))
		k := rapid.IntRange(0, 7).Draw(t, "symmetry")
		moved := make([]geom.Point, len(pts))
		for i, p := range pts {
			if k&1 != 0 {
				p.X = -p.X
			}
			if k&2 != 0 {
				p.Y = -p.Y
			}
			if k&4 != 0 {
				p.X, p.Y = p.Y, p.X
			}
			moved[i] = geom.Pt(p.X+dx, p.Y+dy)
		}
		if v := mustSteiner(t, moved, root); math.Abs(v.Length-s.Length) > 1e-9 {
			t.Fatalf("length %v moved by symmetry %d and (%v, %v), %v before", v.Length, k, dx, dy, s.Length)
		}
	})
}

// bruteForce tries every choice of up to n-2 points of the Hanan grid and spans it.
func bruteForce(pts []geom.Point) float64 {
	var xs, ys []float64
	for _, p := range pts {
		xs, ys = append(xs, p.X), append(ys, p.Y)
	}
	var cand []geom.Point
	slices.Sort(xs)
	slices.Sort(ys)
	for _, x := range slices.Compact(xs) {
		for _, y := range slices.Compact(ys) {
			if p := (geom.Pt(x, y)); !slices.Contains(pts, p) {
				cand = append(cand, p)
			}
		}
	}
	best := math.Inf(1)
	var try func(chosen []geom.Point, from, left int)
	try = func(chosen []geom.Point, from, left int) {
		best = math.Min(best, primOracle(chosen))
		if left == 0 {
			return
		}
		for i := from; i < len(cand); i++ {
			try(append(chosen[:len(chosen):len(chosen)], cand[i]), i+1, left-1)
		}
	}
	try(pts, 0, max(0, len(pts)-2))
	return best
}

func primOracle(pts []geom.Point) float64 {
	in := make([]bool, len(pts))
	in[0] = true
	sum := 0.0
	for range len(pts) - 1 {
		d, at := math.Inf(1), -1
		for i := range pts {
			for j := range pts {
				if in[i] && !in[j] && pts[i].Rect(pts[j]) < d {
					d, at = pts[i].Rect(pts[j]), j
				}
			}
		}
		in[at] = true
		sum += d
	}
	return sum
}

func TestSmallTreesAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts := drawPoints(t, 1, 5)
		if got, want := mustSteiner(t, pts, 0).Length, bruteForce(pts); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v: length %v, brute force %v", pts, got, want)
		}
	})
	for seed := range uint64(8) {
		pts := random(6, seed)
		near(t, mustSteiner(t, pts, 0).Length, bruteForce(pts), 1e-9, "six points")
	}
}

// The heuristic, which small inputs bypass, against the exact method.
func TestSearchAgainstExact(t *testing.T) {
	worst := 0.0
	for seed := range uint64(30) {
		c := newCanon(random(9, seed))
		h, e := c.spanning(), c.spanning()
		h.search(50)
		e.solveExactly()
		if h.total() < e.total() {
			t.Fatalf("seed %d: the search found %d, below the optimum %d", seed, h.total(), e.total())
		}
		worst = max(worst, 100*(float64(h.total())/float64(e.total())-1))
	}
	t.Logf("worst gap of the search on 30 sets of 9 points: %.3f %%", worst)
	if worst > 2 {
		t.Errorf("worst gap %.2f %%", worst)
	}
}

// The bound by dual ascent never exceeds the optimum and beats the quick one.
func TestDualAscentAgainstExact(t *testing.T) {
	sum := 0.0
	for seed := range uint64(60) {
		c := newCanon(random(2+int(seed%8), seed))
		e := c.spanning()
		quick := float64(e.total()) * 2 / 3
		e.solveExactly()
		bound := dualAscent(c.at)
		if bound > e.total() {
			t.Fatalf("seed %d: bound %d above the optimum %d", seed, bound, e.total())
		}
		if float64(bound) < quick {
			t.Errorf("seed %d: bound %d below the quick one, %v", seed, bound, quick)
		}
		sum += 100 * (1 - float64(bound)/float64(e.total()))
	}
	t.Logf("mean gap of the bound on 60 sets of 2 to 9 points: %.2f %%", sum/60)
}

func TestBadInput(t *testing.T) {
	ok := []geom.Point{geom.Pt(0, 0), geom.Pt(1, 1)}
	if _, err := Steiner(nil, 0); !errors.Is(err, errEmpty) {
		t.Errorf("nothing: %v", err)
	}
	for _, root := range []int{-1, 2} {
		if _, err := Steiner(ok, root); !errors.Is(err, errRoot) {
			t.Errorf("root %d: %v", root, err)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := Steiner([]geom.Point{geom.Pt(0, 0), geom.Pt(v, 0)}, 0); err == nil {
			t.Errorf("%v is accepted", v)
		}
	}
}

// Coordinates of every size must neither overflow nor hang.
func TestExtremeCoordinates(t *testing.T) {
	for _, k := range []float64{1e-300, 1e-9, 1, 1e9, 1e150} {
		pts := []geom.Point{geom.Pt(0, 0), geom.Pt(1*k, 2*k), geom.Pt(3*k, 1*k), geom.Pt(-2*k, 5*k)}
		s := mustSteiner(t, pts, 0)
		near(t, s.Length/k, bruteForce([]geom.Point{geom.Pt(0, 0), geom.Pt(1, 2), geom.Pt(3, 1), geom.Pt(-2, 5)}), 1e-6, "length in units of the scale")
	}
	s := mustSteiner(t, []geom.Point{geom.Pt(-math.MaxFloat64/4, 0), geom.Pt(math.MaxFloat64/4, 0), geom.Pt(0, 1)}, 0)
	if math.IsInf(s.Length, 0) || math.IsNaN(s.Length) {
		t.Errorf("length %v", s.Length)
	}
}
