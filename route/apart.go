package route

import (
	"fmt"
	"slices"

	"loopwright/route/fault"
	"loopwright/route/path"
	"loopwright/route/tour"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// The code wants the two ways of a class A or X loop routed separately (NFPA
// 72-2013 12.3.7, 2016 and later 12.3.8): a loop whose stretches keep apart is
// preferred where it costs little.
const (
	apartShare = 0.02 // share of cable that keeping apart may cost; ours, no source
	apartGain  = 0.25 // share of what lies together that must be gained for it; ours, no source
	apartMost  = 250  // devices above which the order stays as it is: the work grows with their square
)

// keepApart changes the order of a loop if that takes a good part out of stretches
// side by side and more metres than it adds to the cable, and then bends legs that are
// as long by either corner. It says what it cost against the shortest. An order of an
// earlier run stays, and where the shortest route is asked for, that.
func (f *floorplan) keepApart(b Building, c *Circuit, devices []takeoff.Device, kept bool) error {
	if !c.Pathway.Looped() || len(c.Legs) < 3 {
		return nil
	}
	beside := func(c Circuit) (Circuit, float64, error) {
		f.bendApart(b, &c, devices)
		a, err := Beside(b, c, devices, nil)
		return c, a.Length, err
	}
	laid, best, err := beside(*c)
	if err != nil || f.opt.Near == 0 || len(devices) > apartMost {
		*c = laid
		return err
	}
	p, _ := f.tourProblem(c.Pathway)
	p.Near, p.Secondary, p.Begin, p.NoBound = 0, nil, f.given(), true
	r, err := tour.Solve(p)
	if err != nil {
		return err
	}
	inOrder := func(order []int) (Circuit, float64, error) {
		other := Circuit{Spec: c.Spec}
		f.chainOf(&other, order)
		return beside(other)
	}
	shortest, most, err := inOrder(r.Order)
	if err != nil {
		return err
	}
	least := metres(shortest.Legs)
	if !kept && best >= told {
		a := apart{f: f, edges: map[[2]int]*edge{}, pairs: map[[4]int]float64{}}
		base, before := metres(laid.Legs), best
		for _, order := range [][]int{r.Order, a.improve(f.indexes(c.Devices), least), a.improve(r.Order, least)} {
			other, length, err := inOrder(order)
			if err != nil {
				return err
			}
			if m := metres(other.Legs); length < before*(1-apartGain) && length+m < before+base-told && length+m < best+metres(laid.Legs) {
				laid, best = other, length
			}
		}
	}
	if !slices.Equal(c.Devices, laid.Devices) && f.penalised() { // the bound is found from the order
		if c.LowerBound, err = f.chainBound(f.indexes(laid.Devices), c.Pathway); err != nil {
			return err
		}
	}
	c.Devices, c.Legs = laid.Devices, laid.Legs
	least += f.otherRisers(b, c, least)
	more := metres(c.Legs) - least
	c.Exact = c.Exact && more < 1e-6
	if more > 1e-6 && best < most-told {
		f.notes = append(f.notes, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Note,
			Message: fmt.Sprintf("circuit %s: %s longer than the shortest (%.1f %%), which keeps its loop apart: %s lie within %s of another stretch instead of %s", c.Name,
				f.units.Length(more, 1), 100*more/least, f.units.Length(best, 1), f.units.Length(fault.AdvisedHorizontal, 2), f.units.Length(most, 1))})
	}
	return nil
}

