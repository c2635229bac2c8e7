package takeoff

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// mistakes reports what of the job can hardly be meant, by what is drawn.
func (t *taker) mistakes() {
	for i := range t.res.Devices {
		if d := &t.res.Devices[i]; d.Type != "" && d.block != "" {
			t.deviceBlocks[d.block] = true
		}
	}
	t.doorsCounted()
	t.sameDrawing()
	t.layersOfNothing()
	t.oddElevations()
	t.notAbove()
}

// planKey is the place of a plan's key in the job file.
func planKey(plan int, name string) string { return fmt.Sprintf("plans[%d].%s", plan, name) }

// doorsCounted reports the blocks of doors and windows that a rule takes for devices:
// those drawn as a leaf and the arc along which it swings, and those that fill
// openings of walls.
func (t *taker) doorsCounted() {
	type kind struct {
		rule  int
		block string // effective
	}
	type seen struct {
		first    *Device
		n, doors int
		drawn    bool
	}
	doors := t.doorBlocks()
	gaps := make([]*plan.Gaps, len(t.req.Plans))
	var order []kind
	all := map[kind]*seen{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Status != Counted || d.block == "" {
			continue
		}
		k := kind{d.rule, d.Block}
		s := all[k]
		if s == nil {
			s = &seen{first: d}
			all[k] = s
			order = append(order, k)
		}
		s.n++
		if doors[d.Drawing][d.block] {
			s.doors, s.drawn = s.doors+1, true
		} else if t.fillsGap(d, gaps) {
			s.doors++
		}
	}
	of := map[int]*seen{} // by rule
	blocks := map[int][]string{}
	for _, k := range order {
		s := all[k]
		if !s.drawn && (s.doors < leastInGaps || 5*s.doors < 4*s.n) {
			continue
		}
		blocks[k.rule] = append(blocks[k.rule], k.block)
		if had := of[k.rule]; had != nil {
			had.n, had.drawn = had.n+s.n, had.drawn || s.drawn
			continue
		}
		of[k.rule] = s
	}
	for _, rule := range slices.Sorted(maps.Keys(of)) {
		s, r := of[rule], t.rules[rule]
		as := "fill openings of walls, as doors and windows do"
		if s.drawn {
			as = "are doors, drawn as a leaf and the arc that it swings along"
		}
		t.find(Finding{Code: codeDoor, Severity: Error, Drawing: s.first.Drawing, Handle: s.first.Handle, At: s.first.At, Placed: true,
			Key: fmt.Sprintf("types[%d].match[%d]", r.typ, r.number-1), Message: fmt.Sprintf(
				"%s of block %s count as %s and %s: narrow rule %d (%s)", symbols(s.n), strings.Join(blocks[rule], ", "), t.req.Types[r.typ].Type, as, r.number, r.Match)})
	}
}

// leastInGaps is how many symbols of a block must stand in openings of walls for it to be
// no device: one or two may be by chance.
const leastInGaps = 3

// doorBlocks names the blocks of each drawing that are drawn as doors.
func (t *taker) doorBlocks() map[string]map[string]bool {
	out := map[string]map[string]bool{}
	for i, p := range t.req.Plans {
		if p.Drawing != "" && out[p.Drawing] == nil {
			_, s := t.sheet(i)
			out[p.Drawing] = t.files.byName[p.Drawing].DoorBlocks(t.deviceBlocks, s.MetrePer)
		}
	}
	return out
}

// fillsGap reports whether a symbol fills an opening of a wall from side to side.
func (t *taker) fillsGap(d *Device, gaps []*plan.Gaps) bool {
	_, s := t.sheet(d.plan)
	if gaps[d.plan] == nil {
		gaps[d.plan] = plan.GapsOf(t.wallsOf(d.plan))
	}
	return gaps[d.plan].Filled(s.inBuilding(d.Symbol))
}

// wallsOf lists the walls of a plan in the building's frame, in metres: those that the job
// names, or those on layers that sound like it.
func (t *taker) wallsOf(i int) []geom.Segment {
	_, s := t.sheet(i)
	var out []geom.Segment
	for _, w := range s.Walls {
		out = append(out, w.Segment)
	}
	if p := t.req.Plans[i]; len(out) == 0 && p.Drawing != "" {
		page := t.files.byName[p.Drawing]
		for _, w := range page.Walls(page.WallLayers(), p.Region) {
			out = append(out, geom.Segment{A: s.ToBuilding.Apply(w.A), B: s.ToBuilding.Apply(w.B)})
		}
	}
	return out
}

