package figures

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Found is a loose figure that stands on a drawing more than once: what may be a
// symbol that was exploded.
type Found struct {
	At      geom.Point // the first of them, in drawing units: a sample to match by
	Letters string     // what is lettered inside, "" for nothing
	Size    float64    // metres, larger side
	Count   int        // where nothing is set aside
}

// mostClusters bounds the places that are looked at for figures on a drawing, so
// that one whose linework is all on alarm layers stays quick.
const mostClusters = 5000

// leastFigure is the size in metres below which a circle is a dot or a bolt.
const leastFigure = 0.05

// Repeated finds the figures on alarm layers that stand more than once and hold a
// circle or letters, the most frequent first. What is set aside is not counted, nor
// what equals the figure that stands at a sample: a legend explains that. Figures are
// alike if they have as many strokes of each kind, the same letters and, within 2 %,
// one size.
func (b *Board) Repeated(metre float64, samples []geom.Point, aside func(geom.Point) bool) []Found {
	var all []Found
	hits := b.explained(metre, samples, aside)
	byShape := map[string][]int{}
	taken := map[[2]int64]bool{} // middles of figures seen, to the millimetre
	looked := 0
	alarm := words.Remembered(words.IsAlarm)
	for _, st := range b.strokes {
		if !st.marks(metre) || !st.visible || !alarm(st.layer) {
			continue
		}
		if looked++; looked > mostClusters {
			break
		}
		f, ok := b.Sample(st.mid, metre, st.layer)
		if !ok || f.size < leastFigure {
			continue
		}
		at := f.middle(st, metre)
		spot := [2]int64{int64(math.Round(at.X * metre * 1000)), int64(math.Round(at.Y * metre * 1000))}
		explained := slices.ContainsFunc(hits, func(p geom.Point) bool { return p.Dist(at)*metre < leastFigure })
		if taken[spot] || explained || aside(at) {
			continue
		}
		taken[spot] = true
		shape := f.shape()
		if shape == "" {
			continue
		}
		known := false
		for _, i := range byShape[shape] {
			if math.Abs(all[i].Size-f.size) <= 0.02*all[i].Size {
				all[i].Count++
				known = true
				break
			}
		}
		if !known {
			byShape[shape] = append(byShape[shape], len(all))
			all = append(all, Found{At: at, Letters: f.letters(), Size: f.size, Count: 1})
		}
	}
	all = slices.DeleteFunc(all, func(f Found) bool { return f.Count < 2 })
	slices.SortStableFunc(all, func(a, b Found) int { return cmp.Compare(b.Count, a.Count) })
	return all
}

// marks reports whether a stroke is what a symbol is told by: a circle of a
// symbol's size, or a few letters.
func (s stroke) marks(metre float64) bool {
	switch s.kind {
	case circleStroke:
		d := 2 * s.size * metre
		return d >= leastFigure && d <= greatestFigure
	case letterStroke:
		return len(s.text) <= 4 && words.Letters(s.text) > 0
	}
	return false
}

// middle is where a figure that was learnt around a stroke has its middle, in drawing units.
func (f Figure) middle(around stroke, metre float64) geom.Point {
	for _, s := range f.strokes {
		if s.offset == around.offset && s.kind == around.kind {
			return around.mid.Sub(s.mid.Mul(1 / metre))
		}
	}
	return around.mid
}

// shape describes a figure but for its size and turn; "" for one that is no
// symbol's: a bare box or line is drawn for many reasons.
func (f Figure) shape() string {
	n := f.kinds()
	if n[letterStroke] == 0 && (n[circleStroke] == 0 || len(f.strokes) < 2) {
		return ""
	}
	return fmt.Sprint(n, f.letters())
}

// kinds counts the strokes by kind.
func (f Figure) kinds() (n [letterStroke + 1]int) {
	for _, s := range f.strokes {
		n[s.kind]++
	}
	return n
}

// letters are those inside a figure, in the order of the alphabet.
func (f Figure) letters() string {
	var out []string
	for _, s := range f.strokes {
		if s.kind == letterStroke {
			out = append(out, s.text)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}
