package tour

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

// The instances are TSPLIB95 (G. Reinelt, ORSA Journal on Computing 3(4), 1991) with the published optima. No
// licence is stated for them, so they are read from beside the module and never committed.

type published struct {
	name    string
	points  []geom.Point
	optimum float64
}

func readTSPLIB(t testing.TB) []published {
	t.Helper()
	dir := against.Folder(t, "routes", "tsp")
	table, err := os.ReadFile(filepath.Join(dir, "optima.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	var all []published
	for line := range strings.Lines(string(table)) {
		f := strings.Fields(line)
		if len(f) != 2 || f[0] == "#" {
			continue
		}
		optimum, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			continue
		}
		all = append(all, published{f[0], readPoints(t, filepath.Join(dir, f[0]+".tsp")), optimum})
	}
	sort.Slice(all, func(i, j int) bool { return len(all[i].points) < len(all[j].points) })
	return all
}

func readPoints(t testing.TB, file string) []geom.Point {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var points []geom.Point
	inside := false
	for sc := bufio.NewScanner(f); sc.Scan(); {
		fields := strings.Fields(sc.Text())
		switch {
		case len(fields) == 1 && fields[0] == "NODE_COORD_SECTION":
			inside = true
		case inside && len(fields) == 3:
			x, errX := strconv.ParseFloat(fields[1], 64)
			y, errY := strconv.ParseFloat(fields[2], 64)
			if errX != nil || errY != nil {
				t.Fatalf("%s: %q", file, sc.Text())
			}
			points = append(points, geom.Pt(x, y))
		}
	}
	return points
}

// rounded is TSPLIB's EUC_2D length of a closed tour: every leg rounded to the nearest whole number.
func rounded(points []geom.Point, order []int) float64 {
	sum := 0.0
	for k, i := range order {
		a, b := points[i], points[order[(k+1)%len(order)]]
		sum += math.Floor(math.Hypot(a.X-b.X, a.Y-b.Y) + 0.5)
	}
	return sum
}

func BenchmarkTSPLIB(b *testing.B) {
	for _, p := range readTSPLIB(b) {
		b.Run(p.name, func(b *testing.B) {
			for b.Loop() {
				start := time.Now()
				r, err := Solve(Problem{Points: p.points})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*(rounded(p.points, r.Order)/p.optimum-1), "%gap")
				b.ReportMetric(100*(r.Length/r.LowerBound-1), "%bound")
				b.ReportMetric(float64(r.Iterations)/float64(len(p.points)), "kicks/point")
				b.ReportMetric(time.Since(start).Seconds()*1000/float64(len(p.points)), "s/1000points")
			}
		})
	}
}

// Under 260 points the search must come within 0.1 % of every published optimum, measured as it was
// published, with rounded legs.
func TestAgainstTSPLIB(t *testing.T) {
	for _, p := range readTSPLIB(t) {
		n := len(p.points)
		if n >= 260 {
			continue
		}
		leg := func(i, j int) float64 {
			return math.Floor(math.Hypot(p.points[i].X-p.points[j].X, p.points[i].Y-p.points[j].Y) + 0.5)
		}
		r := mustSolve(t, Problem{N: n, Dist: leg})
		gap := 100 * (r.Length/p.optimum - 1)
		t.Logf("%-9s %7.0f published %7.0f gap %.3f %% bound %.2f %%", p.name, r.Length, p.optimum, gap, 100*(r.Length/r.LowerBound-1))
		if gap > 0.1 || gap < 0 || r.LowerBound > p.optimum {
			t.Errorf("%s: gap %.3f %%, bound %v", p.name, gap, r.LowerBound)
		}
	}
}
