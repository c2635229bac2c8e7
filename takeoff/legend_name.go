package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
)

// explained lists the loose figures that legends explain, each with how often it
// stands outside legends and found regions, and where it does.
func (s *scene) explained(metre float64, regions []FoundRegion) (out []FoundFigure, hits []geom.Point) {
	b := s.loose()
	for _, l := range s.legends {
		for _, row := range l.Rows {
			if l.Paper || row.Block != "" {
				continue
			}
			f, ok := b.sample(row.At, metre, "")
			if !ok {
				continue
			}
			if i := slices.IndexFunc(out, func(o FoundFigure) bool { return o.stands(b, row.At, f.size, metre) }); i >= 0 {
				// Shown twice: as one and the same, or as two that lines and letters do not tell apart.
				if !slices.Contains(out[i].texts, row.Text) {
					out[i].texts = append(out[i].texts, row.Text)
				}
				continue
			}
			g := FoundFigure{At: row.At, Letters: f.letters(), Size: f.size, Shape: f.describe(), texts: []string{row.Text}, figure: f}
			places, layers := s.sightings(f, metre, regions)
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
	}
	for i := range out {
		out[i].Legend, out[i].Unclear = strings.Join(out[i].texts, " / "), len(out[i].texts) > 1
	}
	return out, hits
}

// stands reports whether the figure, of the size given, stands at a place.
func (g FoundFigure) stands(b *board, at geom.Point, size, metre float64) bool {
	h := hunt{b: b, f: g.figure, metres: metre, used: map[int]bool{}}
	return slices.ContainsFunc(b.near(at, size/metre), func(i int) bool {
		found, _, ok := h.at(i)
		return ok && found.to.Apply(geom.Point{}).Dist(at) < 0.25*size/metre
	})
}

// describe names the strokes of a figure by kind and letters.
func (f figure) describe() string { return fmt.Sprint(f.kinds(), f.letters()) }

// sightings lists where a figure stands outside legends and found regions, as it
// would be counted, and the layers that it is drawn on there.
func (s *scene) sightings(f figure, metre float64, regions []FoundRegion) ([]geom.Point, map[string]bool) {
	b := s.loose()
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
		if !b.strokes[i].visible || inFound(regions, at) || s.inLegend(at) {
			continue
		}
		places = append(places, at)
		for _, j := range found.strokes {
			layers[b.strokes[j].layer] = true
		}
	}
	return places, layers
}

// inLegend reports whether a place of model space lies in a legend.
func (s *scene) inLegend(p geom.Point) bool {
	return slices.ContainsFunc(s.legends, func(l Legend) bool { return !l.Paper && l.Holds(p) })
}
