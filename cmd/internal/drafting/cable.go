package drafting

import (
	"math"
	"slices"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// A text may stand across our own cable, which is then drawn with a gap for it,
// as wiring is lettered by hand. It costs a label more than another side and
// less than a leader, and the more the longer the gap: along the cable it costs
// more than a leader, because who follows a run must not lose it. Close to a
// symbol, where it is seen what the run joins, it costs the most.
const (
	gapPrice = 9.0 // of one gap across a cable, in steps of side preference
	gapPart  = 3.0 // the same again for so much of a gap, in text heights
	gapRoom  = 0.2 // between text and cable
	gapAway  = 1.2 // from the ends of a run that a gap keeps
	endPrice = 5 * gapPrice

	mostPieces = 5000 // of a leg: more only where a device stands far from every building
)

// cable is a run as it will be drawn, but for the gaps.
type cable struct {
	base edit.Base
	way  way
}

// heading is an arrowhead on a cable and its room.
type heading struct {
	edit.Solid
	room label.Rect
}

// run puts a cable on the sheet.
func (d *draft) run(base edit.Base, w way) {
	d.cables = append(d.cables, cable{base, w})
	d.lines = append(d.lines, w.inTheWay(d.sheet.height)...)
}

// inTheWay is what of a run labels keep clear of, in pieces that may be covered at a price.
func (w way) inTheWay(height float64) []label.SegmentObstacle {
	total, done := w.length(), 0.0
	var out []label.SegmentObstacle
	for i := 1; i < len(w); i++ {
		s := geom.Segment{A: w[i-1], B: w[i]}
		n := max(1, min(math.Ceil(s.Len()/(gapPart*height)), mostPieces))
		for k := range int(n) {
			o := label.SegmentObstacle{Segment: geom.Segment{A: s.A.Lerp(s.B, float64(k)/n), B: s.A.Lerp(s.B, float64(k+1)/n)}, Cost: gapPrice}
			if done < gapAway*height || total-done-o.Segment.Len() < gapAway*height {
				o.Cost = endPrice
			}
			done += o.Segment.Len()
			out = append(out, o)
		}
	}
	return out
}

func (w way) length() float64 { return geom.PathLen(w) }

// drawCables draws the cables, with gaps where texts stand across them, and the
// arrowheads that are not in a gap.
func (d *draft) drawCables(texts []label.Rect) []edit.Entity {
	room := gapRoom * d.sheet.height
	around := make([]geom.Box, len(texts))
	for i := range texts {
		texts[i].Width += 2 * room
		texts[i].Height += 2 * room
		around[i] = boxOf(texts[i])
	}
	var es []edit.Entity
	for _, c := range d.cables {
		pieces := []way{c.way}
		b := geom.BoxOf(c.way...)
		for i, r := range texts {
			if !touches(around[i], b) {
				continue
			}
			var next []way
			for _, p := range pieces {
				next = append(next, p.outside(r)...)
			}
			pieces = next
		}
		for _, p := range pieces {
			es = append(es, edit.Polyline{Base: c.base, Points: p.xy()})
		}
	}
	for _, a := range d.arrows {
		if free(around, boxOf(a.room)) {
			es = append(es, a.Solid)
		}
	}
	return es
}

// outside is what of a way does not lie in a rectangle.
func (w way) outside(r label.Rect) []way {
	box := geom.Around(geom.Point{}, r.Width, r.Height)
	var out []way
	cur := way{w[0]}
	end := func() {
		if cur = cur.tidy(); len(cur) > 1 {
			out = append(out, slices.Clone(cur))
		}
	}
	for i := 1; i < len(w); i++ {
		local := geom.Segment{A: w[i-1].Sub(r.Center).Turn(-r.Angle), B: w[i].Sub(r.Center).Turn(-r.Angle)}
		in, hit := clip(local, box)
		if !hit {
			cur = append(cur, w[i])
			continue
		}
		if in.A != local.A {
			cur = append(cur, in.A.Turn(r.Angle).Add(r.Center))
		}
		end()
		cur = nil
		if in.B != local.B {
			cur = way{in.B.Turn(r.Angle).Add(r.Center), w[i]}
		}
	}
	end()
	return out
}
