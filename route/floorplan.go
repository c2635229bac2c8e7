package route

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"loopwright/route/path"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// sameSpot is the distance in metres within which two devices count as one on
// top of the other (a detector on its base): the cable between them does not go
// up to cable height and back.
const sameSpot = 0.3

// place is one end of a leg: place 0 is the panel, the others are devices.
type place struct {
	id     string
	level  int // index in Building.Levels
	pos    geom.Point
	height float64 // above the floor

	on    *storey
	local int     // index in the storey's measurer
	rise  float64 // from the place up, or down, to where cable runs
}

// storey measures on one level, between its places and its risers.
type storey struct {
	level  takeoff.Level
	risers map[int]int // index of a riser -> index in the measurer
	m      path.Measurer
	axes   path.Axes
	turn   [2]float64 // sine and cosine of the turn back to the axes
	note   string     // why it is measured otherwise than asked

	corridors []geom.Ring
}

// floorplan is a circuit's places on the levels that it serves, and the ways between them.
type floorplan struct {
	opt     Options
	units   measure.System // in which findings give lengths
	places  []place
	storeys map[int]*storey
	risers  []Riser
	notes   []takeoff.Finding

	unjoined []string // levels that no given riser joins with the panel's
}

func newFloorplan(b Building, panel Panel, devices []takeoff.Device, opt Options) (*floorplan, error) {
	f := &floorplan{opt: opt, units: b.Units, storeys: map[int]*storey{}, risers: b.Risers}
	at, err := b.level(panel.Level)
	if err != nil {
		return nil, fmt.Errorf("panel %s: %w", panel.Name, err)
	}
	f.places = append(f.places, place{id: panel.Name, level: at, pos: panel.Pos, height: b.Levels[at].CableHeight - panel.Drop})
	heights := map[string]takeoff.Mounting{}
	for _, t := range b.Types {
		heights[t.Type] = t.Mounting
	}
	for _, d := range devices {
		at, err := b.level(d.Level)
		if err != nil {
			return nil, fmt.Errorf("device %s: %w", d.ID, err)
		}
		f.places = append(f.places, place{id: d.ID, level: at, pos: d.Pos, height: heights[d.Type].HeightIn(b.Levels[at].Ceiling)})
	}
	f.proposeRiser(b, panel)
	for i := range f.places {
		l := f.places[i].level
		if f.storeys[l] == nil {
			f.storeys[l] = &storey{level: b.Levels[l], risers: map[int]int{}, corridors: b.outlines(b.Levels[l].Name, opt.Corridors)}
		}
	}
	for _, l := range f.storeysInOrder() {
		if err := f.measureOn(l, f.storeys[l]); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// storeysInOrder lists the levels that the circuit has to do with, lowest index first.
func (f *floorplan) storeysInOrder() []int { return slices.Sorted(maps.Keys(f.storeys)) }

// measureOn prepares the measuring on one level.
func (f *floorplan) measureOn(l int, s *storey) error {
	var pts []geom.Point
	for i := range f.places {
		if p := &f.places[i]; p.level == l {
			p.on, p.local, p.rise = s, len(pts), math.Abs(s.level.CableHeight-p.height)
			pts = append(pts, p.pos)
		}
	}
	if len(f.storeys) > 1 {
		for i, r := range f.risers {
			if r.passes(s.level.Name) {
				s.risers[i] = len(pts)
				pts = append(pts, r.Pos)
			}
		}
	}
	return s.measure(pts, f.opt, f.units)
}

// measure chooses the measurer that the options ask for, or says why not.
func (s *storey) measure(pts []geom.Point, opt Options, units measure.System) error {
	walls := s.walls(opt)
	segs := make([]geom.Segment, len(walls))
	for i, w := range walls {
		segs[i] = w.Segment
	}
	switch {
	case len(segs) > 0:
		s.axes = path.FindAxes(segs)
	default:
		s.axes = path.DrawingAxes("the plan names no walls")
	}
	s.turn[0], s.turn[1] = geom.SinCos(-s.axes.Angle)
	switch opt.Along {
	case AlongStraight:
		s.m = path.NewStraight(pts, nil)
	case AlongWalls:
		if len(segs) == 0 {
			s.note = "no walls are known on this level: measured rectilinear"
			s.m = path.NewRectilinear(pts, s.axes, nil)
			break
		}
		m, err := path.NewWingedWalls(pts, walls, s.axes, path.WallOptions{Corridors: s.corridors, Saving: opt.Saving, Units: units})
		if err != nil {
			return fmt.Errorf("%s: %w", s.level.Name, err)
		}
		s.m = m
	default:
		s.m = path.NewRectilinear(pts, s.axes, nil)
	}
	return nil
}

// walls gathers the wall lines of a level with what crossing each is worth avoiding.
func (s *storey) walls(opt Options) []path.Wall {
	var ws []path.Wall
	for _, sheet := range s.level.Sheets {
		for _, w := range sheet.Walls {
			pw := path.Wall{Segment: w.Segment, Penalty: opt.Weights.Wall}
			for _, pattern := range opt.Rated {
				if words.NameFits(pattern, w.Layer) {
					pw.Penalty = opt.Weights.RatedWall
				}
			}
			ws = append(ws, pw)
		}
	}
	return ws
}

// cost returns what the order is chosen by: metres of cable, drops included,
// wall penalties and level changes.
func (f *floorplan) cost(i, j int) float64 {
	if i == j {
		return 0
	}
	i, j = min(i, j), max(i, j) // the same sum either way, to the last bit
	c := 0.0
	if p, q := &f.places[i], &f.places[j]; p.on == q.on {
		c = p.on.m.Cost(p.local, q.local)
	} else {
		_, c = f.shaft(i, j)
	}
	apart := f.apart(i, j)
	return c + f.drop(i, j, apart) + f.drop(j, i, apart)
}

// apart reports whether the cable between two places goes up to cable height:
// between devices on one spot it runs straight from one to the other.
func (f *floorplan) apart(i, j int) bool {
	p, q := &f.places[i], &f.places[j]
	return i == 0 || j == 0 || p.level != q.level || math.Abs(p.pos.X-q.pos.X) >= sameSpot || p.pos.Dist(q.pos) >= sameSpot
}

// stacked reports whether any two devices stand on one spot.
func (f *floorplan) stacked() bool {
	order := make([]int, 0, len(f.places))
	for i := 1; i < len(f.places); i++ {
		order = append(order, i)
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(f.places[a].pos.X, f.places[b].pos.X) })
	for k, i := range order {
		for _, j := range order[k+1:] {
			if f.places[j].pos.X-f.places[i].pos.X >= sameSpot {
				break
			}
			if !f.apart(i, j) {
				return true
			}
		}
	}
	return false
}

// shaft returns the riser by which a leg between levels is cheapest, and its cost.
func (f *floorplan) shaft(i, j int) (riser int, cost float64) {
	p, q := &f.places[i], &f.places[j]
	s, t := p.on, q.on
	riser, cost = -1, math.Inf(1)
	for r := range f.risers {
		a, ok1 := s.risers[r]
		b, ok2 := t.risers[r]
		if !ok1 || !ok2 {
			continue
		}
		if c := s.m.Cost(p.local, a) + t.m.Cost(b, q.local); c < cost {
			riser, cost = r, c
		}
	}
	return riser, cost + rise(s.level, t.level) + f.opt.Weights.LevelChange
}

// rise is the height between the cable runs of two levels.
func rise(a, b takeoff.Level) float64 {
	return math.Abs(a.Elevation + a.CableHeight - b.Elevation - b.CableHeight)
}

// leg measures the cable between two places.
func (f *floorplan) leg(i, j int) Leg {
	r := -1
	if f.places[i].level != f.places[j].level {
		r, _ = f.shaft(i, j)
	}
	return f.legBy(i, j, r)
}

// legBy measures the cable between two places, by a riser where they are on two levels.
func (f *floorplan) legBy(i, j, r int) Leg {
	p, q := &f.places[i], &f.places[j]
	l := Leg{From: p.id, To: q.id}
	s := p.on
	l.Note = s.note
	if p.level == q.level {
		l.add(s.level.Name, s.m.Leg(p.local, q.local))
	} else {
		t := q.on
		l.add(s.level.Name, s.m.Leg(p.local, s.risers[r]))
		l.add(t.level.Name, t.m.Leg(t.risers[r], q.local))
		l.Rise = rise(s.level, t.level)
	}
	apart := f.apart(i, j)
	l.Drop = f.drop(i, j, apart) + f.drop(j, i, apart)
	l.Slack = f.slackAt(i) + f.slackAt(j)
	l.Length = l.Horizontal + l.Drop + l.Rise
	return l
}

// add appends the part of a leg that runs on one level.
func (l *Leg) add(level string, m path.Leg) {
	l.Horizontal += m.Length
	l.Crossings += m.Crossings
	l.Via = m.Via
	if l.Note == "" {
		l.Note = m.Note
	}
	l.Stretches = append(l.Stretches, Stretch{Level: level, Points: m.Points})
}

// drop is the vertical cable at end i of the leg from i to j. Where the leg does
// not go up to cable height the upper end bears the difference.
func (f *floorplan) drop(i, j int, apart bool) float64 {
	if !apart {
		return math.Max(0, f.places[i].height-f.places[j].height)
	}
	return f.places[i].rise
}

// slackAt is the allowance at one end of a leg: half a device's, as two legs
// meet there, or a panel's whole one.
func (f *floorplan) slackAt(i int) float64 {
	if i == 0 {
		return f.opt.Allow.Panel
	}
	return f.opt.Allow.Device / 2
}
