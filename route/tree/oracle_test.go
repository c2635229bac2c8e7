package tree

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
)

// python runs a script with Debian's python3 and networkx, data on standard
// input, and decodes its answer.
func python(t *testing.T, script string, in, out any) {
	t.Helper()
	missing := t.Skipf
	if os.Getenv("LOOPWRIGHT_REQUIRE_TOOLS") == "1" {
		missing = t.Fatalf
	}
	const exe = "/usr/bin/python3"
	if err := exec.Command(exe, "-c", "import networkx").Run(); err != nil {
		missing("%s with python3-networkx is needed for this comparison: %v", exe, err)
	}
	data, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(exe, "-c", script)
	cmd.Stdin = bytes.NewReader(data)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	answer, err := cmd.Output()
	if err != nil {
		t.Fatalf("networkx: %v\n%s", err, errs.String())
	}
	if err := json.Unmarshal(answer, out); err != nil {
		t.Fatalf("networkx answered %q: %v", answer, err)
	}
}

// networkx spans the points and approximates the Steiner tree on the Hanan grid
// (factor 2 at worst): ours must equal the first and not exceed the second.
func TestAgainstNetworkx(t *testing.T) {
	var sets [][]Point
	for seed := range uint64(6) {
		sets = append(sets, random(4+3*int(seed), seed))
	}
	var want [][2]float64
	python(t, `
import json, sys, itertools, networkx as nx
from networkx.algorithms.approximation import steiner_tree
out = []
for pts in json.load(sys.stdin):
    p = [(q["X"], q["Y"]) for q in pts]
    k = nx.Graph()
    for a, b in itertools.combinations(p, 2):
        k.add_edge(a, b, weight=abs(a[0]-b[0])+abs(a[1]-b[1]))
    span = nx.minimum_spanning_tree(k).size(weight="weight")
    xs, ys = sorted({a[0] for a in p}), sorted({a[1] for a in p})
    g = nx.Graph()
    for y in ys:
        for u, v in zip(xs, xs[1:]): g.add_edge((u, y), (v, y), weight=v-u)
    for x in xs:
        for u, v in zip(ys, ys[1:]): g.add_edge((x, u), (x, v), weight=v-u)
    out.append([span, steiner_tree(g, p).size(weight="weight")])
json.dump(out, sys.stdout)
`, sets, &want)
	if len(want) != len(sets) {
		t.Fatalf("%d answers for %d sets", len(want), len(sets))
	}
	for i, pts := range sets {
		sp := spanning(pts, 0)
		near(t, sp.Length, want[i][0], 1e-6, "spanning length")
		if s := mustSteiner(t, pts, 0); s.Length > want[i][1]+1e-6 {
			t.Errorf("%d points: Steiner %v, networkx finds %v", len(pts), s.Length, want[i][1])
		}
	}
}
