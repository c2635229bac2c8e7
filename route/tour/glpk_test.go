package tour

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// TestAgainstGLPK compares with proven optima by integer programming (GLPK's glpsol), on sets too large for our own
// exact solver: every place has two legs, and every subtour that turns up is forbidden until none is left (Dantzig,
// Fulkerson, Johnson, Operations Research 2, 1954).
func TestAgainstGLPK(t *testing.T) {
	exe := against.Program(t, "glpsol")
	rng := rand.New(rand.NewPCG(18, 20))
	for k := range 20 {
		p := Problem{Points: scatter(rng, 18), Open: k%2 == 1, Metric: Metric(k / 2 % 2), Start: k % 18}
		want := integerProgram(t, exe, &p)
		r := mustSolve(t, p)
		if !same(r.Length, want) {
			t.Errorf("set %d: length %v, proven shortest %v", k, r.Length, want)
		}
		if r.LowerBound > want*(1+1e-7) {
			t.Errorf("set %d: lower bound %v above the proven shortest %v", k, r.LowerBound, want)
		}
	}
}

// integerProgram returns the proven shortest length. A chain is a ring with one more place, the free end, that lies
// at no distance from all and is tied to the start.
func integerProgram(t *testing.T, exe string, p *Problem) float64 {
	t.Helper()
	n := p.size()
	nodes := n
	if p.Open {
		nodes++
	}
	var cuts [][]int
	for range 200 {
		next := solveLegs(t, exe, p, nodes, cuts)
		var order []int
		seen := make([]bool, nodes)
		rings := 0
		for v := range nodes {
			if seen[v] {
				continue
			}
			var ring []int
			for at := v; at >= 0; {
				seen[at] = true
				ring = append(ring, at)
				to := -1
				for _, w := range next[at] {
					if !seen[w] {
						to = w
					}
				}
				at = to
			}
			rings++
			cuts = append(cuts, ring)
			order = ring
		}
		if rings > 1 {
			continue
		}
		q := *p
		if p.Open { // cut the ring open at the free end
			for k, v := range order {
				if v == n {
					order = append(append([]int(nil), order[k+1:]...), order[:k]...)
					break
				}
			}
		}
		return q.Length(order)
	}
	t.Fatal("no single tour after 200 rounds")
	return 0
}

func solveLegs(t *testing.T, exe string, p *Problem, nodes int, cuts [][]int) [][]int {
	t.Helper()
	var lp strings.Builder
	name := func(i, j int) string { return fmt.Sprintf("x%d_%d", min(i, j), max(i, j)) }
	lp.WriteString("Minimize\n total: 0 z\n")
	for j := range p.size() {
		for i := range j {
			fmt.Fprintf(&lp, " + %.9f %s\n", p.Distance(i, j), name(i, j))
		}
	}
	lp.WriteString("Subject To\n")
	for i := range nodes {
		for j := range nodes {
			if i != j {
				fmt.Fprintf(&lp, " + %s", name(i, j))
			}
		}
		lp.WriteString(" = 2\n")
	}
	if nodes > p.size() {
		fmt.Fprintf(&lp, " %s = 1\n", name(p.Start, p.size()))
	}
	for _, ring := range cuts {
		if len(ring) == nodes {
			continue
		}
		for k, i := range ring {
			for _, j := range ring[:k] {
				fmt.Fprintf(&lp, " + %s", name(i, j))
			}
		}
		fmt.Fprintf(&lp, " <= %d\n", len(ring)-1)
	}
	lp.WriteString("Binary\n")
	for j := range nodes {
		for i := range j {
			fmt.Fprintf(&lp, " %s\n", name(i, j))
		}
	}
	lp.WriteString("End\n")
	dir := t.TempDir()
	in, out := filepath.Join(dir, "legs.lp"), filepath.Join(dir, "legs.txt")
	if err := os.WriteFile(in, []byte(lp.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	if msg, err := exec.Command(exe, "--lp", in, "-o", out).CombinedOutput(); err != nil {
		t.Fatalf("glpsol: %v\n%s", err, msg)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "INTEGER OPTIMAL") {
		t.Fatalf("glpsol proved no optimum:\n%.300s", text)
	}
	next := make([][]int, nodes)
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		var i, j int
		if len(f) < 4 || f[2] != "*" || f[3] != "1" {
			continue
		}
		if _, err := fmt.Sscanf(f[1], "x%d_%d", &i, &j); err == nil {
			next[i], next[j] = append(next[i], j), append(next[j], i)
		}
	}
	return next
}
