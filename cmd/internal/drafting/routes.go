package drafting

import (
	"fmt"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// Sizes of what is drawn along routes, in text heights.
const (
	arrowSize  = 1.1
	arrowRoom  = 3.0 // straight piece that an arrowhead needs
	dotRadius  = 0.4
	isolatorHW = 0.6 // half the side of an isolator's square
)

// routes draws the circuits of every view.
func (d *draft) routes() {
	for v := range d.sheet.views {
		view := &d.sheet.views[v]
		laid := d.layLanes(view)
		var sh shafts
		for i := range view.routes {
			t := tracer{draft: d, view: v, route: &view.routes[i], laid: laid}
			t.draw(&sh)
		}
		d.shafts(v, sh)
	}
}

// tracer draws one circuit on one view.
type tracer struct {
	*draft
	view  int
	route *route
	laid  map[*leg]way // in their lanes
	drawn []run
}

// run is a leg as drawn.
type run struct {
	leg *leg
	way way
}

func (t *tracer) draw(sh *shafts) {
	base := t.base(routeKind(t.route.kind), t.route.circuit, t.level())
	window := t.sheet.views[t.view].window
	for i := range t.route.legs {
		leg := &t.route.legs[i]
		w := t.trace(leg)
		for _, piece := range w.within(window) {
			if piece = piece.tidy(); len(piece) < 2 {
				continue
			}
			t.drawn = append(t.drawn, run{leg, piece})
			t.run(base, piece)
			if s := piece.longest(); s.Len() >= arrowRoom*t.sheet.height && !t.homerun(leg) {
				t.arrow(base, s)
			}
		}
	}
	t.taps(base)
	t.homes(sh)
	t.ends()
	t.isolators()
}

// arrow marks the direction of a run in the middle of a piece. A text that
// stands there costs far more than a gap elsewhere, and takes its place.
func (t *tracer) arrow(base edit.Base, s geom.Segment) {
	size, mid := arrowSize*t.sheet.height, s.A.Lerp(s.B, 0.5)
	dir := unit(s.B.Sub(s.A))
	r := label.Rect{Center: mid, Width: size, Height: 0.6 * size, Angle: roundTo(dir.Angle())}
	t.arrows = append(t.arrows, heading{arrow(base, mid, dir, size), r})
	t.boxes = append(t.boxes, label.BoxObstacle{Rect: r, Cost: 3 * gapPrice})
}

func (t *tracer) level() string { return t.sheet.views[t.view].level }

// trace cuts a leg in its lane at the symbols that it joins.
func (t *tracer) trace(leg *leg) way {
	w := t.laid[leg]
	if r, ok := t.rects[leg.from]; ok && leg.start {
		w = w.from(r)
	}
	if r, ok := t.rects[leg.to]; ok && leg.end {
		w = w.reversed().from(r).reversed()
	}
	return w
}

// taps draws a dot where a circuit branches between devices.
func (t *tracer) taps(base edit.Base) {
	var names []string
	at := map[string][]geom.Point{}
	meet := func(name string, p geom.Point) {
		if t.route.devices[name] || name == t.route.panel {
			return
		}
		if at[name] == nil {
			names = append(names, name)
		}
		at[name] = append(at[name], p)
	}
	for _, r := range t.drawn {
		if r.leg.start {
			meet(r.leg.from, r.way[0])
		}
		if r.leg.end {
			meet(r.leg.to, r.way[len(r.way)-1])
		}
	}
	for _, n := range names {
		if len(at[n]) >= 3 {
			base.Layer, base.Kind = t.layers.of(kindTap, t.route.circuit, t.level()), string(kindTap)
			t.add(dot(base, at[n][0], dotRadius*t.sheet.height))
		}
	}
}

// note is a label of the route, beside what stands at symbol.
func (t *tracer) note(k kind, text string, symbol label.Rect, what string) pending {
	base := t.base(k, t.route.circuit, t.level())
	return pending{base: base, leader: base, what: what,
		Label: label.Label{ID: what, Text: text, Height: t.sheet.height, Anchor: symbol.Center, Symbol: symbol, Angle: t.direction(t.view, symbol.Center)}}
}

// ends marks where class B branches end. Appliance and power circuits end in a
// part that the panel supervises; on a signaling line circuit it only ends.
func (t *tracer) ends() {
	if t.route.returns {
		return
	}
	goes := map[string]bool{}
	for _, l := range t.route.legs {
		goes[l.from] = true
	}
	text := "EOL"
	if t.route.kind == takeoff.SLC {
		text = "END"
	}
	for _, l := range t.route.legs {
		r, here := t.rects[l.to]
		if goes[l.to] || !l.end || !here || !t.route.devices[l.to] {
			continue
		}
		t.framedLabel(t.note(kindEndLine, text, r, fmt.Sprintf("the mark for the end of circuit %s at %s", t.route.circuit, l.to)))
	}
}

// isolators draws those to be added, each on its leg beside the device named.
func (t *tracer) isolators() {
	for _, a := range t.route.added {
		for _, r := range t.drawn {
			if r.leg.from != a.from || r.leg.to != a.to {
				continue
			}
			w := r.way
			switch {
			case a.beside == a.to && r.leg.end:
				w = w.reversed()
			case a.beside != a.from || !r.leg.start:
				continue
			}
			t.isolator(a, w)
			break
		}
	}
}

// isolator draws a square with a bar on the run, at the first place from its
// start where it covers nothing.
func (t *tracer) isolator(a added, w way) {
	h := t.sheet.height
	var box label.Rect
	for k := range 12 {
		p, dir, ok := w.along((1 + float64(k)/2) * h)
		if !ok {
			if k == 0 {
				p, dir = w[0].Lerp(w[len(w)-1], 0.5), unit(w[len(w)-1].Sub(w[0]))
			} else {
				break
			}
		}
		r := label.Rect{Center: p, Width: 2 * isolatorHW * h, Height: 2 * isolatorHW * h, Angle: roundTo(dir.Angle())}
		if k == 0 {
			box = r
		}
		if !t.covers(r) {
			box = r
			break
		}
	}
	base := t.base(kindIsolator, t.route.circuit, t.level())
	c := box.Corners()
	t.add(outline(base, box), edit.Line{Base: base, From: edit.XY(c[0]), To: edit.XY(c[2])})
	t.boxes = append(t.boxes, label.BoxObstacle{Rect: box})
	t.labels = append(t.labels, t.note(kindIsolator, "ADD ISO "+t.route.circuit, box, "the name of the isolator to add beside "+a.beside))
}

// covers reports whether a mark would lie on a text or symbol.
func (t *tracer) covers(r label.Rect) bool {
	b := boxOf(r)
	hit := false
	t.scene.within(b, func(o geom.Box, _ geom.Point) bool { hit = o.Overlaps(b); return !hit })
	if hit {
		return true
	}
	for _, m := range t.sheet.marks {
		if boxOf(t.rects[m.id]).Overlaps(b) {
			return true
		}
	}
	for _, o := range t.boxes {
		if boxOf(o.Rect).Overlaps(b) {
			return true
		}
	}
	return false
}

func unit(p geom.Point) geom.Point {
	if l := p.Len(); l > 0 {
		return p.Mul(1 / l)
	}
	return geom.Pt(1, 0)
}
