package label

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff/geom"
)

// drawPlan makes a crowded plan in which some labels cannot be placed, texts
// and symbols turned at random.
func drawPlan(t *rapid.T) plan {
	var p plan
	size := rapid.Float64Range(3, 12).Draw(t, "size")
	coord := rapid.Float64Range(0, size)
	turn := rapid.SampledFrom([]float64{0, 0, 0, 90, 180, 30, -41.3}).Draw(t, "turn")
	at := func(what string) geom.Point { return geom.Pt(coord.Draw(t, what), coord.Draw(t, what)) }
	n := rapid.IntRange(1, 25).Draw(t, "labels")
	for i := range n {
		a := at("anchor")
		l := Label{
			ID: fmt.Sprint(i), Text: rapid.SampledFrom([]string{"90", "1-090", "1-090\nSMOKE", "SLC-1-127"}).Draw(t, "text"),
			Height: rapid.SampledFrom([]float64{0.2, 0.25}).Draw(t, "height"), Anchor: a, Angle: turn,
		}
		if rapid.IntRange(0, 9).Draw(t, "drawn") > 0 {
			l.Symbol = Rect{a, 0.3, rapid.SampledFrom([]float64{0.3, 0.5}).Draw(t, "tall"), rapid.SampledFrom([]float64{0, 90, 17}).Draw(t, "angle")}
		}
		if rapid.IntRange(0, 9).Draw(t, "own angle") == 0 {
			l.Angle = rapid.Float64Range(-360, 360).Draw(t, "angle")
		}
		p.labels = append(p.labels, l)
	}
	for range rapid.IntRange(0, 8).Draw(t, "boxes") {
		p.obs.Boxes = append(p.obs.Boxes, BoxObstacle{
			Rect: Rect{at("box"), rapid.Float64Range(0, 3).Draw(t, "w"), rapid.Float64Range(0, 1).Draw(t, "h"), rapid.Float64Range(-90, 90).Draw(t, "a")},
			Cost: rapid.SampledFrom([]float64{0, 0, 3}).Draw(t, "cost"),
		})
	}
	for range rapid.IntRange(0, 10).Draw(t, "lines") {
		p.obs.Segments = append(p.obs.Segments, SegmentObstacle{
			Segment: geom.Segment{A: at("from"), B: at("to")}, Cost: rapid.SampledFrom([]float64{0, 1}).Draw(t, "cost"),
		})
	}
	return p
}

// Nothing that is placed lies on anything, however crowded the plan; what is
// not placed says truthfully what it would lie on.
func TestLawNoOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		r := Place(p.labels, p.obs, Options{Effort: 0.2})
		bruteForce(t, p.labels, p.obs, r)
		for _, u := range r.Unplaced() {
			if len(u.Clashes) == 0 {
				t.Fatalf("label %d is not placed and clashes with nothing: %+v", u.Index, u)
			}
			l := p.labels[u.Index]
			room := u.Box.grown(2.001 * 0.2 * l.Height) // the clearance, on both sides
			wide := room
			wide.Width += 2 * 0.2 * 0.25 // and the share of the other text
			for _, c := range u.Clashes {
				var ok bool
				switch c.Kind {
				case WithBox:
					ok = commonArea(room, p.obs.Boxes[c.Index].Rect) > 0 || thin(p.obs.Boxes[c.Index].Rect)
				case WithSegment:
					ok = insideLength(p.obs.Segments[c.Index].Segment, room) > 0
				case WithSymbol:
					ok = commonArea(room, p.labels[c.Index].Symbol) > 0
				case WithText:
					q := r.Placements[c.Index]
					ok = q.Placed && (commonArea(wide, q.Box.grown(0.1)) > 0 || q.Leader != nil && insideLength(*q.Leader, wide) > 0)
				}
				if !ok {
					t.Fatalf("label %d claims a clash with %v %d where there is none", u.Index, c.Kind, c.Index)
				}
			}
		}
	})
}

func thin(r Rect) bool { return r.Width < 1e-3 || r.Height < 1e-3 }

// The order of labels and obstacles leaves no trace.
func TestLawPermutation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		want := Place(p.labels, p.obs, Options{Effort: 0.2})
		if again := Place(p.labels, p.obs, Options{Effort: 0.2}); !reflect.DeepEqual(want, again) {
			t.Fatal("two runs differ")
		}
		order := rapid.Permutation(indices(len(p.labels))).Draw(t, "order")
		q := plan{}
		for _, i := range order {
			q.labels = append(q.labels, p.labels[i])
		}
		q.obs.Boxes = rapid.Permutation(p.obs.Boxes).Draw(t, "boxes")
		q.obs.Segments = rapid.Permutation(p.obs.Segments).Draw(t, "segments")
		got := Place(q.labels, q.obs, Options{Effort: 0.2})
		for k, i := range order {
			a, b := want.Placements[i], got.Placements[k]
			a.Index, b.Index, a.Clashes, b.Clashes = 0, 0, nil, nil // indices follow the order of the input
			a.Problem, b.Problem = "", ""                           // names the first clash by index
			if !reflect.DeepEqual(a, b) {
				t.Fatalf("label %d: %+v, permuted %+v", i, a, b)
			}
		}
	})
}

