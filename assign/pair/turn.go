package pair

import (
	"cmp"
	"math"
	"slices"

	"loopwright/takeoff/geom"
)

// How a common turn is looked for: our own choice.
const (
	coarse     = 1.0  // metres: an angle read from short distances is off by this far away
	alike      = 0.02 // metres: distances between neighbours that may be the same one
	bin        = 0.25 // degrees: turns within one bin vote together
	turns      = 8    // turns that are tried in full
	neighbours = 6    // of each device
	asked      = 300  // devices whose neighbours are looked at
	nearRight  = 0.01 // degrees: as near to a right angle is one
)

// convinces reports whether a motion without turning needs no other to be tried:
// it explains most devices, and neither rooms nor, where something moved, keys speak
// against it. Where nothing moved, the place is what was wired, whatever the keys.
func (s *support) convinces(c score, old, fresh []Spot) bool {
	switch {
	case 5*c.spots < 3*min(len(s.old), len(s.new)):
		return false
	case c.rooms[0] >= fewest:
		return 2*c.rooms[1] >= c.rooms[0]
	case !c.moved() || 2*len(keyed(old, fresh)) < len(old):
		return true
	}
	return 2*c.keys[1] >= c.keys[0]
}

// turned looks for a motion that turns the plan and explains clearly more than best
// does. Plans are symmetrical more often than not: rooms and keys tell the ways apart,
// and where nothing does the motion is doubtful.
func (s *support) turned(old, fresh []Spot, best score) (score, bool) {
	var tried []score
	for _, turn := range angles(old, fresh) {
		tried = append(tried, s.turnedBy(turn, old, fresh))
	}
	slices.SortStableFunc(tried, func(a, b score) int {
		return cmp.Or(cmp.Compare(b.points(), a.points()), cmp.Compare(math.Abs(a.Turn), math.Abs(b.Turn)))
	})
	if len(tried) == 0 {
		return best, false
	}
	c := tried[0]
	if c.Turn == 0 || c.spots < s.least(0.4) || c.points() < best.points()+fewest || float64(c.points()) < 1.3*float64(best.points()) {
		return best, false
	}
	for _, other := range tried[1:] {
		if off := math.Abs(other.Turn - c.Turn); off > 5 && off < 355 && other.points() > c.points()-fewest {
			c.Doubtful = true
		}
	}
	return c, true
}

// turnedBy looks for the best motion that turns the plan by about an angle.
func (s *support) turnedBy(turn float64, old, fresh []Spot) score {
	was := pick(old, sample(len(old), asked))
	for i := range was {
		was[i].Pos = was[i].Pos.Turn(turn)
	}
	var top score
	w := newSupport(was, fresh, coarse)
	for _, by := range proposals(was, fresh) {
		if c := w.within(Shift{By: by}, coarse/2); c.points() > top.points() {
			top = c
		}
	}
	m := Shift{Turn: half(turn), By: top.By}
	wide := newSupport(old, fresh, coarse)
	for _, reach := range []float64{coarse, coarse / 3, exactly, exactly} {
		m = wide.fit(m, reach)
	}
	return s.count(m)
}

// borneOut reports whether rooms or keys bear a motion out.
func (c score) borneOut() bool {
	return c.rooms[0] >= fewest && 2*c.rooms[1] >= c.rooms[0] || c.keys[0] >= fewest && 2*c.keys[1] >= c.keys[0]
}

// symmetrical reports whether the plan turned half around explains the devices as well.
func (s *support) symmetrical(old, fresh []Spot, best score) bool {
	return s.turnedBy(180, old, fresh).spots > best.spots-fewest
}

// fit turns and moves so that the squares of what is left between the partners
// within reach are least.
func (s *support) fit(m Shift, reach float64) Shift {
	var was, is []geom.Point
	var a, b geom.Point
	for _, o := range s.old {
		if j, ok := s.partner(o, m, reach); ok {
			was, is = append(was, o.Pos), append(is, s.new[j].Pos)
			a, b = a.Add(o.Pos), b.Add(s.new[j].Pos)
		}
	}
	if len(was) < fewest {
		return m
	}
	a, b = a.Mul(1/float64(len(was))), b.Mul(1/float64(len(was)))
	var dot, cross float64
	for i := range was {
		p, q := was[i].Sub(a), is[i].Sub(b)
		dot, cross = dot+p.Dot(q), cross+p.Cross(q)
	}
	if dot == 0 && cross == 0 {
		return m
	}
	m.Turn = half(math.Atan2(cross, dot) * 180 / math.Pi)
	if right := 90 * math.Round(m.Turn/90); math.Abs(m.Turn-right) < nearRight {
		m.Turn = half(right)
	}
	m.By = b.Sub(a.Turn(m.Turn))
	return m
}

