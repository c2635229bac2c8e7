package drafting

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// writeTags turns "code value" lines into the two lines that the format wants.
func writeTags(b *strings.Builder, lines string) {
	for l := range strings.SplitSeq(lines, "\n") {
		if l = strings.TrimSpace(l); l != "" {
			code, value, _ := strings.Cut(l, " ")
			b.WriteString(code + "\n" + value + "\n")
		}
	}
}

// densePlan draws rooms of 6 m with a name each and a symbol every 1.5 m, in
// inches, and the sheet that asks for a label at every symbol.
func densePlan(rooms int, turn float64) (string, sheet) {
	const metre = 1 / 0.0254
	rng := rand.New(rand.NewPCG(7, uint64(rooms)))
	var b strings.Builder
	writeTags(&b, `0 SECTION
		2 HEADER
		9 $ACADVER
		1 AC1009
		9 $HANDLING
		70 1
		0 ENDSEC
		0 SECTION
		2 BLOCKS
		0 BLOCK
		8 0
		2 DET
		70 0
		10 0
		20 0
		30 0
		0 CIRCLE
		8 0
		10 0
		20 0
		30 0
		40 7
		0 ENDBLK
		8 0
		0 ENDSEC
		0 SECTION
		2 ENTITIES`)
	s := sheet{drawing: "dense.dxf", height: 9, layers: "E-FIRE-{kind}", walls: []string{"A-WALL*"}, views: []view{{level: "Level 1", axis: turn}}}
	handle := 256
	put := func(kind, layer string, ps []geom.Point, more string) string {
		handle++
		writeTags(&b, fmt.Sprintf("0 %s\n5 %X\n8 %s\n", kind, handle, layer))
		for i, p := range ps {
			p = p.Turn(turn)
			writeTags(&b, fmt.Sprintf("%d %.4f\n%d %.4f\n%d 0", 10+i, p.X, 20+i, p.Y, 30+i))
		}
		writeTags(&b, more)
		return fmt.Sprintf("%X", handle)
	}
	const size = 6 * metre
	for r := range rooms * rooms {
		x, y := float64(r%rooms)*size, float64(r/rooms)*size
		c := []geom.Point{{X: x, Y: y}, {X: x + size, Y: y}, {X: x + size, Y: y + size}, {X: x, Y: y + size}}
		for i := range c {
			put("LINE", "A-WALL", []geom.Point{c[i], c[(i+1)%4]}, "")
		}
		put("TEXT", "A-ANNO", []geom.Point{{X: x + 0.85*metre, Y: y + 3*metre - 3}}, fmt.Sprintf("40 6\n50 %g\n1 %d OFFICE", turn, 100+r))
		for k := range 16 {
			p := geom.Pt(x+(0.75+1.5*float64(k%4))*metre+8*(rng.Float64()-0.5), y+(0.75+1.5*float64(k/4))*metre+8*(rng.Float64()-0.5))
			h := put("INSERT", "E-FIRE", []geom.Point{p}, "2 DET")
			at := p.Turn(turn)
			n := len(s.marks) + 1
			s.marks = append(s.marks, mark{id: fmt.Sprintf("L1-%03d", n), text: fmt.Sprintf("1-%03d", n%1000), kind: kindAddress, at: at, symbol: geom.Around(at, 14, 14), handle: h})
		}
	}
	writeTags(&b, "0 ENDSEC\n0 EOF")
	return b.String(), s
}

// apart reports whether two convex outlines have a line between them
// (separating axes); an outline of two points is a line.
func apart(a, b []geom.Point) bool {
	for _, poly := range [][]geom.Point{a, b} {
		for i := range poly {
			d := poly[(i+1)%len(poly)].Sub(poly[i])
			axes := []geom.Point{{X: -d.Y, Y: d.X}}
			if len(poly) == 2 {
				axes = append(axes, d)
			}
			for _, n := range axes {
				if n.Len() == 0 {
					continue
				}
				lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
				for k, q := range [][]geom.Point{a, b} {
					for _, p := range q {
						v := p.Dot(n) / n.Len()
						lo[k], hi[k] = min(lo[k], v), max(hi[k], v)
					}
				}
				if hi[0] <= lo[1]+1e-6 || hi[1] <= lo[0]+1e-6 {
					return true
				}
			}
		}
	}
	return false
}

// seen is what the overlap check reads back from a labeled drawing.
type seen struct {
	what string
	at   []geom.Point
}

