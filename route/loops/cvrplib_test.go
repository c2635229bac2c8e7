package loops

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// The instances are CVRPLIB's (sets A, B, P: Augerat 1995; E: Christofides and Eilon 1969; M: Christofides, Mingozzi,
// Toth 1979; X: Uchoa et al., EJOR 257(3), 2017) with the costs of the published solutions. No licence is stated for
// most, so they are read from beside the module and never committed.

type published struct {
	name    string
	problem Problem
	optimum float64
}

func readCVRPLIB(t testing.TB) []published {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(against.Folder(t, "routes", "cvrp"), "*.vrp"))
	var all []published
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sol, err := os.ReadFile(strings.TrimSuffix(file, ".vrp") + ".sol")
		if err != nil {
			t.Fatal(err)
		}
		p := published{name: strings.TrimSuffix(filepath.Base(file), ".vrp")}
		p.optimum = number(t, string(sol), `Cost\s+([\d.]+)`)
		p.problem.Capacity = []float64{number(t, string(text), `CAPACITY\s*:\s*(\d+)`)}
		_, rest, _ := strings.Cut(string(text), "NODE_COORD_SECTION")
		nodes, rest, _ := strings.Cut(rest, "DEMAND_SECTION")
		demands, _, _ := strings.Cut(rest, "DEPOT_SECTION")
		for _, f := range table(t, nodes, 3) {
			p.problem.Points = append(p.problem.Points, geom.Point{X: f[1], Y: f[2]})
		}
		var need []float64
		for _, f := range table(t, demands, 2) {
			need = append(need, f[1])
		}
		p.problem.Demand = [][]float64{need}
		all = append(all, p)
	}
	return all
}

func number(t testing.TB, text, pattern string) float64 {
	t.Helper()
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no %s", pattern)
	}
	v, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func table(t testing.TB, text string, columns int) [][]float64 {
	t.Helper()
	var rows [][]float64
	for line := range strings.Lines(text) {
		f := strings.Fields(line)
		if len(f) != columns {
			continue
		}
		row := make([]float64, columns)
		for k := range f {
			v, err := strconv.ParseFloat(f[k], 64)
			if err != nil {
				t.Fatal(err)
			}
			row[k] = v
		}
		rows = append(rows, row)
	}
	return rows
}

// rounded is the libraries' cost: every leg rounded to the nearest whole number.
func rounded(p *Problem, routes [][]int) float64 {
	leg := func(i, j int) float64 {
		a, b := p.Points[i], p.Points[j]
		return math.Floor(math.Hypot(a.X-b.X, a.Y-b.Y) + 0.5)
	}
	sum := 0.0
	for _, route := range routes {
		at := p.Depot
		for _, v := range route {
			sum += leg(at, v)
			at = v
		}
		sum += leg(at, p.Depot)
	}
	return sum
}

func BenchmarkCVRPLIB(b *testing.B) {
	for _, c := range readCVRPLIB(b) {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				start := time.Now()
				r, err := Solve(c.problem)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*(rounded(&c.problem, r.Routes)/c.optimum-1), "%gap")
				b.ReportMetric(100*(r.Cost/r.LowerBound-1), "%bound")
				b.ReportMetric(time.Since(start).Seconds(), "s")
				b.ReportMetric(float64(len(r.Routes)), "routes")
			}
		})
	}
}

// The instances of up to 130 places must come near the published costs.
func TestAgainstCVRPLIB(t *testing.T) {
	sum, count := 0.0, 0
	for _, c := range readCVRPLIB(t) {
		if len(c.problem.Points) > 130 {
			continue
		}
		r, err := Solve(c.problem)
		if err != nil {
			t.Fatal(err)
		}
		audit(t, &c.problem, &r)
		gap := 100 * (rounded(&c.problem, r.Routes)/c.optimum - 1)
		t.Logf("%-12s gap %.2f %%, %d routes", c.name, gap, len(r.Routes))
		if gap > 3 || gap < 0 {
			t.Errorf("%s: gap %.2f %%", c.name, gap)
		}
		sum, count = sum+gap, count+1
	}
	if sum/float64(count) > 1 {
		t.Errorf("mean gap %.2f %%", sum/float64(count))
	}
}
