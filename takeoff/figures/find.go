package figures

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Tolerances of looking for figures, as shares.
const (
	scaleSpread = 0.02  // a figure may be drawn this much larger or smaller
	placeSpread = 0.025 // of its size: how far a stroke may lie off
	sizeSpread  = 0.03  // of a stroke's size, beyond the figure's own scale
	handShare   = 0.06  // of its size: what handSnap may be at most
)

// handSnap is how far in metres a stroke of a small figure may lie off all the
// same: hands draw to 5 mm, along both axes.
const handSnap = 0.0075

// slack is how far in metres a stroke may lie off.
func (f Figure) slack() float64 { return max(placeSpread*f.size, min(handSnap, handShare*f.size)) }

// spread is the share by which the size of a stroke may be off: both its ends may be.
func (f Figure) spread(s stroke) float64 {
	if s.kind == lineStroke && s.size > 0 {
		return max(sizeSpread, min(2*f.slack()/s.size, 2*handShare))
	}
	return sizeSpread
}

// Sought is a figure to look for.
type Sought struct {
	Figure
	Layer string // pattern of the layers of its strokes; "" for any
}

// Sighting is a figure as it stands on a plan.
type Sighting struct {
	Sought   int // index of what was looked for
	At       geom.Point
	Rotation float64  // degrees
	Box      geom.Box // drawing units
	Layer    string   // of its first line
	Style    dxf.Style
	Handle   dxf.Handle
	Visible  bool // all of it
}

// Miss is a place where the linework of a figure stands, but not the whole figure.
type Miss struct {
	Sought int
	At     geom.Point
	Handle dxf.Handle
	Why    string
}

// Search looks for figures on a board, a drawing unit of which is so many metres:
// in the order given, and each stroke belongs to the first that it makes.
func (b *Board) Search(all []Sought, metres float64) ([]Sighting, []Miss) {
	var found []Sighting
	var misses []Miss
	var anchors []int // of the misses
	used := map[int]bool{}
	for k, f := range all {
		h := hunt{b: b, f: f.Figure, layer: f.Layer, metres: metres, used: used}
		for i, s := range b.strokes {
			p, miss, ok := h.at(i)
			switch {
			case ok:
				for _, j := range p.strokes {
					used[j] = true
				}
				found = append(found, b.sighting(k, f.Figure, p))
			case miss != "":
				misses, anchors = append(misses, Miss{k, s.mid, s.handle, miss}), append(anchors, i)
			}
		}
	}
	n := 0
	for k, m := range misses {
		if !used[anchors[k]] {
			misses[n] = m
			n++
		}
	}
	return found, misses[:n]
}

// sighting describes a figure where it was found.
func (b *Board) sighting(sought int, f Figure, p placed) Sighting {
	first, visible := b.strokes[p.strokes[0]], true
	for _, j := range p.strokes {
		if st := b.strokes[j]; st.kind != letterStroke && (first.kind == letterStroke || st.offset < first.offset) {
			first = st
		}
		visible = visible && b.strokes[j].visible
	}
	box := geom.EmptyBox()
	for _, c := range []geom.Point{f.box.Min, f.box.Max, {X: f.box.Min.X, Y: f.box.Max.Y}, {X: f.box.Max.X, Y: f.box.Min.Y}} {
		box = box.Extend(p.to.Apply(c))
	}
	return Sighting{Sought: sought, At: p.to.Apply(geom.Point{}), Rotation: p.to.ApplyVector(geom.Pt(1, 0)).Angle(), Box: box,
		Layer: first.layer, Style: first.style, Handle: first.handle, Visible: visible}
}

// placed is how a figure lies on a board.
type placed struct {
	to      geom.Affine // figure in metres -> drawing units
	strokes []int
}

// hunt looks for one figure on one board.
type hunt struct {
	b      *Board
	f      Figure
	layer  string
	metres float64
	used   map[int]bool
}

// at looks for the figure with stroke i as its anchor. Where the linework fits
// and the rest does not it says why.
func (h *hunt) at(i int) (placed, string, bool) {
	s, anchor := h.b.strokes[i], h.f.strokes[0]
	if s.kind != anchor.kind || h.used[i] || !h.fits(s) {
		return placed{}, "", false
	}
	k := s.size / anchor.size
	if own := k * h.metres; own < 1-scaleSpread-1e-6 || own > 1+scaleSpread+1e-6 {
		return placed{}, "", false
	}
	miss := ""
	for _, to := range h.frames(s, k) {
		strokes, why, ok := h.verify(to)
		if ok {
			return placed{to: to, strokes: strokes}, "", true
		}
		if why != "" {
			miss = why
		}
	}
	return placed{}, miss, false
}

func (h *hunt) fits(s stroke) bool { return h.layer == "" || words.NameFits(h.layer, s.layer) }

