package label

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"loopwright/takeoff/geom"
)

// A symbol of 2 x 2 at the origin, a text of 4 x 1; the gap is 0.35, the clearance 0.2.
func oneLabel() Label {
	return Label{ID: "a", Text: "90", Height: 1, Width: 4, BoxHeight: 1, Symbol: Rect{Width: 2, Height: 2}}
}

func hardBox(x0, y0, x1, y1 float64) BoxObstacle {
	return BoxObstacle{Rect: RectOf(geom.BoxOf(geom.Pt(x0, y0), geom.Pt(x1, y1)))}
}

func hardLine(x0, y0, x1, y1 float64) SegmentObstacle {
	return SegmentObstacle{Segment: geom.Segment{A: geom.Pt(x0, y0), B: geom.Pt(x1, y1)}}
}

func TestPlaces(t *testing.T) {
	tests := []struct {
		name   string
		edit   func(*Label)
		obs    Obstacles
		opt    Options
		side   Side
		x, y   float64 // of the baseline's left end
		leader bool
	}{
		{name: "nothing in the way", side: upperRight, x: 1.35, y: 0.5},
		{name: "preferred side", edit: func(l *Label) { l.Sides = []Side{Below} }, side: Below, x: -2, y: -2.35},
		{name: "preference for all", opt: Options{Sides: []Side{Left}}, side: Left, x: -5.35, y: -0.5},
		{
			name: "upper right taken", obs: Obstacles{Boxes: []BoxObstacle{hardBox(2, 1, 3, 3)}},
			side: lowerRight, x: 1.35, y: -1.5,
		},
		{
			name: "line to the right", obs: Obstacles{Segments: []SegmentObstacle{hardLine(3, -9, 3, 9)}},
			side: upperLeft, x: -5.35, y: 0.5,
		},
		{
			name: "soft line is cheaper than the sixth side",
			obs:  Obstacles{Segments: []SegmentObstacle{{geom.Segment{A: geom.Pt(3, -9), B: geom.Pt(3, 9)}, 1}}},
			side: upperRight, x: 1.35, y: 0.5,
		},
		{
			name: "soft box is dearer than the next side",
			obs:  Obstacles{Boxes: []BoxObstacle{{hardBox(2, 1, 3, 3).Rect, 1.5}}},
			side: lowerRight, x: 1.35, y: -1.5,
		},
		{
			name: "not behind a wall", obs: Obstacles{Segments: []SegmentObstacle{hardLine(1.1, -9, 1.1, 9)}},
			side: upperLeft, x: -5.35, y: 0.5,
		},
		{
			name: "turned symbol needs more room", edit: func(l *Label) { l.Symbol.Angle = 45 },
			side: upperRight, x: math.Sqrt2 + 0.35, y: math.Sqrt2 - 0.5,
		},
		{
			name: "walled in", opt: Options{},
			obs:  Obstacles{Boxes: []BoxObstacle{hardBox(1.1, -4, 7, 4), hardBox(-7, -4, -1.1, 4), hardBox(-1.1, 1.1, 1.1, 4)}, Segments: []SegmentObstacle{hardLine(-2, -2, 2, -2), hardLine(-2, -3, 2, -3), hardLine(-2, -4, 2, -4)}},
			side: Below, x: -2 + 0.0, y: 0, leader: true,
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l := oneLabel()
			if tt.edit != nil {
				tt.edit(&l)
			}
			labels := []Label{l}
			r := Place(labels, tt.obs, tt.opt)
			p := r.Placements[0]
			if !p.Placed || p.Side != tt.side || (p.Leader != nil) != tt.leader {
				t.Fatalf("got %+v", p)
			}
			if !tt.leader && p.Baseline.Dist(geom.Pt(tt.x, tt.y)) > 1e-5 {
				t.Errorf("baseline at %v, want %v, %v", p.Baseline, tt.x, tt.y)
			}
			bruteForce(t, labels, tt.obs, r)
		})
	}
}

