package drafting

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// TestGapLaw cuts any run at any rectangle: nothing is left inside, nothing
// outside is lost, and the ends stay unless they lie inside.
func TestGapLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.IntRange(-20, 20)
		var w way
		for range rapid.IntRange(2, 6).Draw(t, "points") {
			w = append(w, geom.Pt(float64(coord.Draw(t, "x")), float64(coord.Draw(t, "y"))))
		}
		if w = w.tidy(); len(w) < 2 {
			return
		}
		r := label.Rect{Center: geom.Pt(float64(coord.Draw(t, "cx")), float64(coord.Draw(t, "cy"))), Width: rapid.Float64Range(0.5, 20).Draw(t, "w"),
			Height: rapid.Float64Range(0.5, 20).Draw(t, "h"), Angle: rapid.Float64Range(-90, 90).Draw(t, "angle")}
		const steps = 2000 // places along each piece, as an independent measure of what lies outside
		want := 0.0
		for i := 1; i < len(w); i++ {
			out := 0
			for k := range steps {
				if !inside(r, w[i-1].Lerp(w[i], (float64(k)+0.5)/steps)) {
					out++
				}
			}
			want += w[i-1].Dist(w[i]) * float64(out) / steps
		}
		got := 0.0
		small := r
		small.Width, small.Height = r.Width-1e-6, r.Height-1e-6
		for _, p := range w.outside(r) {
			got += p.length()
			for i := 1; i < len(p); i++ {
				if mid := p[i-1].Lerp(p[i], 0.5); inside(small, mid) {
					t.Fatalf("%v is drawn inside %v", mid, r)
				}
			}
		}
		if math.Abs(got-want) > 4*w.length()/steps {
			t.Fatalf("%.4f of the run is drawn, %.4f lies outside", got, want)
		}
	})
}

// TestGaps lets texts stand across cable, and not along it or at its ends.
func TestGaps(t *testing.T) {
	run := way{{X: 0}, {X: 60}}
	for _, c := range []struct {
		what string
		text label.Rect
		want float64
	}{
		{"beside", label.Rect{Center: geom.Pt(30, 3), Width: 9, Height: 1}, 0},
		{"across", label.Rect{Center: geom.Pt(31.5, 0), Width: 1, Height: 9}, gapPrice},
		{"along", label.Rect{Center: geom.Pt(31.5, 0), Width: 8.9, Height: 1}, 3 * gapPrice},
		{"at the end", label.Rect{Center: geom.Pt(1, 0), Width: 1, Height: 1}, endPrice},
	} {
		cost := 0.0
		for _, o := range run.inTheWay(1) {
			if o.Segment.HitsBox(boxOf(c.text)) {
				cost += o.Cost
			}
		}
		if cost != c.want {
			t.Errorf("%s: price %g, want %g", c.what, cost, c.want)
		}
	}
	d := &draft{sheet: &sheet{height: 1}}
	d.run(edit.Base{Layer: "CABLE"}, run)
	es := d.drawCables([]label.Rect{{Center: geom.Pt(30, 0), Width: 4, Height: 1}, {Center: geom.Pt(50, 9), Width: 4, Height: 1}})
	var got []string
	for _, e := range es {
		var w way
		for _, p := range e.(edit.Polyline).Points {
			w = append(w, geom.Point(p))
		}
		got = append(got, written(w, 0))
	}
	if len(got) != 2 || got[0] != "0,0 27.8,0" || got[1] != "32.2,0 60,0" {
		t.Errorf("drawn as %q", got)
	}
}

// TestFacing ties texts to the side where their symbol or leader is.
func TestFacing(t *testing.T) {
	p := pending{Label: label.Label{Anchor: geom.Pt(0, 0), Symbol: label.Rect{Width: 2, Height: 2}}}
	for _, c := range []struct {
		what    string
		at      label.Placement
		along   float64
		aligned dxf.HAlign
	}{
		{"right of it", label.Placement{Box: label.Rect{Center: geom.Pt(6, 0), Width: 8, Height: 1}}, 0, dxf.Left},
		{"left of it", label.Placement{Box: label.Rect{Center: geom.Pt(-6, 0), Width: 8, Height: 1}}, 8, dxf.Right},
		{"above it", label.Placement{Box: label.Rect{Center: geom.Pt(0.5, 3), Width: 8, Height: 1}}, 4, dxf.Center},
		{"left of it, read upwards", label.Placement{Box: label.Rect{Center: geom.Pt(0, -6), Width: 8, Height: 1, Angle: 90}, Angle: 90}, 8, dxf.Right},
		{"at a leader that comes from the left", label.Placement{Box: label.Rect{Center: geom.Pt(-16, 0), Width: 8, Height: 1},
			Leader: &geom.Segment{B: geom.Pt(-20, 0)}}, 0, dxf.Left},
	} {
		if along, align := p.facing(c.at); along != c.along || align != c.aligned {
			t.Errorf("%s: tied at %g, alignment %d, want %g, %d", c.what, along, align, c.along, c.aligned)
		}
	}
}
