package sheet

import (
	"fmt"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Layout is the sheet and the scale at which a level is drawn.
type Layout struct {
	Sheet    string // name of the paper
	Scale    int    // 96 stands for 1:96
	Standard bool   // the scale is one that is on a scale ruler
	paper    size   // as it lies
	area     box    // where the level is drawn
	extent   geom.Box
}

// pageFormat is a paper for plans, lying.
type pageFormat struct {
	name string
	size
}

// The papers for plans, smallest first: ASME Y14.1 and architectural sizes, and ISO 216.
var (
	imperialSheets = []pageFormat{{"tabloid", size{17 * 72, 11 * 72}}, {"18 x 24 in", size{24 * 72, 18 * 72}},
		{"24 x 36 in", size{36 * 72, 24 * 72}}, {"36 x 48 in", size{48 * 72, 36 * 72}}}
	metricSheets = []pageFormat{{"A3", size{420 * pointsPerMM, 297 * pointsPerMM}}, {"A2", size{594 * pointsPerMM, 420 * pointsPerMM}},
		{"A1", size{841 * pointsPerMM, 594 * pointsPerMM}}, {"A0", size{1189 * pointsPerMM, 841 * pointsPerMM}}}
)

// The scales of rulers: architects' and engineers' (so many inches, or one inch,
// to so many feet), and metric ones (ISO 5455).
var (
	imperialScales = []int{48, 64, 96, 128, 192, 384, 480, 600, 720, 1200, 2400}
	metricScales   = []int{50, 100, 200, 500, 1000, 2000, 5000}
	scaleWords     = map[int]string{48: "1/4 in = 1 ft", 64: "3/16 in = 1 ft", 96: "1/8 in = 1 ft", 128: "3/32 in = 1 ft", 192: "1/16 in = 1 ft",
		384: "1/32 in = 1 ft", 480: "1 in = 40 ft", 600: "1 in = 50 ft", 720: "1 in = 60 ft", 1200: "1 in = 100 ft", 2400: "1 in = 200 ft"}
)

// legible is the smallest scale at which devices in usual rooms can be told
// apart; a level that needs a smaller one on a small sheet goes on a larger sheet.
const legible = 200

const (
	planEdge   = 18.0
	titleStrip = 76.0
	legendWide = 132.0
)

// FitPlan picks the smallest sheet on which an extent (metres) is legible, and
// the largest standard scale at which it fits that sheet. What fits nowhere at a
// standard scale goes on the largest sheet at a scale that is not Standard.
func FitPlan(j Job, extent geom.Box) Layout {
	sheets, scales := imperialSheets, imperialScales
	if j.Units == measure.Metric {
		sheets, scales = metricSheets, metricScales
	}
	for _, most := range []int{legible, scales[len(scales)-1]} {
		for _, s := range sheets {
			for _, n := range scales {
				l := layout(s, n, extent)
				if n <= most && l.holds() {
					l.Standard = true
					return l
				}
			}
		}
	}
	n := scales[len(scales)-1]
	l := layout(sheets[len(sheets)-1], n, extent)
	for !l.holds() && n < 1<<30 {
		n *= 2
		l = layout(sheets[len(sheets)-1], n, extent)
	}
	return l
}

func layout(s pageFormat, scale int, extent geom.Box) Layout {
	area := box{planEdge, planEdge, s.w - 2*planEdge - legendWide, s.h - 2*planEdge - titleStrip}
	return Layout{Sheet: s.name, Scale: scale, paper: s.size, area: area, extent: extent}
}

func (l Layout) holds() bool {
	return l.Points(l.extent.Width()) <= l.area.w && l.Points(l.extent.Height()) <= l.area.h
}

// Points returns the length on paper, in points, of metres in the building.
func (l Layout) Points(m float64) float64 { return m * pointsPerMetre / float64(l.Scale) }

// Metres returns how much of the building a length on paper in points covers.
func (l Layout) Metres(pt float64) float64 { return pt * float64(l.Scale) / pointsPerMetre }

// at returns where a place lies on the page, in points from the top left.
func (l Layout) at(p geom.Point) (x, y float64) {
	c := l.extent.Center()
	return l.area.x + l.area.w/2 + l.Points(p.X-c.X), l.area.y + l.area.h/2 - l.Points(p.Y-c.Y)
}

// shown is where the level's extent lies on the page: title blocks and schedules
// that stand beside it on the architect's drawing are left out.
func (l Layout) shown() box {
	x, y := l.at(geom.Pt(l.extent.Min.X, l.extent.Max.Y))
	return box{x, y, l.Points(l.extent.Width()), l.Points(l.extent.Height())}
}

// Words says the scale as a title block does.
func (l Layout) Words() string {
	ratio := fmt.Sprintf("1:%d", l.Scale)
	if w, ok := scaleWords[l.Scale]; ok {
		return w + " (" + ratio + ")"
	}
	return ratio
}

// barLength returns how long the scale bar is: a round number of the job's
// units, their count, and points.
func (l Layout) barLength(s measure.System) (units int, points float64) {
	const least = 90.0
	for p := 1; ; p *= 10 {
		for _, k := range []int{1, 2, 4, 5} {
			if w := l.Points(float64(k*p) * s.Metres()); w >= least || p > 1e9 {
				return k * p, w
			}
		}
	}
}