// otherRisers lets legs of a loop change level by another riser while a shaft holds both
// of its ways and the other costs little, and says what it cost. It returns the metres.
func (f *floorplan) otherRisers(b Building, c *Circuit, least float64) float64 {
	was := metres(c.Legs)
	shaft, rise := b.sharedShaft(*c)
	taken := shaft
	for rise > 0 {
		order := f.indexes(c.Devices)
		best, at, with := rise, -1, Leg{}
		for k := len(c.Legs) - 1; k >= 0 && at < 0; k-- { // the way back rather than the way out
			i, j := order[k], order[(k+1)%len(order)]
			p, q := f.places[i].on, f.places[j].on
			if p == q {
				continue
			}
			for r := range f.risers {
				_, ok1 := p.risers[r]
				_, ok2 := q.risers[r]
				if !ok1 || !ok2 {
					continue
				}
				l, old := f.legBy(i, j, r), c.Legs[k]
				l.Return = old.Return
				if metres(c.Legs)+l.Length-old.Length-was > least*apartShare {
					continue
				}
				c.Legs[k] = l
				if _, shared := b.sharedShaft(*c); shared < best-1e-9 {
					best, at, with = shared, k, l
				}
				c.Legs[k] = old
			}
		}
		if at < 0 {
			break
		}
		c.Legs[at] = with
		_, rise = b.sharedShaft(*c)
	}
	more := metres(c.Legs) - was
	if more > 1e-6 {
		c.Exact = false
		f.notes = append(f.notes, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Note,
			Message: fmt.Sprintf("circuit %s: %s longer (%.1f %%), as one of its ways takes another riser than %s", c.Name, f.units.Length(more, 1), 100*more/least, taken)})
	}
	return more
}

func metres(legs []Leg) float64 {
	sum := 0.0
	for _, l := range legs {
		sum += l.Length
	}
	return sum
}

// chainOf lays the devices of a loop in an order of places, the panel first.
func (f *floorplan) chainOf(c *Circuit, order []int) {
	c.Devices, c.Legs = nil, nil
	for k, i := range order {
		if k > 0 {
			c.Devices = append(c.Devices, f.places[i].id)
			c.Legs = append(c.Legs, f.leg(order[k-1], i))
		}
	}
	if c.Pathway.Looped() {
		back := f.leg(order[len(order)-1], 0)
		back.Return = true
		c.Legs = append(c.Legs, back)
	}
}

// apart searches orders of a loop for one whose legs keep apart.
type apart struct {
	f     *floorplan
	edges map[[2]int]*edge
	pairs map[[4]int]float64 // metres that two legs lie together
}

// edge is the leg between two places.
type edge struct {
	between      [2]int // places, the lower first
	length, cost float64
	runs         map[string][][]geom.Point // by level
	shafts       []geom.Point
	box          geom.Box
}

func (a *apart) edge(i, j int) *edge {
	key := [2]int{min(i, j), max(i, j)}
	if e := a.edges[key]; e != nil {
		return e
	}
	l := a.f.leg(key[0], key[1])
	e := &edge{between: key, length: l.Length, cost: a.f.cost(i, j), runs: map[string][][]geom.Point{}, box: geom.EmptyBox()}
	for _, s := range l.Stretches {
		if len(s.Points) > 1 {
			e.runs[s.Level] = append(e.runs[s.Level], s.Points)
			e.box = e.box.Union(geom.BoxOf(s.Points...))
		}
	}
	e.shafts = ring{legs: []Leg{l}}.shafts(0)
	a.edges[key] = e
	return e
}

// together is how many metres of two legs of a loop lie side by side. Only what two
// legs share by themselves is free here: a place at their ends, a shaft.
func (a *apart) together(e, g *edge) float64 {
	if e == g || !e.box.Grow(fault.AdvisedHorizontal).Overlaps(g.box) {
		return 0
	}
	if g.between[0] < e.between[0] || g.between[0] == e.between[0] && g.between[1] < e.between[1] {
		e, g = g, e
	}
	key := [4]int{e.between[0], e.between[1], g.between[0], g.between[1]}
	if m, ok := a.pairs[key]; ok {
		return m
	}
	sum := 0.0
	for _, s := range a.f.storeysInOrder() {
		level := a.f.storeys[s].level.Name
		o := fault.Other{Runs: g.runs[level]}
		for _, i := range e.between {
			if (i == g.between[0] || i == g.between[1]) && a.f.places[i].level == s {
				o.Free = append(o.Free, []fault.Disc{{At: a.f.places[i].pos, Radius: fault.EnclosureFree}})
			}
		}
		for _, p := range e.shafts {
			for _, q := range g.shafts {
				if p.Dist(q) < 1e-6 {
					o.Free = append(o.Free, []fault.Disc{{At: p, Radius: fault.AdvisedHorizontal}})
				}
			}
		}
		for _, run := range e.runs[level] {
			if n, _, err := fault.Together(run, fault.AdvisedHorizontal, o); err == nil { // an error is told by Beside
				sum += n
			}
		}
	}
	a.pairs[key] = sum
	return sum
}

