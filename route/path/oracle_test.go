package path

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// shortest reads [nodes, [[a, b, weight] ...], [sources ...]] and answers with
// the distances from each source.
const shortest = `
import json, sys, networkx as nx
n, edges, sources = json.load(sys.stdin)
g = nx.Graph()
g.add_nodes_from(range(n))
for a, b, w in edges:
    a, b = int(a), int(b)
    if not g.has_edge(a, b) or g[a][b]["weight"] > w: g.add_edge(a, b, weight=w)
out = []
for s in sources:
    d = nx.single_source_dijkstra_path_length(g, s, weight="weight")
    out.append([d.get(k, -1) for k in range(n)])
json.dump(out, sys.stdout)
`

// gridEdges writes the steps of a grid out as a graph.
func gridEdges(g *grid) (edges [][3]float64) {
	for n := range g.right {
		if n%g.w+1 < g.w {
			edges = append(edges, [3]float64{float64(n), float64(n + 1), float64(g.right[n])})
		}
		if n+g.w < len(g.up) {
			edges = append(edges, [3]float64{float64(n), float64(n + g.w), float64(g.up[n])})
		}
	}
	return edges
}

// officeGrid is a grid over an office with a corridor, as a graph, and some
// nodes to search from.
func officeGrid() (g *grid, edges [][3]float64, sources []int) {
	g = newGrid(geom.Box{Min: geom.Pt(0, 0), Max: geom.Pt(17, 13)})
	ring := geom.Ring{{X: 0, Y: 5}, {X: 17, Y: 5}, {X: 17, Y: 7}, {X: 0, Y: 7}}
	g.load(newIndex(office(17, 13)), []corridor{{ring, ring.Box(), 0.3}})
	return g, gridEdges(g), []int{0, len(g.right) / 2, len(g.right) - 1}
}

func TestGridSearchByGonum(t *testing.T) {
	g, edges, sources := officeGrid()
	w := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
	for _, e := range edges {
		w.SetWeightedEdge(w.NewWeightedEdge(simple.Node(e[0]), simple.Node(e[1]), e[2]))
	}
	s := newSearch(g)
	for _, src := range sources {
		s.run([]door{{src, 0}}, unreached)
		tree := path.DijkstraFrom(simple.Node(src), w)
		for n := range s.key {
			d := s.dist(n)
			if want := tree.WeightTo(int64(n)); float64(d) != want {
				t.Fatalf("from %d to %d: %d, gonum %v", src, n, d, want)
			}
		}
		checkTraces(t, s, src)
	}
}

func TestAgainstNetworkxGridSearch(t *testing.T) {
	g, edges, sources := officeGrid()
	var other [][]float64
	against.Ask(t, "networkx", shortest, []any{len(g.right), edges, sources}, &other)
	s := newSearch(g)
	for i, src := range sources {
		s.run([]door{{src, 0}}, unreached)
		for n := range s.key {
			d := s.dist(n)
			if float64(d) != other[i][n] {
				t.Fatalf("from %d to %d: %d, networkx %v", src, n, d, other[i][n])
			}
		}
	}
}

// checkTraces walks every way back and adds up its steps.
func checkTraces(t *testing.T, s *search, src int) {
	t.Helper()
	g := s.g
	for n := range s.key {
		c := s.trace(n, nil)
		if int(c[len(c)-1]) != src {
			t.Fatalf("the way to %d starts at %d", n, c[len(c)-1])
		}
		sum := int32(0)
		for k := 1; k < len(c); k++ {
			a, b := int(min(c[k-1], c[k])), int(max(c[k-1], c[k]))
			for b > a {
				if a/g.w == b/g.w {
					sum += g.right[a]
					a++
				} else {
					sum += g.up[a]
					a += g.w
				}
			}
		}
		if sum != s.dist(n) {
			t.Fatalf("the way to %d costs %d, its steps %d", n, s.dist(n), sum)
		}
	}
}

// alongWires are the shortest ways from a place along the pieces of wire as they
// were joined (Bellman and Ford): they hold only if the joints are right.
func alongWires(w *Wiring, from int) []float64 {
	dist := make([]float64, len(w.Nodes))
	for k := range dist {
		dist[k] = math.Inf(1)
	}
	dist[from] = 0
	for changed := true; changed; {
		changed = false
		for _, p := range w.graph.pieces {
			for _, e := range [][2]int{{p.a, p.b}, {p.b, p.a}} {
				if d := dist[e[0]] + geom.PathLen(p.pts); d < dist[e[1]]-1e-12 {
					dist[e[1]], changed = d, true
				}
			}
		}
	}
	return dist
}

// A wiring on a city block whose distances are known.
func TestWiringAlongBlocks(t *testing.T) {
	// Streets 10 m apart, each drawn as pieces from joint to joint; a device of
	// radius 0.2 m on every joint: along wires the distance is rectilinear.
	var lines [][]geom.Point
	var symbols []Symbol
	const n = 6
	for y := range n {
		for x := range n {
			p := geom.Pt(float64(10*x), float64(10*y))
			symbols = append(symbols, Symbol{p, 0.2})
			if x+1 < n {
				lines = append(lines, []geom.Point{p.Add(geom.Pt(0.2, 0)), p.Add(geom.Pt(9.8, 0))})
			}
			if y+1 < n {
				lines = append(lines, []geom.Point{p.Add(geom.Pt(0, 0.2)), p.Add(geom.Pt(0, 9.8))})
			}
		}
	}
	w, err := NewWiring(lines, symbols, 0, WiringOptions{Taps: true})
	if err != nil {
		t.Fatal(err)
	}
	for i := range symbols {
		along := alongWires(w, i)
		for j := range symbols {
			near(t, along[j], symbols[i].At.Rect(symbols[j].At), 1e-9, "distance along the blocks")
		}
	}
}

// A crooked wiring, spokes and rings at uneven places, measured by networkx on
// the same pieces.
func TestAgainstNetworkxWiring(t *testing.T) {
	var lines [][]geom.Point
	var symbols []Symbol
	pts := scatter(30, 80, 50)
	var edges [][3]float64
	for i, p := range pts {
		symbols = append(symbols, Symbol{p, 0})
		for _, k := range []int{1, 4, 9} {
			j := i + k
			if j < len(pts) && i%k == 0 {
				lines = append(lines, []geom.Point{p, geom.Pt(pts[j].X, p.Y), pts[j]})
				edges = append(edges, [3]float64{float64(i), float64(j), p.Rect(pts[j])})
			}
		}
	}
	w, err := NewWiring(lines, symbols, 0, WiringOptions{Taps: true})
	if err != nil {
		t.Fatal(err)
	}
	var want [][]float64
	sources := make([]int, len(pts))
	for i := range sources {
		sources[i] = i
	}
	against.Ask(t, "networkx", shortest, []any{len(pts), edges, sources}, &want)
	for i := range pts {
		along := alongWires(w, i)
		for j := range pts {
			near(t, along[j], want[i][j], 1e-9, "distance along the wires")
		}
	}
}