// half brings an angle above -180 and up to 180 degrees.
func half(deg float64) float64 {
	if deg = geom.Norm360(deg); deg > 180 {
		deg -= 360
	}
	return deg
}

// angles lists turns worth trying: right ones, those between devices of one key,
// and those that the ways from devices to their neighbours have in common.
func angles(old, fresh []Spot) []float64 {
	out := []float64{90, 180, -90}
	var a, b []Spot
	at := map[string]Spot{}
	for _, s := range fresh {
		at[s.Key] = s
	}
	for _, s := range old {
		if f, ok := at[s.Key]; ok && s.Key != "" && f.Type == s.Type {
			a, b = append(a, s), append(b, f)
		}
	}
	var votes []float64
	for i := range a {
		k := (i + len(a)/2) % len(a)
		if p, q := a[k].Pos.Sub(a[i].Pos), b[k].Pos.Sub(b[i].Pos); p.Len() > coarse && math.Abs(p.Len()-q.Len()) < exactly {
			votes = append(votes, geom.Norm360(q.Angle()-p.Angle()))
		}
	}
	out = append(out, peaks(votes, 1)...)
	return append(out, peaks(ways(old, fresh), turns)...)
}

// way is where a neighbour stands, seen from a device.
type way struct {
	from, to string // types
	far      float64
	angle    float64
}

// ways returns the turns that bring the way to a neighbour onto one as long
// between devices of the same types.
func ways(old, fresh []Spot) []float64 {
	a, b := around(old, asked), around(fresh, len(fresh))
	slices.SortFunc(b, func(x, y way) int {
		return cmp.Or(cmp.Compare(x.from, y.from), cmp.Compare(x.to, y.to), cmp.Compare(x.far, y.far), cmp.Compare(x.angle, y.angle))
	})
	var votes []float64
	for _, v := range a {
		k, _ := slices.BinarySearchFunc(b, v, func(x, y way) int {
			return cmp.Or(cmp.Compare(x.from, y.from), cmp.Compare(x.to, y.to), cmp.Compare(x.far, y.far-alike))
		})
		for ; k < len(b) && b[k].from == v.from && b[k].to == v.to && b[k].far <= v.far+alike && len(votes) < voteBudget; k++ {
			votes = append(votes, geom.Norm360(b[k].angle-v.angle))
		}
	}
	return votes
}

// around lists the ways from up to n devices to their nearest neighbours.
func around(spots []Spot, n int) []way {
	var out []way
	size := 1.0
	if box := boxOf(spots); len(spots) > 0 {
		size = max(size, 2*math.Sqrt(box.Area()/float64(len(spots))))
	}
	g := newGrid(size)
	for i, s := range spots {
		s.Level = ""
		g.add(s, i)
	}
	for _, i := range sample(len(spots), n) {
		at := spots[i]
		at.Level = ""
		var ws []way
		g.near(at, func(j int) {
			if d := spots[j].Pos.Sub(at.Pos); j != i && d.Len() > exactly {
				ws = append(ws, way{at.Type, spots[j].Type, d.Len(), d.Angle()})
			}
		})
		slices.SortFunc(ws, func(x, y way) int { return cmp.Or(cmp.Compare(x.far, y.far), cmp.Compare(x.angle, y.angle)) })
		out = append(out, ws[:min(neighbours, len(ws))]...)
	}
	return out
}

func boxOf(spots []Spot) geom.Box {
	var ps []geom.Point
	for _, s := range spots {
		ps = append(ps, s.Pos)
	}
	return geom.BoxOf(ps...)
}

// peaks returns up to n angles that most votes come close to, most first.
func peaks(votes []float64, n int) []float64 {
	const bins = int(360 / bin)
	var in [bins][]float64
	for _, v := range votes {
		k := int(v/bin) % bins
		in[k] = append(in[k], v)
	}
	weight := func(k int) int { return len(in[k]) + len(in[(k+1)%bins]) }
	order := make([]int, bins)
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(weight(b), weight(a)) })
	var out []float64
	for _, k := range order {
		if weight(k) == 0 || len(out) == n {
			break
		}
		var vs []float64
		vs = append(vs, in[k]...)
		for _, v := range in[(k+1)%bins] {
			if v < bin && k == bins-1 {
				v += 360
			}
			vs = append(vs, v)
		}
		a := geom.Norm360(median(vs))
		if !slices.ContainsFunc(out, func(o float64) bool { off := math.Abs(o - a); return off < 1 || off > 359 }) {
			out = append(out, a)
		}
	}
	return out
}
