package route

import (
	"loopwright/route/path"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// A choice is a stretch of a leg that could as well bend at its other corner.
type choice struct {
	stretch *Stretch
	ways    [2][]geom.Point // as laid, and by the other corner
}

// partWays lets the first leg of a class A or X circuit and its way back bend at
// those corners that keep the two apart best: both are equally long, and the
// code wants outgoing and return conductors separate (NFPA 72-2013 12.3.7, 2016
// and later 12.3.8). Where it makes no difference the bends stay.
func (f *floorplan) partWays(b Building, c *Circuit, devices []takeoff.Device) error {
	if !c.Pathway.Looped() {
		return nil
	}
	choices := f.choices(c)
	if len(choices) == 0 {
		return nil
	}
	best, least := 0, 0.0
	for mask := range 1 << len(choices) {
		bend(choices, mask)
		a, err := Beside(b, *c, devices, nil)
		if err != nil {
			return err
		}
		sum := a.Length
		if mask == 0 && sum < told {
			return nil
		}
		if mask == 0 || sum < least-1e-6 {
			best, least = mask, sum
		}
	}
	bend(choices, best)
	return nil
}

// bend lays every choice as its bit of the mask says.
func bend(choices []choice, mask int) {
	for k, ch := range choices {
		ch.stretch.Points = ch.ways[mask>>k&1]
	}
}

// choices lists the stretches of the first leg and of the way back that may bend either way.
func (f *floorplan) choices(c *Circuit) []choice {
	var cs []choice
	for i := range c.Legs {
		l := &c.Legs[i]
		if i > 0 && !l.Return {
			continue
		}
		for k := range l.Stretches {
			s := &l.Stretches[k]
			m, ok := f.measurerOn(s.Level).(*path.Rectilinear)
			if !ok {
				continue
			}
			if other, ok := m.OtherBend(s.Points); ok {
				cs = append(cs, choice{s, [2][]geom.Point{s.Points, other}})
			}
		}
	}
	return cs
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
