package tree

import (
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// networkx spans the points and approximates the Steiner tree on the Hanan grid
// (factor 2 at worst): ours must equal the first and not exceed the second.
func TestAgainstNetworkx(t *testing.T) {
	var sets [][]geom.Point
	for seed := range uint64(6) {
		sets = append(sets, random(4+3*int(seed), seed))
	}
	var want [][2]float64
	against.Ask(t, "networkx", `
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
