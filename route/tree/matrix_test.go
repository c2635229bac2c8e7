package tree

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"pgregory.net/rapid"
)

// bruteLimited tries every labelled tree, by Pruefer sequences.
func bruteLimited(n, root int, cost func(i, j int) float64, lim Limits) float64 {
	best := math.Inf(1)
	if n == 1 {
		return 0
	}
	seq := make([]int, n-2)
	for {
		degree := make([]int, n)
		for i := range degree {
			degree[i] = 1
		}
		for _, s := range seq {
			degree[s]++
		}
		ok := true
		for i, d := range degree {
			ok = ok && d <= lim.at(i, root)
		}
		if ok {
			sum, left := 0.0, degree
			for _, s := range seq {
				for i := range left {
					if left[i] == 1 {
						sum += cost(min(i, s), max(i, s))
						left[i]--
						left[s]--
						break
					}
				}
			}
			a, b := -1, -1
			for i := range left {
				if left[i] == 1 {
					a, b = b, i
				}
			}
			best = math.Min(best, sum+cost(a, b))
		}
		k := 0
		for ; k < len(seq); k++ {
			if seq[k]++; seq[k] < n {
				break
			}
			seq[k] = 0
		}
		if k == len(seq) {
			return best
		}
	}
}

func TestMatrixLaws(t *testing.T) {
	limited, optimal := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		root := rapid.IntRange(0, n-1).Draw(t, "root")
		m := make([]float64, n*n)
		for i := range m {
			m[i] = float64(rapid.IntRange(0, 20).Draw(t, "cost"))
		}
		cost := func(i, j int) float64 {
			if i >= j {
				t.Fatalf("cost(%d, %d): not asked with i < j", i, j)
			}
			return m[i*n+j]
		}
		lim := Limits{rapid.IntRange(0, 3).Draw(t, "at root"), rapid.IntRange(0, 3).Draw(t, "elsewhere")}
		want := bruteLimited(n, root, cost, lim)
		tr, err := SpanningMatrix(n, root, cost, lim)
		if errors.Is(err, errLimit) {
			if !math.IsInf(want, 1) {
				t.Fatalf("no tree found within %+v, but there is one of %v", lim, want)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(want, 1) {
			t.Fatalf("a tree within %+v where there is none", lim)
		}
		sum := 0.0
		for i, node := range tr.Nodes {
			d := len(node.Children)
			if i != root {
				d++
				sum += cost(min(i, node.Parent), max(i, node.Parent))
			}
			if d > lim.at(i, root) {
				t.Fatalf("terminal %d has %d edges, limits %+v", i, d, lim)
			}
		}
		if sum != tr.Length || tr.Length < want || tr.LowerBound > want {
			t.Fatalf("length %v (edges %v), bound %v, brute force %v", tr.Length, sum, tr.LowerBound, want)
		}
		if tr.Exact && tr.Length != want || lim == (Limits{}) && !tr.Exact {
			t.Fatalf("exact %v: length %v, brute force %v", tr.Exact, tr.Length, want)
		}
		limited++
		if tr.Length == want {
			optimal++
		}
	})
	t.Logf("%d of %d trees within limits are optimal", optimal, limited)
}

// gonum's Kruskal as a second opinion on larger graphs.
func TestSpanningAgainstGonum(t *testing.T) {
	for _, n := range []int{2, 40, 250} {
		pts := random(n, 7)
		g := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for i := range pts {
			for j := range i {
				g.SetWeightedEdge(g.NewWeightedEdge(simple.Node(i), simple.Node(j), pts[i].Rect(pts[j])))
			}
		}
		want := path.Kruskal(simple.NewWeightedUndirectedGraph(0, math.Inf(1)), g)
		s := spanning(pts, 0)
		near(t, s.Length, want, 1e-6, "spanning")
		m, err := SpanningMatrix(n, 0, func(i, j int) float64 { return pts[i].Rect(pts[j]) }, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, m.Length, want, 1e-6, "SpanningMatrix")
	}
}

func TestMatrixRefusesBadCosts(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), -1} {
		if _, err := SpanningMatrix(3, 0, func(i, j int) float64 { return v }, Limits{}); err == nil {
			t.Errorf("cost %v accepted", v)
		}
	}
	if _, err := SpanningMatrix(0, 0, nil, Limits{}); !errors.Is(err, errEmpty) {
		t.Error(err)
	}
	if _, err := SpanningMatrix(2, 2, nil, Limits{}); !errors.Is(err, errRoot) {
		t.Error(err)
	}
	if _, err := SpanningMatrix(5, 0, func(i, j int) float64 { return 1 }, Limits{Root: 1, Other: 1}); !errors.Is(err, errLimit) {
		t.Error(err)
	}
}