// sameDrawing reports levels that are read from the same part of the same drawing, or
// of a copy of it.
func (t *taker) sameDrawing() {
	told := make([]bool, len(t.req.Plans))
	for i, p := range t.req.Plans {
		if p.Drawing == "" || told[i] {
			continue
		}
		levels, last, as := []string{p.Level}, -1, "its"
		for j := i + 1; j < len(t.req.Plans); j++ {
			q := t.req.Plans[j]
			if q.Drawing == "" || slices.Contains(levels, q.Level) || !sameRegion(p.Region, q.Region) || !t.sameFile(p.Drawing, q.Drawing) {
				continue
			}
			levels, told[j] = append(levels, q.Level), true
			if q.Drawing != p.Drawing {
				as = q.Drawing + ", a copy of it: its"
			}
			if last < 0 {
				last = j
			}
		}
		if last < 0 {
			continue
		}
		n := 0
		for k := range t.res.Devices {
			if d := &t.res.Devices[k]; d.Status == Counted && d.plan == i {
				n++
			}
		}
		t.find(Finding{Code: codeSameDrawing, Severity: Warning, Drawing: t.req.Plans[last].Drawing, Key: planKey(last, "drawing"), Message: fmt.Sprintf(
			"%s stands for %s, %s %s count on each: name each level's own drawing, give each its region, or leave it if these floors are alike",
			p.Drawing, strings.Join(levels, " and for "), as, symbols(n))})
	}
}

// sameRegion reports whether two regions of a drawing are the same for the most part.
func sameRegion(a, b *geom.Box) bool {
	if a == nil || b == nil {
		return a == nil && b == nil // a region within all of it: the drawing shows several levels, which is told elsewhere
	}
	return shared(*a, *b) > 0.5
}

func (t *taker) sameFile(a, b string) bool {
	return a == b || bytes.Equal(t.files.byName[a].Drawing.Bytes, t.files.byName[b].Drawing.Bytes)
}

// layersOfNothing reports the layers of walls and wiring on which nothing is drawn: where
// none of a plan's is, or one is on no plan at all.
func (t *taker) layersOfNothing() {
	for _, of := range []struct {
		key    string
		layers func(Plan) []string
		why    string
	}{
		{"walls", func(p Plan) []string { return p.Walls }, "no wall is known there"},
		{"wiring", func(p Plan) []string { return p.Wiring }, "no wiring is followed there"},
	} {
		hits := map[string]bool{} // patterns that fit on some plan
		none := make([][]string, len(t.req.Plans))
		for i, p := range t.req.Plans {
			for _, pattern := range of.layers(p) {
				switch {
				case p.Drawing == "":
				case t.files.byName[p.Drawing].Draws(pattern, p.Region):
					hits[pattern] = true
				default:
					none[i] = append(none[i], pattern)
				}
			}
		}
		told := map[string]bool{}
		for i, p := range t.req.Plans {
			missing := none[i]
			if len(missing) < len(of.layers(p)) { // the others show walls: a list may serve several plans
				missing = slices.DeleteFunc(slices.Clone(missing), func(s string) bool { return hits[s] || told[s] })
			}
			if len(missing) == 0 {
				continue
			}
			for _, m := range missing {
				told[m] = true
			}
			message := fmt.Sprintf("%s: nothing is drawn on %s in %s", p.Level, strings.Join(missing, " and "), p.Drawing)
			if len(missing) == len(of.layers(p)) {
				message += ", so " + of.why
			}
			if like := t.layersLike(p, of.key, missing); like != "" {
				message += ": " + like
			} else {
				message += ": correct the name, or delete it"
			}
			t.find(Finding{Code: codeNoLayer, Severity: Warning, Drawing: p.Drawing, Key: planKey(i, of.key), Message: message})
		}
	}
}

// layersLike names the layers of a plan's drawing that may be meant.
func (t *taker) layersLike(p Plan, key string, missing []string) string {
	if key != "walls" {
		return ""
	}
	like := slices.DeleteFunc(t.files.byName[p.Drawing].WallLayers(), func(l string) bool { return words.AnyName(p.Walls, l) })
	if len(like) == 0 {
		return ""
	}
	const most = 8
	if len(like) > most {
		like = append(like[:most:most], "...")
	}
	return "walls seem to be on " + strings.Join(like, ", ")
}