// A plan that is shifted or turned as a whole takes its labels along.
func TestLawMotion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlan(t)
		by := geom.Pt(rapid.Float64Range(-1e5, 1e5).Draw(t, "dx"), rapid.Float64Range(-1e5, 1e5).Draw(t, "dy"))
		q := plan{labels: slices.Clone(p.labels)}
		for i := range q.labels {
			q.labels[i].Anchor = q.labels[i].Anchor.Add(by)
			if q.labels[i].Symbol != (Rect{}) {
				q.labels[i].Symbol.Center = q.labels[i].Symbol.Center.Add(by)
			}
		}
		for _, o := range p.obs.Boxes {
			o.Rect.Center = o.Rect.Center.Add(by)
			q.obs.Boxes = append(q.obs.Boxes, o)
		}
		for _, o := range p.obs.Segments {
			o.Segment = geom.Segment{A: o.Segment.A.Add(by), B: o.Segment.B.Add(by)}
			q.obs.Segments = append(q.obs.Segments, o)
		}
		want, got := Place(p.labels, p.obs, Options{Effort: 0.2}), Place(q.labels, q.obs, Options{Effort: 0.2})
		for i := range want.Placements {
			a, b := want.Placements[i], got.Placements[i]
			if d := a.Box.Center.Add(by).Dist(b.Box.Center); d > 1e-5 || a.Placed != b.Placed || a.Side != b.Side {
				t.Fatalf("label %d went %g astray after a shift by %v", i, d, by)
			}
		}
	})
}

func indices(n int) []int {
	var s []int
	for i := range n {
		s = append(s, i)
	}
	return s
}

// In small crowded cases the number placed is the largest possible, found by
// trying everything.
func TestSmallCasesAreOptimal(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	short := 0
	for range 80 {
		labels := make([]Label, 13)
		for i := range labels {
			labels[i] = Label{ID: fmt.Sprint(i), Text: "x", Height: 7, Width: 30, BoxHeight: 7, Anchor: geom.Pt(rnd.Float64()*55, rnd.Float64()*33)}
		}
		best := mostPlaced(labels, nil, 0)
		placed, _ := ours(labels, 4)
		if placed > best {
			t.Fatalf("placed %d of at most %d", placed, best)
		}
		if placed < best {
			short++
		}
	}
	t.Logf("%d of 80 cases below the optimum", short)
	if short > 1 {
		t.Errorf("%d of 80 cases below the optimum", short)
	}
}

// mostPlaced returns the larger of best and of what can be placed of rest beside done.
func mostPlaced(rest []Label, done []geom.Box, best int) int {
	best = max(best, len(done))
	if len(done)+len(rest) <= best {
		return best
	}
	for _, b := range boxesAt(rest[0].Anchor, 4) {
		if !slices.ContainsFunc(done, func(d geom.Box) bool { return boxesCross(b, d) }) {
			best = mostPlaced(rest[1:], append(slices.Clip(done), b), best)
		}
	}
	return mostPlaced(rest[1:], done, best)
}

// Extreme input ends in a Problem, not in a panic.
func TestBadInput(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Label{ID: "g", Text: "90", Height: 1, Anchor: geom.Pt(1, 1), Symbol: Rect{geom.Pt(1, 1), 2, 2, 0}}
	for name, edit := range map[string]func(*Label){
		"no height":       func(l *Label) { l.Height = 0 },
		"height NaN":      func(l *Label) { l.Height = nan },
		"anchor infinite": func(l *Label) { l.Anchor.X = inf },
		"symbol NaN":      func(l *Label) { l.Symbol.Width = nan },
		"symbol negative": func(l *Label) { l.Symbol.Width = -1 },
		"angle NaN":       func(l *Label) { l.Angle = nan },
		"width negative":  func(l *Label) { l.Width = -1 },
		"no text":         func(l *Label) { l.Text = "" },
	} {
		bad := good
		edit(&bad)
		r := Place([]Label{bad, good}, Obstacles{
			Boxes:    []BoxObstacle{{Rect: Rect{Width: nan}}, {Rect: Rect{Width: -1}}},
			Segments: []SegmentObstacle{{Segment: geom.Segment{A: geom.Pt(nan, 0)}}},
		}, Options{Gap: nan})
		if r.Placements[0].Placed || r.Placements[0].Problem == "" || !r.Placements[1].Placed {
			t.Errorf("%s: %+v", name, r)
		}
	}
	if r := Place(nil, Obstacles{}, Options{}); len(r.Placements) != 0 {
		t.Errorf("no labels: %+v", r)
	}
	if r := Place([]Label{good}, Obstacles{}, Options{Fixed: true, Sides: []Side{99}}); !r.Placements[0].Placed {
		t.Errorf("a side that does not exist: %+v", r)
	}
}
