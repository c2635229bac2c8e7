package drafting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/label"
)

// Sizes of homerun marks in text heights.
const (
	homeSize = 1.6 // arrowhead
	homeAway = 3.0 // from the device to the middle of the arrowhead
	homeRoom = 7.0 // radius around it that had better be empty
	wrapAt   = 24  // letters in a line of the note at a shaft
)

// homerun reports whether a leg joins a device to the panel on one level.
func (t *tracer) homerun(l *leg) bool {
	return l.other == "" && (l.from == t.route.panel || l.to == t.route.panel)
}

// homes marks the runs between panel and devices: an arrowhead beside the
// device that points to the panel, with the circuit's name. The names stand
// where the circuit begins and not at the panel, where all would crowd. Runs
// that change level are noted at the shaft, those of all circuits together.
func (t *tracer) homes(sh *shafts) {
	for _, r := range t.drawn {
		if r.leg.other != "" {
			if !r.leg.start {
				sh.add(r.way[0], r.leg.other, t.route.circuit)
			}
			if !r.leg.end {
				sh.add(r.way[len(r.way)-1], r.leg.other, t.route.circuit)
			}
			continue
		}
		if !t.homerun(r.leg) {
			continue
		}
		w := r.way
		if r.leg.from == t.route.panel {
			w = w.reversed()
		}
		h := t.sheet.height
		p, dir := t.clear(w)
		name := t.route.circuit
		if t.route.returns {
			name += map[bool]string{false: " OUT", true: " RETURN"}[r.leg.Return]
		}
		t.add(arrow(t.base(kindHome, t.route.circuit, t.level()), p, dir, homeSize*h))
		box := label.Rect{Center: p, Width: homeSize * h, Height: 0.6 * homeSize * h, Angle: roundTo(dir.Angle())}
		t.labels = append(t.labels, t.note(kindHome, name, box, fmt.Sprintf("the name of circuit %s on %s", t.route.circuit, t.level())))
	}
}

// clear is a place for the arrowhead on a run: not far from its start, where it
// covers nothing and where its name finds room.
func (t *tracer) clear(w way) (at, dir geom.Point) {
	h := t.sheet.height
	s := w.longest()
	at, dir = s.A.Lerp(s.B, 0.5), unit(s.B.Sub(s.A))
	least := math.Inf(1)
	for k := 2; k <= 60; k++ {
		away := float64(k) / 2
		p, d, ok := w.along(away * h)
		if !ok {
			break
		}
		price := math.Abs(away-homeAway)/4 + float64(t.crowd(p, homeRoom*h))
		if t.covers(label.Rect{Center: p, Width: homeSize * h, Height: 0.6 * homeSize * h, Angle: roundTo(d.Angle())}) {
			price += 100
		}
		if price < least {
			at, dir, least = p, d, price
		}
	}
	return at, dir
}

// crowd counts the texts and symbols around a place.
func (t *tracer) crowd(p geom.Point, reach float64) int {
	n := 0
	t.scene.within(geom.BoxOf(p).Grow(reach), func(_ geom.Box, c geom.Point) bool {
		if c.Dist(p) < reach {
			n++
		}
		return true
	})
	for _, m := range t.sheet.marks {
		if t.rects[m.id].Center.Dist(p) < reach {
			n += 2 // symbol and label
		}
	}
	return n
}

// shafts gathers which circuits leave a view and where.
type shafts struct {
	spots []shaft
}

type shaft struct {
	at       geom.Point
	level    string // that the cable goes to or comes from
	circuits []string
}

func (s *shafts) add(at geom.Point, level, circuit string) {
	i := slices.IndexFunc(s.spots, func(k shaft) bool { return k.level == level && k.at.Dist(at) < 1e-6*(1+at.Len()) })
	if i < 0 {
		i = len(s.spots)
		s.spots = append(s.spots, shaft{at: at, level: level})
	}
	if !slices.Contains(s.spots[i].circuits, circuit) {
		s.spots[i].circuits = append(s.spots[i].circuits, circuit)
	}
}

// shafts writes beside every shaft which circuits go to which level.
func (d *draft) shafts(view int, sh shafts) {
	h := d.sheet.height
	level := d.sheet.views[view].level
	for _, s := range sh.spots {
		box := label.Rect{Center: s.at, Width: h, Height: h}
		for _, p := range d.sheet.panels {
			if r := d.rects[p.name]; r.Width > 0 && inside(r, s.at) {
				box = r
			}
		}
		base := d.base(kindHome, "", level)
		what := fmt.Sprintf("the note on circuits from %s to %s", level, s.level)
		text := wrap(strings.Join(s.circuits, ", "), wrapAt) + "\nTO " + strings.ToUpper(s.level)
		d.labels = append(d.labels, pending{base: base, leader: base, what: what,
			Label: label.Label{ID: what, Text: text, Height: h, Anchor: s.at, Symbol: box, Angle: d.direction(view, s.at)}})
	}
}

// wrap breaks a text at blanks into lines of so many letters.
func wrap(s string, most int) string {
	var lines []string
	for _, word := range strings.Fields(s) {
		if n := len(lines); n > 0 && len(lines[n-1])+1+len(word) <= most {
			lines[n-1] += " " + word
			continue
		}
		lines = append(lines, word)
	}
	return strings.Join(lines, "\n")
}