// loop is an order with its legs and what each lies beside the others.
type loop struct {
	order        []int
	legs         []*edge // leg k leads from order[k] to the next
	beside       []float64
	length, cost float64
}

func (a *apart) loopOf(order []int) loop {
	l := loop{order: order}
	for k, i := range order {
		e := a.edge(i, order[(k+1)%len(order)])
		l.legs = append(l.legs, e)
		l.length += e.length
		l.cost += e.cost
	}
	l.beside = make([]float64, len(l.legs))
	for i, e := range l.legs {
		for j := i + 1; j < len(l.legs); j++ {
			m := a.together(e, l.legs[j])
			l.beside[i] += m
			l.beside[j] += m
		}
	}
	return l
}

// improve reverses parts of an order, each time that which takes the most metres
// out of stretches side by side, less what it adds to the cable. The cable stays
// within its share of the least.
func (a *apart) improve(order []int, least float64) []int {
	l := a.loopOf(order)
	longest, dearest := least*(1+apartShare), l.cost*(1+apartShare)
	for {
		best, at := -told, [2]int{}
		n := len(l.order)
		for i := 1; i < n; i++ {
			for k := i + 1; k < n; k++ {
				p, q := l.legs[i-1], l.legs[k]
				if l.beside[i-1]+l.beside[k] == 0 {
					continue
				}
				r, s := a.edge(l.order[i-1], l.order[k]), a.edge(l.order[i], l.order[(k+1)%n])
				longer := r.length + s.length - p.length - q.length
				dearer := r.cost + s.cost - p.cost - q.cost
				if l.length+longer > longest || l.cost+dearer > dearest || max(0, longer)-l.beside[i-1]-l.beside[k] >= best {
					continue
				}
				gain := max(0, longer) + a.together(r, s) + a.together(p, q) - l.beside[i-1] - l.beside[k]
				for m, e := range l.legs {
					if m != i-1 && m != k {
						gain += a.together(r, e) + a.together(s, e)
					}
				}
				if gain < best {
					best, at = gain, [2]int{i, k}
				}
			}
		}
		if at == [2]int{} {
			return l.order
		}
		next := append([]int(nil), l.order...)
		for i, k := at[0], at[1]; i < k; i, k = i+1, k-1 {
			next[i], next[k] = next[k], next[i]
		}
		l = a.loopOf(next)
	}
}

// bendApart lets legs bend at those of their two corners that keep them from the
// others best: both ways are equally long. Where it makes no difference the bends stay.
func (f *floorplan) bendApart(b Building, c *Circuit, devices []takeoff.Device) {
	r := newRing(b, *c, devices)
	for range 2 {
		for i := range c.Legs {
			for k := range c.Legs[i].Stretches {
				s := &c.Legs[i].Stretches[k]
				m, ok := f.measurerOn(s.Level).(*path.Rectilinear)
				if !ok {
					continue
				}
				other, ok := m.OtherBend(s.Points)
				if !ok {
					continue
				}
				was, before := s.Points, r.besideLeg(i, s.Level)
				if before == 0 {
					continue
				}
				if s.Points = other; r.besideLeg(i, s.Level) > before-1e-6 {
					s.Points = was
				}
			}
		}
	}
}

// besideLeg is how many metres of a leg lie beside others on a level, and of others beside it.
func (r ring) besideLeg(i int, level string) float64 {
	sum := 0.0
	for j := range r.legs {
		if j == i {
			continue
		}
		p, q := min(i, j), max(i, j)
		runs := r.runs(p, level)
		others := r.runs(q, level)
		if !boxOf(runs).Grow(fault.AdvisedHorizontal).Overlaps(boxOf(others)) {
			continue
		}
		for _, run := range runs {
			if n, _, err := fault.Together(run, fault.AdvisedHorizontal, fault.Other{Runs: others, Free: r.free(p, q, level)}); err == nil { // an error is told by Beside
				sum += n
			}
		}
	}
	return sum
}

// measurerOn is what measures on a level, nil for a level without devices of the circuit.
func (f *floorplan) measurerOn(level string) path.Measurer {
	for _, s := range f.storeys {
		if s.level.Name == level {
			return s.m
		}
	}
	return nil
}
