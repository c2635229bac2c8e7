package tree

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
	"loopwright/testdata/against"
)

type instance struct {
	name    string
	optimum float64
	pts     []geom.Point
}

// published reads rectilinear instances with known optima: point sets of the
// OR-Library (Beasley, EJOR 58 (1992) 284-292); optima found exactly by GeoSteiner
// 5.3, which agree with SteinLib's sets ES40FST, ES90FST and ES100FST.
func published(t testing.TB) []instance {
	t.Helper()
	data, err := os.ReadFile(against.Folder(t, "routes", "tree", "trees.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	var out []instance
	for line := range strings.Lines(string(data)) {
		f := strings.Fields(line)
		if len(f) < 4 || f[0][0] == '#' {
			continue
		}
		v := make([]float64, len(f)-1)
		for i := range v {
			if v[i], err = strconv.ParseFloat(f[i+1], 64); err != nil {
				t.Fatalf("%s: %v", f[0], err)
			}
		}
		in := instance{name: f[0], optimum: v[0]}
		for i := 1; i+1 < len(v); i += 2 {
			in.pts = append(in.pts, geom.Pt(v[i], v[i+1]))
		}
		out = append(out, in)
	}
	return out
}

func TestAgainstORLibrary(t *testing.T) {
	sum, worst, n := 0.0, 0.0, 0
	group, gsum, gworst, gn, gbound := "", 0.0, 0.0, 0, 0.0
	flush := func() {
		if gn > 0 {
			t.Logf("%-11s %2d instances, mean gap %.3f %%, worst %.3f %%, bound %.1f %% below", group, gn, gsum/float64(gn), gworst, gbound/float64(gn))
		}
		gsum, gworst, gn, gbound = 0, 0, 0, 0
	}
	for _, in := range published(t) {
		tr, err := Steiner(in.pts, 0)
		if err != nil {
			t.Fatal(err)
		}
		g := 100 * (tr.Length/in.optimum - 1)
		if g < -1e-6 {
			t.Errorf("%s: %v is shorter than the optimum %v", in.name, tr.Length, in.optimum)
		}
		if tr.Exact && g > 1e-6 {
			t.Errorf("%s: called exact with a gap of %.4f %%", in.name, g)
		}
		if tr.LowerBound > in.optimum*(1+1e-9) {
			t.Errorf("%s: lower bound %v above the optimum %v", in.name, tr.LowerBound, in.optimum)
		}
		if name, _, _ := strings.Cut(in.name, "_"); name != group {
			flush()
			group = name
		}
		gsum, gworst, gn, gbound = gsum+g, max(gworst, g), gn+1, gbound+100*(1-tr.LowerBound/in.optimum)
		sum, worst, n = sum+g, max(worst, g), n+1
	}
	flush()
	t.Logf("all %d: mean gap %.3f %%, worst %.3f %%", n, sum/float64(n), worst)
	if sum/float64(n) > 0.8 || worst > 2.5 {
		t.Errorf("mean gap %.2f %%, worst %.2f %%; goal 0.8 and 2.5", sum/float64(n), worst)
	}
}
