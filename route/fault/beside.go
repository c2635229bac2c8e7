package fault

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// SeparationAdvice stands once beside findings about outgoing and return runs.
// The requirement is only that they be routed separately; the distances are from an annex.
func SeparationAdvice(u measure.System) string {
	return fmt.Sprintf("class A and X: outgoing and return conductors must be routed separately, except within %s of an enclosure, "+
		"on a drop to one device, and on drops to devices in one room of up to %s (NFPA 72-2013 12.3.7, 2016 and later 12.3.8); "+
		"%s apart vertically and %s horizontally is the annex's recommendation, not a requirement",
		u.Length(EnclosureFree, 1), u.Area(RoomLimit), u.Small(AdvisedVertical), u.Small(AdvisedHorizontal))
}

// Distances of the rule and its annex, in metres.
const (
	AdvisedVertical   = 12 * measure.Inch // annex A.12.3.7 recommendation
	AdvisedHorizontal = 48 * measure.Inch // annex A.12.3.7 recommendation
	EnclosureFree     = 10 * measure.Foot // 12.3.7(1): may share a raceway this far where conductors enter or leave an enclosure
)

// RoomLimit is the area in square metres up to which one raceway may hold both
// ways of a circuit to several devices of a room: 1000 ft2, NFPA 72-2013
// 12.3.7(3), 2016 12.3.8.1(3).
const RoomLimit = 1000 * measure.Foot * measure.Foot

// Disc is a place and what lies around it.
type Disc struct {
	At     geom.Point
	Radius float64 // metres
}

// Other is a part of a circuit beside which a run may lie.
type Other struct {
	Runs  [][]geom.Point
	Free  [][]Disc // where the two may be together: inside all discs of one of these sets
	Loses int      // devices that one event at both loses
}

// Stretch is a straight piece of a run that lies beside others.
type Stretch struct {
	Segment  int // of the run: from point Segment to point Segment+1
	From, To geom.Point
	Length   float64
	Loses    int // the most of the others that it lies beside
}

// Together returns the length of a run that lies closer than the separation, in
// metres, to others, and where. Runs are polylines in plan, in metres, on one
// level; length is counted once along the run however many others come by, but
// parted where what an event loses changes. The result is exact, not sampled.
func Together(run []geom.Point, separation float64, others ...Other) (length float64, places []Stretch, err error) {
	if err := checkRuns(run, separation, others); err != nil {
		return 0, nil, err
	}
	for i := 0; i+1 < len(run); i++ {
		p, q := run[i], run[i+1]
		whole := p.Dist(q)
		if whole == 0 {
			continue
		}
		for _, s := range besideAt(p, q, separation, others) {
			if l := (s.to - s.from) * whole; l > 1e-9 { // a touch has no length
				length += l
				places = append(places, Stretch{i, p.Lerp(q, s.from), p.Lerp(q, s.to), l, s.loses})
			}
		}
	}
	return length, places, nil
}

// lossy is a span with what an event there loses.
type lossy struct {
	span
	loses int
}

// besideAt returns the parts of segment pq beside others, in order.
func besideAt(p, q geom.Point, separation float64, others []Other) []lossy {
	var all []lossy
	var cuts []float64
	for _, o := range others {
		var near []span
		for _, run := range o.Runs {
			for j := 0; j+1 < len(run); j++ {
				near = append(near, capsule(p, q, run[j], run[j+1], separation)...)
			}
		}
		near = union(near)
		for _, set := range o.Free {
			near = without(near, inAll(p, q, set))
		}
		for _, s := range near {
			all = append(all, lossy{s, o.Loses})
			cuts = append(cuts, s.from, s.to)
		}
	}
	slices.Sort(cuts)
	var out []lossy
	for k := 1; k < len(cuts); k++ {
		s, found := lossy{span: span{cuts[k-1], cuts[k]}}, false
		middle := (s.from + s.to) / 2
		for _, a := range all {
			if a.from < middle && middle < a.to {
				s.loses, found = max(s.loses, a.loses), true
			}
		}
		n := len(out)
		switch {
		case !found || s.from == s.to:
		case n > 0 && out[n-1].to == s.from && out[n-1].loses == s.loses:
			out[n-1].to = s.to
		default:
			out = append(out, s)
		}
	}
	return out
}