// readBack lists labels and everything that they must not lie on. It knows the
// format's reader and nothing of how places were found.
func readBack(t *testing.T, b []byte, walls string) (labels, others []seen, leaders int) {
	t.Helper()
	d, err := dxf.Parse("labeled.dxf", b)
	if err != nil {
		t.Fatal(err)
	}
	texts, _, _ := d.Texts(dxf.Options{})
	for i := range texts {
		x := &texts[i]
		// A letter of a stroke font is at least 0.7 of its height wide with its gap.
		w := 0.7 * x.Height * float64(len(x.Text))
		var box []geom.Point
		left := map[dxf.HAlign]float64{dxf.Center: -w / 2, dxf.Right: -w}[x.Align.H]
		for _, c := range []geom.Point{{X: left}, {X: left + w}, {X: left + w, Y: x.Height}, {X: left, Y: x.Height}} {
			box = append(box, geom.Pt(x.Pos.X, x.Pos.Y).Add(c.Turn(x.Rotation)))
		}
		if strings.HasPrefix(x.Layer, "E-FIRE-") {
			labels = append(labels, seen{x.Text, box})
		}
		others = append(others, seen{"text " + x.Text, box})
	}
	ins, _, _ := d.Inserts(dxf.Options{})
	for _, in := range ins {
		c := geom.Around(geom.Pt(in.Pos.X, in.Pos.Y), 14, 14)
		others = append(others, seen{"symbol " + in.Handle.String(), []geom.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}}})
	}
	shapes, _, _ := d.Shapes(dxf.Options{})
	for _, sh := range shapes {
		if sh.Layer == "E-FIRE-ADDR-LEAD" {
			leaders++
		}
		if sh.Layer == walls {
			for i := 1; i < len(sh.Points); i++ {
				others = append(others, seen{"wall", []geom.Point{{X: sh.Points[i-1].X, Y: sh.Points[i-1].Y}, {X: sh.Points[i].X, Y: sh.Points[i].Y}}})
			}
		}
	}
	return labels, others, leaders
}

func overlaps(labels, others []seen) []string {
	var bad []string
	for i, l := range labels {
		for _, o := range others {
			if &o.at[0] != &labels[i].at[0] && !apart(l.at, o.at) {
				bad = append(bad, l.what+" on "+o.what)
			}
		}
	}
	return bad
}

func TestDensePlans(t *testing.T) {
	for _, turn := range []float64{0, 17} {
		src, s := densePlan(5, turn)
		d, err := dxf.Parse("dense.dxf", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		a, err := annotate(d, s)
		if err != nil {
			t.Fatal(err)
		}
		labels, others, leaders := readBack(t, a.Bytes, "A-WALL")
		if len(labels) != len(s.marks) || a.Unplaced != 0 {
			t.Errorf("turned %g: %d labels for %d devices, %d without a place", turn, len(labels), len(s.marks), a.Unplaced)
		}
		if bad := overlaps(labels, others); len(bad) > 0 {
			t.Errorf("turned %g: %d overlaps, first %s", turn, len(bad), bad[0])
		}
		if share := float64(leaders) / float64(len(labels)); share > 0.05 {
			t.Errorf("turned %g: %.1f %% of the labels need a leader", turn, 100*share)
		}
		if leaders != a.WithLeader {
			t.Errorf("turned %g: %d leaders drawn, %d reported", turn, leaders, a.WithLeader)
		}
		for _, l := range labels {
			e := l.at[1].Sub(l.at[0])
			if math.Abs(e.Angle()-turn) > 1e-3 {
				t.Fatalf("turned %g: a label runs along %g", turn, e.Angle())
			}
		}
		t.Logf("turned %g: %d labels, %d with a leader", turn, len(labels), leaders)
		if dir := os.Getenv("LOOPWRIGHT_KEEP"); dir != "" {
			os.WriteFile(filepath.Join(dir, fmt.Sprintf("dense-%g.dxf", turn)), a.Bytes, 0o644)
		}
	}
}

// TestOverlapsAreSeen keeps the check above honest.
func TestOverlapsAreSeen(t *testing.T) {
	box := func(x, y, w, h float64) []geom.Point {
		return []geom.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
	}
	label := []seen{{"label", box(0, 0, 10, 2)}}
	for _, c := range []struct {
		other []geom.Point
		want  int
	}{
		{box(9, 1, 5, 5), 1}, {box(10, 0, 5, 5), 0}, {box(4, 0.5, 1, 1), 1},
		{[]geom.Point{{X: 5, Y: -1}, {X: 5, Y: 3}}, 1}, {[]geom.Point{{X: 11, Y: -1}, {X: 11, Y: 3}}, 0}, {[]geom.Point{{X: 8, Y: 4}, {X: 14, Y: -2}}, 0}, {[]geom.Point{{X: 7, Y: 4}, {X: 13, Y: -2}}, 1},
	} {
		if got := len(overlaps(label, []seen{{"other", c.other}})); got != c.want {
			t.Errorf("%v: %d overlaps, want %d", c.other, got, c.want)
		}
	}
}

func BenchmarkAnnotate10000(b *testing.B) {
	src, s := densePlan(25, 0) // 625 rooms
	d, err := dxf.Parse("dense.dxf", []byte(src))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(s.marks)), "labels")
	for b.Loop() {
		if _, err := annotate(d, s); err != nil {
			b.Fatal(err)
		}
	}
}
