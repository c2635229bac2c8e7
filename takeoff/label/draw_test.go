package label

import (
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

// TestDraw writes drawings to look at into the directory named by LOOPWRIGHT_KEEP.
func TestDraw(t *testing.T) {
	dir := os.Getenv("LOOPWRIGHT_KEEP")
	if dir == "" {
		t.Skip("LOOPWRIGHT_KEEP names no directory for drawings")
	}
	for _, d := range []struct {
		name        string
		n           int
		pitch, turn float64
	}{{"pitch15", 90, 1.5, 0}, {"pitch12", 120, 1.2, 0}, {"pitch10", 160, 1.0, 0}, {"turned", 60, 1.4, 25}, {"typical", 40, 2.6, 0}} {
		p := densePlan(1, d.n, d.pitch, d.turn)
		r := Place(p.labels, p.obs, Options{})
		if err := os.WriteFile(filepath.Join(dir, d.name+".svg"), []byte(drawing(p, r)), 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: placed %d of %d, %d with a leader", d.name, r.Placed, d.n, r.WithLeader)
	}
}

// drawing shows a plan and its labels: walls black, symbols blue, room names
// grey, text boxes green, leaders and labels without a place red.
func drawing(p plan, r Result) string {
	const scale = 60.0
	b := geom.EmptyBox()
	var body strings.Builder
	pt := func(q geom.Point) string { return fmt.Sprintf("%.2f,%.2f", q.X*scale, -q.Y*scale) }
	poly := func(q Rect, style string) {
		var at []string
		for _, c := range q.Corners() {
			at = append(at, pt(c))
			b = b.Extend(c)
		}
		fmt.Fprintf(&body, "<polygon points='%s' style='%s'/>\n", strings.Join(at, " "), style)
	}
	lineTo := func(s geom.Segment, style string) {
		fmt.Fprintf(&body, "<polyline points='%s %s' style='%s'/>\n", pt(s.A), pt(s.B), style)
	}
	words := func(q Rect, base geom.Point, s string, h float64, fill string) {
		fmt.Fprintf(&body, "<text transform='translate(%s) rotate(%.3f)' font-family='monospace' font-size='%.2f' textLength='%.2f' fill='%s'>%s</text>\n",
			pt(base), -q.Angle, h*scale*1.35, q.Width*scale, fill, html.EscapeString(s))
	}
	for _, o := range p.obs.Segments {
		lineTo(o.Segment, "stroke:#000;stroke-width:4")
		b = b.Extend(o.Segment.A).Extend(o.Segment.B)
	}
	for _, o := range p.obs.Boxes {
		poly(o.Rect, "fill:#ddd;stroke:#aaa")
	}
	for _, l := range p.labels {
		poly(l.Symbol, "fill:#cdf;stroke:#03c;stroke-width:2")
	}
	for i, q := range r.Placements {
		style, fill := "fill:none;stroke:#9d9", "#000"
		if !q.Placed {
			style, fill = "fill:#fcc;stroke:#c00", "#c00"
		}
		poly(q.Box, style)
		words(q.Box, q.Baseline, p.labels[i].Text, p.labels[i].Height, fill)
		if q.Leader != nil {
			lineTo(*q.Leader, "stroke:#c00;stroke-width:1.5")
		}
	}
	b = b.Grow(0.5)
	return fmt.Sprintf("<svg xmlns='http://www.w3.org/2000/svg' viewBox='%.1f %.1f %.1f %.1f' width='1600' style='background:#fff'>\n%s</svg>\n",
		b.Min.X*scale, -b.Max.Y*scale, b.Width()*scale, b.Height()*scale, body.String())
}
