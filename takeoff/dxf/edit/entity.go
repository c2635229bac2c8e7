package edit

import (
	"fmt"
	"math"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// Base is what every new entity says about itself.
type Base struct {
	Layer  string      // one of the addition's layers
	Kind   string      // what it is, kept with it: "label", "leg", ...
	Device tags.Handle // the INSERT that it belongs to, 0 for none
}

// Entity is an entity that an Addition can put into model space: Text,
// Line, Polyline, Circle or Solid.
type Entity interface {
	base() Base
	validate() error
	emit(w *entityWriter)
}

func (b Base) base() Base { return b }

// entityWriter writes entities in the layout that the drawing's release wants.
type entityWriter struct {
	*emitter
	rel     release
	handles bool        // records carry handles
	owner   tags.Handle // block record of model space
	next    tags.Handle
	layers  map[string]string // asked for (folded) -> name in this drawing
	style   string
	cur     Base
	own     tags.Handle // handle of the record being written
}

// take hands out the next free handle, or none where the drawing has none.
func (w *entityWriter) take() tags.Handle {
	if !w.handles {
		return 0
	}
	h := w.next
	w.next++
	return h
}

// begin writes the head of an entity up to and including its first marker.
func (w *entityWriter) begin(typ, marker string, owner tags.Handle) tags.Handle {
	w.own = w.take()
	w.raw(0, typ)
	if w.handles {
		w.handle(5, w.own)
	}
	if w.rel.owned() {
		w.handle(330, owner)
		w.raw(100, "AcDbEntity")
	}
	w.str(8, w.layers[foldName(w.cur.Layer)])
	w.marker(marker)
	return w.own
}

// marker writes a subclass marker where the release has them.
func (w *entityWriter) marker(name string) {
	if w.rel.owned() && name != "" {
		w.raw(100, name)
	}
}

// end writes the extended data that make an entity ours.
func (w *entityWriter) end() { w.mark(w.cur.Kind, w.own, w.cur.Device) }

// Line is a LINE.
type Line struct {
	Base
	From, To XY
}

func (l Line) validate() error { return finite(l.From.X, l.From.Y, l.To.X, l.To.Y) }

func (l Line) emit(w *entityWriter) {
	w.begin("LINE", "AcDbLine", w.owner)
	w.point(10, l.From)
	w.point(11, l.To)
	w.end()
}

// Circle is a CIRCLE.
type Circle struct {
	Base
	Center XY
	Radius float64
}

func (c Circle) validate() error {
	return firstError(finite(c.Center.X, c.Center.Y), positive("radius", c.Radius))
}

func (c Circle) emit(w *entityWriter) {
	w.begin("CIRCLE", "AcDbCircle", w.owner)
	w.point(10, c.Center)
	w.float(40, c.Radius)
	w.end()
}

// Solid is a filled triangle or quadrilateral; Points go round it.
type Solid struct {
	Base
	Points []XY // 3 or 4
}

func (s Solid) validate() error {
	if len(s.Points) != 3 && len(s.Points) != 4 {
		return fmt.Errorf("a filled shape has 3 or 4 corners, not %d", len(s.Points))
	}
	return finitePoints(s.Points)
}

func (s Solid) emit(w *entityWriter) {
	w.begin("SOLID", "AcDbTrace", w.owner)
	// SOLID lists the far corners crosswise: round the shape it is 1, 2, 4, 3.
	p := s.Points
	last := p[len(p)-1]
	w.point(10, p[0])
	w.point(11, p[1])
	w.point(12, last)
	w.point(13, p[2])
	w.end()
}

// Polyline is a run of straight or bulged segments.
type Polyline struct {
	Base
	Points []XY
	Bulges []float64 // none, or one per point: tangent of a quarter of the arc's angle
	Width  float64   // constant width, 0 for a hairline
	Closed bool
}

func (p Polyline) validate() error {
	if len(p.Points) < 2 {
		return fmt.Errorf("a polyline needs 2 points, not %d", len(p.Points))
	}
	if len(p.Bulges) != 0 && len(p.Bulges) != len(p.Points) {
		return fmt.Errorf("a polyline with %d points has %d bulges; give one per point or none", len(p.Points), len(p.Bulges))
	}
	if p.Width < 0 {
		return fmt.Errorf("the width %v is negative", p.Width)
	}
	return firstError(finitePoints(p.Points), finite(p.Bulges...), finite(p.Width))
}

func (p Polyline) flags() int {
	if p.Closed {
		return 1
	}
	return 0
}

func (p Polyline) bulge(i int) float64 {
	if len(p.Bulges) == 0 {
		return 0
	}
	return p.Bulges[i]
}

func (p Polyline) emit(w *entityWriter) {
	if w.rel < relR14 {
		p.emitHeavy(w)
		return
	}
	w.begin("LWPOLYLINE", "AcDbPolyline", w.owner)
	w.int(90, len(p.Points))
	w.int(70, p.flags())
	w.float(43, p.Width)
	for i, pt := range p.Points {
		w.float(10, pt.X)
		w.float(20, pt.Y)
		if b := p.bulge(i); b != 0 {
			w.float(42, b)
		}
	}
	w.end()
}

// emitHeavy writes POLYLINE, VERTEX, SEQEND: R13 and older have no LWPOLYLINE.
// Each of these records is an entity of its own and carries our mark.
func (p Polyline) emitHeavy(w *entityWriter) {
	poly := w.begin("POLYLINE", "AcDb2dPolyline", w.owner)
	w.int(66, 1)
	w.point(10, XY{})
	w.int(70, p.flags())
	w.float(40, p.Width)
	w.float(41, p.Width)
	w.end()
	for i, pt := range p.Points {
		h := w.begin("VERTEX", "AcDbVertex", poly)
		w.marker("AcDb2dVertex")
		w.point(10, pt)
		if b := p.bulge(i); b != 0 {
			w.float(42, b)
		}
		w.mark(kindVertex, h, 0)
	}
	h := w.begin("SEQEND", "", poly)
	w.mark(kindSeqend, h, 0)
}

func finite(vs ...float64) error {
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e100 {
			return fmt.Errorf("%v is not a number that a drawing can hold", v)
		}
	}
	return nil
}

func finitePoints(ps []XY) error {
	for _, p := range ps {
		if err := finite(p.X, p.Y); err != nil {
			return err
		}
	}
	return nil
}

func positive(what string, v float64) error {
	if !(v > 0) {
		return fmt.Errorf("the %s %v is not above 0", what, v)
	}
	return finite(v)
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// foldName makes names of layers, styles and blocks comparable: the format
// compares them without regard to case.
func foldName(s string) string { return strings.ToUpper(strings.Trim(s, " \t")) }
