package sheet

import (
	"fmt"
	"math"
	"slices"

	"codeberg.org/go-pdf/fpdf"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Plan is one level to be drawn. Places are metres with y up, turned so that
// the building stands square to the sheet.
type Plan struct {
	Level  string
	Layout Layout // see FitPlan
	Lines  []PlanLine
	Texts  []PlanText
	Routes []PlanRoute
	Marks  []PlanMark
	Panels []PlanMark
	Legend []PlanKind
	North  *float64 // degrees anticlockwise from the sheet's right; nil if not known
}

// PlanLine is one line of the architect's drawing.
type PlanLine struct {
	Points []geom.Point
	Closed bool
}

// PlanText is one text of the architect's drawing.
type PlanText struct {
	At       geom.Point // left end of its baseline, or its middle
	Middle   bool
	Height   float64 // of capitals, metres
	Rotation float64 // degrees
	Text     string
}

// PlanRoute is the cable of one circuit on this level.
type PlanRoute struct {
	Circuit string
	Index   int // among the job's circuits: picks how its line looks
	Ways    [][]geom.Point
}

// PlanMark is one device, or a panel, with what is written beside it.
type PlanMark struct {
	ID       string
	Key      string // one or two letters that name its type
	At       geom.Point
	Isolates bool
	Square   bool // takes no address
	Text     string
	TextAt   geom.Point // left end of the baseline
	Leader   *geom.Segment
}

// PlanKind is one row of a plan's legend.
type PlanKind struct {
	Key      string
	Name     string
	Count    int
	Isolates bool
	Square   bool
}

// PlanTextSize is the size in points of what is written beside devices, and
// PlanCapitals the share of it that its capitals are high (Go fonts: 0.72).
const (
	PlanTextSize = 6.5
	PlanCapitals = 0.72
)

// PlanMarkRadius is the size of a device's mark in points.
const PlanMarkRadius = 4.4

// Plans draws each level on a page of its own: the architect's lines light,
// cable, devices and addresses on top, as layers that can be switched off.
func Plans(j Job, plans []Plan) (Document, error) {
	p, err := newPen(j, "plans")
	if err != nil {
		return Document{}, err
	}
	layers := planLayers{back: p.AddLayer("architect", true), devices: p.AddLayer("devices", true), circuit: map[string]int{}}
	for _, pl := range plans {
		for _, r := range pl.Routes {
			if _, ok := layers.circuit[r.Circuit]; !ok {
				layers.circuit[r.Circuit] = p.AddLayer(r.Circuit, true)
			}
		}
	}
	var fs []takeoff.Finding
	for i, pl := range plans {
		l := pl.Layout
		p.AddPageFormat("P", fpdf.SizeType{Wd: l.paper.w, Ht: l.paper.h})
		p.Bookmark(pl.Level, 0, 0)
		p.plan(pl, layers)
		p.planTitle(pl, i+1, len(plans))
		p.planLegend(pl)
		if !l.Standard {
			fs = append(fs, takeoff.Finding{Code: codeNoScale, Severity: takeoff.Warning,
				Message: fmt.Sprintf("%s is %s: too large for any sheet at a standard scale, drawn at 1:%d; set its region in the job file",
					pl.Level, j.Units.Size(l.extent.Width(), l.extent.Height(), 0), l.Scale)})
		}
	}
	if len(plans) == 0 {
		p.AddPage()
		p.write(edge, 60, "No levels", style{size: 14})
	}
	doc, err := p.document()
	doc.Findings = append(doc.Findings, fs...)
	return doc, err
}

type planLayers struct {
	back, devices int
	circuit       map[string]int
}

func (p *pen) plan(pl Plan, layers planLayers) {
	a := pl.Layout.area
	p.ClipRect(a.x, a.y, a.w, a.h, false)
	p.BeginLayer(layers.back)
	b := pl.Layout.shown()
	p.ClipRect(b.x, b.y, b.w, b.h, false)
	p.background(pl)
	p.ClipEnd()
	p.EndLayer()
	for _, r := range pl.Routes {
		p.BeginLayer(layers.circuit[r.Circuit])
		p.route(pl.Layout, r)
		p.EndLayer()
	}
	p.BeginLayer(layers.devices)
	p.planMarks(pl)
	for _, m := range pl.Panels {
		p.panelMark(pl.Layout, m)
	}
	p.EndLayer()
	p.ClipEnd()
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.8)
	p.Rect(a.x, a.y, a.w, a.h, "D")
}

// segmentsPerPath keeps paths within what viewers handle well.
const segmentsPerPath = 5000

// background draws the architect's lines and texts, many lines as one path.
func (p *pen) background(pl Plan) {
	const gray = 175
	p.SetDrawColor(gray, gray, gray)
	p.SetLineWidth(0.35)
	n := 0
	for _, ln := range pl.Lines {
		for i, q := range ln.Points {
			x, y := pl.Layout.at(q)
			if i == 0 {
				p.MoveTo(x, y)
				continue
			}
			p.LineTo(x, y)
		}
		if ln.Closed {
			p.ClosePath()
		}
		if n += len(ln.Points); n > segmentsPerPath {
			p.DrawPath("D")
			n = 0
		}
	}
	if n > 0 {
		p.DrawPath("D")
	}
	for _, t := range pl.Texts {
		x, y := pl.Layout.at(t.At)
		st := style{size: pl.Layout.Points(t.Height) / PlanCapitals, gray: 140}
		if t.Middle {
			x -= p.width(t.Text, st) / 2
		}
		p.turned(x, y, t.Rotation, t.Text, st)
	}
}