// inAll is the part of segment pq inside all discs of a set.
func inAll(p, q geom.Point, set []Disc) []span {
	in := span{0, 1}
	for _, d := range set {
		s := disc(p, q, d.At, d.Radius)
		if len(s) == 0 {
			return nil
		}
		in = span{max(in.from, s[0].from), min(in.to, s[0].to)}
	}
	if len(set) == 0 || in.from >= in.to {
		return nil
	}
	return []span{in}
}

func checkRuns(run []geom.Point, separation float64, others []Other) error {
	if !(separation > 0) || math.IsInf(separation, 0) {
		return fmt.Errorf("separation %v m: give one above zero", separation)
	}
	lines := [][]geom.Point{run}
	for _, o := range others {
		lines = append(lines, o.Runs...)
		for _, set := range o.Free {
			for _, d := range set {
				if !(d.Radius >= 0) || math.IsInf(d.Radius, 0) {
					return fmt.Errorf("free radius %v m: give zero or more", d.Radius)
				}
				lines = append(lines, []geom.Point{d.At})
			}
		}
	}
	for _, line := range lines {
		for i, p := range line {
			if !p.IsFinite() {
				return fmt.Errorf("point %d (%v, %v) is not a place", i, p.X, p.Y)
			}
		}
	}
	return nil
}

// span is a part of a segment by fraction of its length.
type span struct{ from, to float64 }

// disc is the part of segment pq closer than r to c.
func disc(p, q, c geom.Point, r float64) []span {
	d, e := q.Sub(p), p.Sub(c)
	a, b, k := d.Dot(d), d.Dot(e), e.Dot(e)-r*r
	root := b*b - a*k
	if root <= 0 {
		return nil
	}
	root = math.Sqrt(root)
	return clip(span{(-b - root) / a, (-b + root) / a})
}

func clip(s span) []span {
	s.from, s.to = max(s.from, 0), min(s.to, 1)
	if s.from >= s.to {
		return nil
	}
	return []span{s}
}

// capsule is the part of segment pq closer than r to segment ab: within r of
// either end, or beside it.
func capsule(p, q, a, b geom.Point, r float64) []span {
	// Runs just as far apart as asked are apart: the last bits of a sum may not say otherwise.
	r *= 1 - 1e-9
	out := append(disc(p, q, a, r), disc(p, q, b, r)...)
	whole := a.Dist(b)
	if whole == 0 {
		return out
	}
	ux, uy := (b.X-a.X)/whole, (b.Y-a.Y)/whole
	// In the frame of ab: x along it, y off it.
	x0, y0 := (p.X-a.X)*ux+(p.Y-a.Y)*uy, (p.Y-a.Y)*ux-(p.X-a.X)*uy
	x1, y1 := (q.X-a.X)*ux+(q.Y-a.Y)*uy, (q.Y-a.Y)*ux-(q.X-a.X)*uy
	s, ok := slab(span{0, 1}, x0, x1, 0, whole)
	if ok {
		s, ok = slab(s, y0, y1, -r, r)
	}
	if ok {
		out = append(out, clip(s)...)
	}
	return out
}

// slab cuts s to where the value that runs from v0 to v1 lies between lo and hi.
func slab(s span, v0, v1, lo, hi float64) (span, bool) {
	d := v1 - v0
	if d == 0 {
		return s, v0 >= lo && v0 <= hi
	}
	t0, t1 := (lo-v0)/d, (hi-v0)/d
	if t0 > t1 {
		t0, t1 = t1, t0
	}
	s.from, s.to = max(s.from, t0), min(s.to, t1)
	return s, s.from < s.to
}

// union joins spans that overlap or touch.
func union(in []span) []span {
	slices.SortFunc(in, func(a, b span) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	var out []span
	for _, s := range in {
		if n := len(out); n > 0 && s.from <= out[n-1].to+1e-12 {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

// without takes the cut spans (at most one) out of the others.
func without(in, cut []span) []span {
	if len(cut) == 0 {
		return in
	}
	var out []span
	for _, s := range in {
		out = append(out, clip(span{s.from, min(s.to, cut[0].from)})...)
		out = append(out, clip(span{max(s.from, cut[0].to), s.to})...)
	}
	return out
}
