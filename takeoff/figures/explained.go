package figures

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// Shown is a loose figure in a legend, with what is written beside it.
type Shown struct {
	At   geom.Point
	Text string
}

// explained lists the loose figures that a legend explains, each with how often it
// stands where nothing is set aside, and where it does.
func (b *Board) explained(metre float64, samples []Shown, aside func(geom.Point) bool) (out []Found, hits []geom.Point) {
	for _, row := range samples {
		f, ok := b.Sample(row.At, metre, "")
		if !ok {
			continue
		}
		if i := slices.IndexFunc(out, func(o Found) bool { return o.stands(b, row.At, f.size, metre) }); i >= 0 {
			// Shown twice: as one and the same, or as two that lines and letters do not tell apart.
			if !slices.Contains(out[i].texts, row.Text) {
				out[i].texts = append(out[i].texts, row.Text)
			}
			continue
		}
		g := Found{At: row.At, Letters: f.letters(), Size: f.size, Shape: f.describe(), texts: []string{row.Text}, figure: f}
		places, layers := b.sightings(f, metre, aside)
		g.Count = len(places)
		for _, st := range f.strokes {
			layers[st.layer] = true
		}
		if len(layers) == 1 {
			g.Layer = f.strokes[0].layer
		}
		if len(places) > 0 {
			g.First = places[0]
		}
		out, hits = append(out, g), append(hits, places...)
	}
	for i := range out {
		out[i].Legend, out[i].Unclear = strings.Join(out[i].texts, " / "), len(out[i].texts) > 1
	}
	return out, hits
}

// stands reports whether the figure, of the size given, stands at a place.
func (g Found) stands(b *Board, at geom.Point, size, metre float64) bool {
	h := hunt{b: b, f: g.figure, metres: metre, used: map[int]bool{}}
	return slices.ContainsFunc(b.near(at, size/metre), func(i int) bool {
		found, _, ok := h.at(i)
		return ok && found.to.Apply(geom.Point{}).Dist(at) < 0.25*size/metre
	})
}

// describe names the strokes of a figure by kind and letters.
func (f Figure) describe() string { return fmt.Sprint(f.kinds(), f.letters()) }

// sightings lists where a figure stands and nothing is set aside, as it
// would be counted, and the layers that it is drawn on there.
func (b *Board) sightings(f Figure, metre float64, aside func(geom.Point) bool) ([]geom.Point, map[string]bool) {
	h := hunt{b: b, f: f, metres: metre, used: map[int]bool{}}
	var places []geom.Point
	layers := map[string]bool{}
	for i := range b.strokes {
		found, _, ok := h.at(i)
		if !ok {
			continue
		}
		for _, j := range found.strokes {
			h.used[j] = true
		}
		at := found.to.Apply(geom.Point{})
		if !b.strokes[i].visible || aside(at) {
			continue
		}
		places = append(places, at)
		for _, j := range found.strokes {
			layers[b.strokes[j].layer] = true
		}
	}
	return places, layers
}