// turned sets a text along a direction.
func (p *pen) turned(x, y, degrees float64, s string, st style) {
	if degrees == 0 {
		p.write(x, y, s, st)
		return
	}
	p.TransformBegin()
	p.TransformRotate(degrees, x, y)
	p.write(x, y, s, st)
	p.TransformEnd()
}

// look is how the line of a circuit is drawn: told apart in black and white by its dashes.
type look struct {
	r, g, b int
	dash    []float64
}

var looks = []look{
	{0, 0, 0, nil},
	{150, 20, 20, []float64{7, 2}},
	{20, 60, 150, []float64{3, 1.6}},
	{0, 110, 60, []float64{8, 2, 1.6, 2}},
	{120, 70, 0, []float64{1.4, 1.6}},
	{100, 0, 120, []float64{10, 2, 1.4, 1.6, 1.4, 2}},
	{0, 105, 115, []float64{5, 3}},
	{70, 70, 70, []float64{12, 3}},
}

func (p *pen) lookOf(index int, width float64) {
	k := looks[index%len(looks)]
	p.SetDrawColor(k.r, k.g, k.b)
	p.SetLineWidth(width)
	p.SetDashPattern(k.dash, 0)
}

func (p *pen) plainLine() { p.SetDashPattern(nil, 0) }

// route draws a circuit's cable, a little beside those of other circuits in the same corridor.
func (p *pen) route(l Layout, r PlanRoute) {
	p.lookOf(r.Index, 0.9)
	off := 1.3 * float64(r.Index%5-2)
	for _, w := range r.Ways {
		for i, q := range w {
			x, y := l.at(q)
			if i == 0 {
				p.MoveTo(x+off, y+off)
				continue
			}
			p.LineTo(x+off, y+off)
		}
	}
	if len(r.Ways) > 0 {
		p.DrawPath("D")
	}
	p.plainLine()
}

// planMarks draws what takes no address first: on one spot with what takes one,
// such as a base with its detector, it shows as a square around the ring.
func (p *pen) planMarks(pl Plan) {
	near := pl.Layout.Metres(PlanMarkRadius)
	for _, m := range pl.Marks {
		if !m.Square || m.Isolates {
			continue
		}
		under := slices.ContainsFunc(pl.Marks, func(o PlanMark) bool { return !o.Square && o.At.Dist(m.At) < near })
		if under {
			x, y := pl.Layout.at(m.At)
			const r = PlanMarkRadius * 1.35
			p.outline(box{x - r, y - r, 2 * r, 2 * r}, 0.7)
			continue
		}
		p.planMark(pl.Layout, m)
	}
	for _, m := range pl.Marks {
		if !m.Square || m.Isolates {
			p.planMark(pl.Layout, m)
		}
	}
}

func (p *pen) planMark(l Layout, m PlanMark) {
	x, y := l.at(m.At)
	if m.Leader != nil {
		ax, ay := l.at(m.Leader.A)
		bx, by := l.at(m.Leader.B)
		p.rule(ax, ay, bx, by, 0.3, 0)
	}
	p.symbol(x, y, m.Key, m.Isolates, m.Square)
	if m.Text == "" {
		return
	}
	tx, ty := l.at(m.TextAt)
	st := style{size: PlanTextSize, bold: true}
	p.SetFillColor(255, 255, 255) // a cable that runs below must not strike the number out
	p.Rect(tx-0.6, ty-PlanCapitals*PlanTextSize-0.6, p.width(m.Text, st)+1.2, PlanCapitals*PlanTextSize+1.2, "F")
	p.write(tx, ty, m.Text, st)
}

// symbol draws a mark of our own: a ring for what takes an address, a square for
// what takes none, a black diamond for an isolator, with the letters of its type.
func (p *pen) symbol(x, y float64, key string, isolates, square bool) {
	const r = PlanMarkRadius
	st := style{size: 5.2, bold: true}
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.7)
	p.SetFillColor(255, 255, 255)
	switch {
	case isolates:
		p.SetFillColor(0, 0, 0)
		st.gray = 255
		const d = r * 1.15
		p.Polygon([]fpdf.PointType{{X: x, Y: y - d}, {X: x + d, Y: y}, {X: x, Y: y + d}, {X: x - d, Y: y}}, "FD")
	case square:
		p.Rect(x-r, y-r, 2*r, 2*r, "FD")
	default:
		p.Circle(x, y, r, "FD")
	}
	s, st := p.fitted(2*r-1.2, key, st)
	p.center(x, y+st.size*0.36, s, st)
}

// panelMark draws a panel: a black box with its name.
func (p *pen) panelMark(l Layout, m PlanMark) {
	x, y := l.at(m.At)
	st := style{size: 7, bold: true, gray: 255}
	w := p.width(m.Text, st) + 6
	p.SetFillColor(0, 0, 0)
	p.Rect(x-w/2, y-5.5, w, 11, "F")
	p.center(x, y+2.5, m.Text, st)
}

// north draws an arrow to the north, or says that it is not known.
func (p *pen) north(x, y float64, deg *float64) {
	if deg == nil {
		p.write(x, y+4, "north: not known", style{size: 8, gray: 60})
		return
	}
	sin, cos := math.Sincos(*deg * math.Pi / 180)
	const r = 16
	p.rule(x-r*cos, y+r*sin, x+r*cos, y-r*sin, 1.2, 0)
	p.SetFillColor(0, 0, 0)
	tip := fpdf.PointType{X: x + r*cos, Y: y - r*sin}
	p.Polygon([]fpdf.PointType{tip, {X: tip.X - 8*cos - 4*sin, Y: tip.Y + 8*sin - 4*cos}, {X: tip.X - 8*cos + 4*sin, Y: tip.Y + 8*sin + 4*cos}}, "F")
	p.center(x+(r+7)*cos, y-(r+7)*sin+3, "N", style{size: 9, bold: true})
}