// frames lists the ways in which the figure can lie with its anchor on stroke s,
// k being drawing units per metre.
func (h *hunt) frames(s stroke, k float64) []geom.Affine {
	anchor := h.f.strokes[0]
	var out []geom.Affine
	// Each is: anchor to the origin, mirrored or not, scaled, turned, and to s.
	add := func(turn float64, mirror bool) {
		m := geom.Scaling(k, k)
		if mirror {
			m = geom.Scaling(-k, k)
		}
		out = append(out, geom.Shift(anchor.mid.Mul(-1)).Then(m).Then(geom.Rotation(turn)).Then(geom.Shift(s.mid)))
	}
	// both adds the two frames in which the vector v of the figure comes to lie along w.
	both := func(v, w geom.Point) {
		add(w.Angle()-v.Angle(), false)
		add(w.Angle()-geom.Pt(-v.X, v.Y).Angle(), true)
	}
	if anchor.kind != circleStroke {
		both(anchor.b.Sub(anchor.a), s.b.Sub(s.a))
		both(anchor.b.Sub(anchor.a), s.a.Sub(s.b))
		return out
	}
	second, v, ok := h.f.second()
	if !ok { // everything about one middle: no turn to find
		add(0, false)
		return out
	}
	want := second
	want.size *= k
	for _, j := range h.b.near(s.mid, 1.1*max(v.Len(), h.f.size)*k) {
		q := h.b.strokes[j]
		if q.kind != want.kind || q.text != want.text || math.Abs(q.size-want.size) > sizeSpread*want.size || !h.fits(q) {
			continue
		}
		if second.mid.Dist(anchor.mid) > 0.05*h.f.size {
			if w := q.mid.Sub(s.mid); math.Abs(w.Len()-v.Len()*k) <= 2*placeSpread*h.f.size*k {
				both(v, w)
			}
			continue
		}
		both(v, q.b.Sub(q.a))
		both(v, q.a.Sub(q.b))
	}
	return out
}

// second returns a stroke that shows how a figure about a circle is turned, and
// the vector by which it does: to its middle, or along it.
func (f Figure) second() (stroke, geom.Point, bool) {
	anchor := f.strokes[0]
	best, at := 0.05*f.size, -1
	for i, s := range f.strokes[1:] {
		d := s.mid.Dist(anchor.mid)
		if s.kind == letterStroke {
			d *= 0.5 // rather by linework, as letters may keep upright
		}
		if d > best {
			best, at = d, i+1
		}
	}
	if at >= 0 {
		return f.strokes[at], f.strokes[at].mid.Sub(anchor.mid), true
	}
	for _, s := range f.strokes[1:] {
		if s.kind == lineStroke || s.kind == arcStroke {
			return s, s.b.Sub(s.a), true
		}
	}
	return stroke{}, geom.Point{}, false
}

// verify looks for every stroke of the figure where a frame puts it. why is
// given where all linework is there and something else is wrong.
func (h *hunt) verify(to geom.Affine) (strokes []int, why string, ok bool) {
	slack := h.f.slack() * to.Scale()
	drawn := geom.EmptyBox()
	missing, lines := "", 0
	back, err := to.Inverse()
	if err != nil {
		return nil, "", false
	}
	for _, want := range h.f.strokes {
		w := want.moved(to)
		hit := -1
		for _, j := range h.b.near(w.mid, 2*slack) {
			if q := h.b.strokes[j]; w.same(q, slack, h.f.spread(want)) && h.fits(q) && !h.used[j] && !slices.Contains(strokes, j) {
				hit = j
				break
			}
		}
		if hit < 0 {
			if want.kind == letterStroke {
				missing = want.text
			} else if lines++; h.f.strokes[0].kind != circleStroke || want.kind == circleStroke {
				return nil, "", false
			}
			continue
		}
		strokes = append(strokes, hit)
		if want.kind != letterStroke {
			drawn = drawn.Union(h.b.strokes[hit].moved(back).box())
		}
	}
	if lines > 0 {
		if missing != "" || h.f.letters() == "" {
			return nil, "", false
		}
		return nil, fmt.Sprintf("its circle and letters are there, but not all of its lines: missing %d", lines), false
	}
	if off := max(drawn.Width(), drawn.Height()) - h.f.size; math.Abs(off) > 2*scaleSpread*h.f.size {
		return nil, "", false
	}
	extra := h.extra(to, strokes)
	switch {
	case missing != "" && extra != "":
		return nil, fmt.Sprintf("it reads %q, not %q", extra, missing), false
	case missing != "":
		return nil, fmt.Sprintf("the letters %q are missing or out of place", missing), false
	case extra == "\x00":
		return nil, "there is more inside it", false
	case extra != "":
		return nil, fmt.Sprintf("it also reads %q", extra), false
	}
	return strokes, "", true
}

// extra returns letters inside a figure that do not belong to it,
// or "\x00" for linework that lies wholly inside.
func (h *hunt) extra(to geom.Affine, own []int) string {
	corner := geom.BoxOf(h.f.box.Min.Mul(0.9), h.f.box.Max.Mul(0.9))
	back, err := to.Inverse()
	if err != nil {
		return ""
	}
	found := ""
	for _, j := range h.b.near(to.Apply(geom.Point{}), h.f.size*to.Scale()) {
		q := h.b.strokes[j]
		if slices.Contains(own, j) || !h.fits(q) || !within(corner, q.moved(back)) {
			continue
		}
		if same := h.repeats(to, q); same {
			continue
		}
		if q.kind == letterStroke {
			if m := q.moved(back); !h.f.box.Grow(0.05*h.f.size).Contains(m.mid.Add(geom.Pt(m.wide()/2, 0))) || !h.f.box.Grow(0.05*h.f.size).Contains(m.mid.Sub(geom.Pt(m.wide()/2, 0))) {
				continue // the name of a room that runs through it
			}
			return q.text
		}
		found = "\x00"
	}
	return found
}

// repeats reports whether a stroke lies on one of the figure's own: a second copy.
func (h *hunt) repeats(to geom.Affine, q stroke) bool {
	for _, want := range h.f.strokes {
		if want.moved(to).same(q, h.f.slack()*to.Scale(), h.f.spread(want)) {
			return true
		}
	}
	return false
}
