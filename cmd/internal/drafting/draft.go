package drafting

import (
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// draft is a sheet on its way to becoming entities: what has been drawn and the
// labels that still look for a place.
type draft struct {
	sheet    *sheet
	scene    *scene
	layers   layering
	entities []edit.Entity
	attribs  []edit.AttribChange
	labels   []pending
	cables   []cable
	arrows   []heading
	lines    []label.SegmentObstacle // of our own cables
	boxes    []label.BoxObstacle     // of our own marks
	rects    map[string]label.Rect   // of devices and panels, by name
	main     []float64               // reading direction of each view
}

// pending is a label that looks for a place.
type pending struct {
	label.Label
	base   edit.Base
	leader edit.Base
	framed bool
	what   string // for a message about it
	handle string // of the symbol, for that message
}

// padding is the room between a framed text and its frame, in text heights.
const padding = 0.35

func newDraft(s *sheet, sc *scene) *draft {
	d := &draft{sheet: s, scene: sc, layers: layering{pattern: s.layers}, rects: map[string]label.Rect{}}
	for _, v := range s.views {
		d.main = append(d.main, sc.reading.main(v.window, v.axis))
	}
	for _, p := range s.panels {
		d.rects[p.name] = sc.symbols.at(p.handle, p.at, geom.BoxOf(p.at), s.height)
	}
	for _, m := range s.marks {
		d.rects[m.id] = sc.symbols.at(m.handle, m.at, m.symbol, s.height)
	}
	return d
}

// base is what the entities of one kind have in common.
func (d *draft) base(k kind, circuit, level string) edit.Base {
	return edit.Base{Layer: d.layers.of(k, circuit, level), Kind: string(k)}
}

func (d *draft) add(es ...edit.Entity) { d.entities = append(d.entities, es...) }

// readingReach is how far the texts are that a label runs along with, in text heights.
const readingReach = 25

// direction is the reading direction at a place of a view.
func (d *draft) direction(view int, at geom.Point) float64 {
	main := 0.0
	if view < len(d.main) {
		main = d.main[view]
	}
	return d.scene.reading.near(at, readingReach*d.sheet.height, main)
}

// marks puts the labels of all devices on the list, or into attributes.
func (d *draft) marks(intoAttributes map[int]bool) {
	for i, m := range d.sheet.marks {
		if intoAttributes[i] {
			h, _ := tags.ParseHandle(m.handle)
			d.attribs = append(d.attribs, edit.AttribChange{InsertHandle: h, Tag: d.sheet.attribute, Value: m.text})
			continue
		}
		if m.text == "" {
			continue
		}
		level := ""
		if m.view < len(d.sheet.views) {
			level = d.sheet.views[m.view].level
		}
		p := pending{base: d.base(m.kind, m.circuit, level), leader: d.base(kindLeader, m.circuit, level), what: "the label of " + m.id, handle: m.handle}
		if !m.nested {
			p.base.Device, _ = tags.ParseHandle(m.handle)
			p.leader.Device = p.base.Device
		}
		r := d.rects[m.id]
		p.Label = label.Label{ID: m.id, Text: m.text, Height: d.sheet.height, Anchor: m.at, Symbol: r, Angle: d.direction(m.view, m.at)}
		if r.Width > 0 && r.Height > 0 {
			p.Anchor = r.Center
		}
		d.labels = append(d.labels, p)
	}
}

// framedLabel puts a short word in a frame on the list.
func (d *draft) framedLabel(p pending) {
	w, h := label.Extent(p.Text, p.Height)
	p.Width, p.BoxHeight, p.framed = w+2*padding*p.Height, h+2*padding*p.Height, true
	d.labels = append(d.labels, p)
}

// longLeader is the longest leader in text heights, the most that the placement
// allows: far, but better than a text that lies on something.
const longLeader = 30

// place finds places for all labels on the list and draws them, and the cables
// with gaps for those that stand across.
func (d *draft) place() label.Result {
	labels := make([]label.Label, len(d.labels))
	for i, p := range d.labels {
		labels[i] = p.Label
	}
	res := label.Place(labels, d.obstacles(), label.Options{MaxLeader: longLeader, Reach: 2.5})
	var texts []label.Rect
	for i, p := range res.Placements {
		if len(d.cables) > 0 && p.Box.Width > 0 {
			texts = append(texts, p.Box)
		}
		d.write(d.labels[i], p)
	}
	d.entities = append(d.drawCables(texts), d.entities...)
	return res
}

// obstacles are what labels keep clear of.
func (d *draft) obstacles() label.Obstacles {
	var obs label.Obstacles
	for _, r := range d.scene.texts {
		obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: r})
	}
	for _, r := range d.scene.symbols.small {
		obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: r})
	}
	for _, p := range d.sheet.panels {
		obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: d.rects[p.name]})
	}
	// A device whose label goes into an attribute, or that gets none, is a symbol
	// all the same. The others are obstacles as symbols of their labels.
	labeled := map[string]bool{}
	for _, p := range d.labels {
		labeled[p.ID] = true
	}
	for _, m := range d.sheet.marks {
		if !labeled[m.id] {
			obs.Boxes = append(obs.Boxes, label.BoxObstacle{Rect: d.rects[m.id]})
		}
	}
	obs.Boxes = append(obs.Boxes, d.boxes...)
	obs.Segments = append(append(obs.Segments, d.scene.lines...), d.lines...)
	return obs
}

// write draws a label at its place.
func (d *draft) write(p pending, at label.Placement) {
	if at.Leader != nil {
		d.add(edit.Line{Base: p.leader, From: edit.XY(at.Leader.A), To: edit.XY(at.Leader.B)})
	}
	anchor, align := at.Baseline, dxf.Center
	if p.framed {
		d.add(outline(p.base, at.Box))
		anchor = anchor.Add(geom.Pt(at.Box.Width/2, padding*p.Height).Turn(at.Angle))
	} else {
		var along float64
		along, align = p.facing(at)
		anchor = anchor.Add(geom.Pt(along, 0).Turn(at.Angle))
	}
	// One TEXT for each line: every release of the format has it, and it looks the same everywhere.
	lines := strings.Split(p.Text, "\n")
	for i, s := range lines {
		up := geom.Pt(0, float64(len(lines)-1-i)*linePitch*p.Height).Turn(at.Angle)
		d.add(edit.Text{Base: p.base, At: edit.XY(anchor.Add(up)), Height: p.Height, Rotation: geom.Norm360(at.Angle), H: align, Value: s})
	}
}

// facing aligns a text to the side on which its symbol or leader is: how wide it
// comes out depends on the font, and it shall not stray from what it belongs to.
// It returns where in the box the text is tied, from its left end.
func (p *pending) facing(at label.Placement) (along float64, align dxf.HAlign) {
	to := p.Anchor
	if p.Symbol.Width > 0 || p.Symbol.Height > 0 {
		to = p.Symbol.Center
	}
	if at.Leader != nil {
		to = at.Leader.B
	}
	const middle = 0.15 // of the width: as good as above or below
	switch off := to.Sub(at.Box.Center).Turn(-at.Angle).X; {
	case off > middle*at.Box.Width:
		return at.Box.Width, dxf.Right
	case off < -middle*at.Box.Width:
		return 0, dxf.Left
	}
	return at.Box.Width / 2, dxf.Center
}

// linePitch is the distance of two lines that the placement reckons with.
const linePitch = 5.0 / 3