// Every reading direction of the plan ends in (-90, 90], and the label goes with it.
func TestReadable(t *testing.T) {
	for _, tt := range []struct{ in, want float64 }{
		{0, 0}, {90, 90}, {-90, 90}, {270, 90}, {180, 0}, {91, -89}, {-89, -89}, {269, 89}, {271, -89}, {359, -1}, {-30, -30}, {390, 30}, {-270.0000000001, 90},
	} {
		if got := readable(tt.in); math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("readable(%v) = %v, want %v", tt.in, got, tt.want)
		}
		l := oneLabel()
		l.Angle = tt.in
		p := Place([]Label{l}, Obstacles{}, Options{}).Placements[0]
		s, c := geom.SinCos(tt.want) // a symbol turned against the text is wider along it
		want := geom.Pt(math.Abs(c)+math.Abs(s)+0.35, max(math.Abs(c)+math.Abs(s)-0.5, 0.2)).Turn(tt.want)
		if p.Baseline.Dist(want) > 1e-4 || p.Angle <= -90 || p.Angle > 90 {
			t.Errorf("reading at %v: baseline at %v, want %v", tt.in, p.Baseline, want)
		}
	}
}

// Where there is no place at all, the label comes back with what is in its way.
func TestNoPlace(t *testing.T) {
	l := oneLabel()
	obs := Obstacles{Boxes: []BoxObstacle{hardBox(-50, -50, 50, 50)}}
	r := Place([]Label{l}, obs, Options{})
	p := r.Placements[0]
	if r.Placed != 0 || p.Placed || !slices.Equal(p.Clashes, []Clash{{WithBox, 0}}) || p.Side != upperRight {
		t.Errorf("got %+v", p)
	}
	if want := "no free place: the least bad one would lie on 1 box"; p.Problem != want {
		t.Errorf("problem %q, want %q", p.Problem, want)
	}
	// Two labels and room for one, without leaders: one is placed, the other names it.
	pair := []Label{{ID: "a", Text: "1", Height: 1, Width: 4, BoxHeight: 1}, {ID: "b", Text: "2", Height: 1, Width: 4, BoxHeight: 1}}
	r = Place(pair, Obstacles{}, Options{Fixed: true, Sides: []Side{upperRight}})
	if r.Placed != 1 || len(r.Unplaced()) != 1 {
		t.Fatalf("got %+v", r)
	}
	u := r.Unplaced()[0]
	if !slices.Equal(u.Clashes, []Clash{{WithText, 1 - u.Index}}) {
		t.Errorf("clashes %v", u.Clashes)
	}
}

// Devices in even rows with room around them are all labeled alike, on the
// side that comes first; where that side is blocked for one, its row follows as far as it pays.
func TestRowsStandAlike(t *testing.T) {
	var labels []Label
	for i := range 40 {
		at := geom.Pt(float64(i%8)*3, float64(i/8)*3)
		labels = append(labels, Label{ID: fmt.Sprint(i), Text: "1-090", Height: 0.2, Anchor: at, Symbol: Rect{at, 0.3, 0.3, 0}})
	}
	for _, p := range Place(labels, Obstacles{}, Options{}).Placements {
		if p.Side != upperRight || p.Leader != nil || p.Cost != 0 {
			t.Errorf("label %d stands %v at cost %v", p.Index, p.Side, p.Cost)
		}
	}
}

// An estimated text that reaches below its line is moved up by as much.
func TestBaseline(t *testing.T) {
	l := Label{Text: "90,1", Height: 1, Symbol: Rect{Width: 2, Height: 2}}
	p := Place([]Label{l}, Obstacles{}, Options{}).Placements[0]
	bottom := p.Box.Center.Y - p.Box.Height/2
	if math.Abs(p.Box.Height-1.4) > 1e-9 || math.Abs(p.Baseline.Y-bottom-0.4) > 1e-5 {
		t.Errorf("box %+v, baseline %v", p.Box, p.Baseline)
	}
}

// A heap of symbols in one place, a fault in the drawing, ends with some labels
// placed, the rest named, and neither time nor memory run out.
func TestHeap(t *testing.T) {
	var labels []Label
	for i := range 60 {
		labels = append(labels, Label{ID: fmt.Sprint(i), Text: "1-090", Height: 0.2, Anchor: geom.Pt(1, 1), Symbol: Rect{geom.Pt(1, 1), 0.3, 0.3, 0}})
	}
	r := Place(labels, Obstacles{}, Options{})
	if r.Placed < 8 {
		t.Errorf("placed %d", r.Placed)
	}
	bruteForce(t, labels, Obstacles{}, r)
}
