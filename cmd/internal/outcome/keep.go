package outcome

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"loopwright/assign"
	"loopwright/route"
	"loopwright/takeoff"
)

// split divides a group among its circuits. Devices that the ledger knows stay
// on the circuit where they were: a small change must not rewire a building.
func (o *Outcome) split(b route.Building, g assign.Group, opt route.Options) ([]route.Part, []takeoff.Finding, error) {
	specs := o.specs(g)
	parts, fs, err := route.Split(b, specs, g.Devices, opt)
	if err != nil || len(specs) == 1 && !specs[0].Auto {
		return parts, fs, err
	}
	k := keeper{o: o, specs: specs, on: map[string]string{}}
	for _, d := range g.Devices {
		for _, c := range k.circuits(d.ID) {
			if _, ours := k.spec(c); ours {
				k.on[d.ID] = c
			}
		}
	}
	if k.agrees(parts) {
		return parts, fs, nil
	}
	return k.divide(b, g, opt)
}

// keeper puts devices where the ledger has them.
type keeper struct {
	o     *Outcome
	specs []route.Spec
	on    map[string]string // device -> circuit of the ledger
	parts []route.Part
}

// circuits are those that a device hung on in the earlier run.
func (k *keeper) circuits(id string) []string {
	r := k.o.memory.Rows[id]
	cs := []string{r.Circuit}
	for _, p := range r.Also {
		cs = append(cs, p.Circuit)
	}
	return cs
}

// spec is what the job asks of a circuit by its name: its row, or the row that
// makes as many as are needed.
func (k *keeper) spec(name string) (route.Spec, bool) {
	for _, s := range k.specs {
		if !s.Auto && s.Name == name {
			return s, true
		}
		if n, ok := strings.CutPrefix(name, s.Name+"-"); ok && s.Auto {
			if i, err := strconv.Atoi(n); err == nil && i > 0 {
				s.Name = name
				return s, true
			}
		}
	}
	return route.Spec{}, false
}

func (k *keeper) agrees(parts []route.Part) bool {
	for _, p := range parts {
		for _, d := range p.Devices {
			if c, known := k.on[d.ID]; known && c != p.Name {
				return false
			}
		}
		if p.Kind == takeoff.SLC && k.o.promised(p.Spec)+k.o.needed(p) > float64(p.Capacity) {
			return false
		}
	}
	return true
}

// needed is how many addresses the devices of a part take.
func (o *Outcome) needed(p route.Part) (n float64) {
	for _, d := range p.Devices {
		n += float64(o.span(d.Type))
	}
	return n
}

// promised is how many addresses of an SLC are kept for devices that are not on it:
// those that are gone, and those that hang there without being the job's.
func (o *Outcome) promised(s route.Spec) (n float64) {
	if s.Kind != takeoff.SLC {
		return 0
	}
	a := o.Job.Circuits[s.Row].Addresses
	kept := map[int]bool{}
	keep := func(h assign.Held) {
		for k := range h.Span {
			if x := h.Address + k; x >= a.First && x <= a.Last && !slices.Contains(a.Reserved, x) {
				kept[x] = true
			}
		}
	}
	for _, h := range o.memory.Retired(s.Name) {
		keep(h)
	}
	for _, d := range o.Take.Devices {
		if t, ok := drawnAddress(d, a.Drawn); ok && d.Status == takeoff.Excluded && o.stands(d) && t.names(s.Name) {
			keep(assign.Held{Address: t.address, Span: max(1, o.span(d.Type))})
		}
	}
	return float64(len(kept))
}

// divide keeps what is known in its place, puts each new device with its nearest
// neighbour that has room, and splits what is left.
func (k *keeper) divide(b route.Building, g assign.Group, opt route.Options) ([]route.Part, []takeoff.Finding, error) {
	var fresh []takeoff.Device
	for _, d := range g.Devices {
		if c, known := k.on[d.ID]; known {
			k.put(c, d)
		} else {
			fresh = append(fresh, d)
		}
	}
	var left []takeoff.Device
	for _, d := range fresh {
		if i := k.nearest(d); i >= 0 {
			k.parts[i].Devices = append(k.parts[i].Devices, d)
		} else {
			left = append(left, d)
		}
	}
	if len(left) == 0 {
		k.sort()
		return k.parts, nil, nil
	}
	more, fs, err := route.Split(b, k.specs, left, opt)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range more {
		k.put(k.free(p), p.Devices...)
	}
	k.sort()
	return k.parts, fs, nil
}

func (k *keeper) put(circuit string, ds ...takeoff.Device) {
	i := slices.IndexFunc(k.parts, func(p route.Part) bool { return p.Name == circuit })
	if i < 0 {
		spec, _ := k.spec(circuit)
		k.parts = append(k.parts, route.Part{Spec: spec})
		i = len(k.parts) - 1
	}
	k.parts[i].Devices = append(k.parts[i].Devices, ds...)
}

// nearest is the circuit of the nearest device that has room for one more; -1 for none.
func (k *keeper) nearest(d takeoff.Device) int {
	best, at := math.Inf(1), -1
	for i, p := range k.parts {
		if !k.fits(p, d) {
			continue
		}
		for _, other := range p.Devices {
			dist := other.Pos.Dist(d.Pos)
			if other.Level != d.Level {
				dist += 1e6 // another level only if there is nobody on its own
			}
			if dist < best {
				best, at = dist, i
			}
		}
	}
	return at
}

// fits reports whether a circuit has addresses, or current in every state of the
// system, for one more device.
func (k *keeper) fits(p route.Part, d takeoff.Device) bool {
	room := p.Room()
	if p.Kind != takeoff.SLC && room == 0 {
		return true // not known: the proof says so
	}
	needs := func(d takeoff.Device) []float64 {
		for _, t := range k.o.Job.Types {
			if t.Type == d.Type {
				return p.Needs(t.DeviceType)
			}
		}
		return nil
	}
	used := [2]float64{k.o.promised(p.Spec)}
	for _, x := range p.Devices {
		for r, need := range needs(x) {
			used[r] += need
		}
	}
	for r, need := range needs(d) {
		if used[r]+need > room+1e-9 {
			return false
		}
	}
	return true
}

// free names the circuit for devices that found no room: the part's own where
// the rows give the names, else the next number that has the addresses.
func (k *keeper) free(p route.Part) string {
	for _, s := range k.specs {
		head, ok := strings.CutPrefix(p.Name, s.Name+"-")
		if _, err := strconv.Atoi(head); !s.Auto || !ok || err != nil {
			continue
		}
		for i := 1; ; i++ {
			spec := p.Spec
			spec.Name = fmt.Sprintf("%s-%d", s.Name, i)
			n := k.o.promised(spec)
			full := n > 0 && n+k.o.needed(p) > float64(p.Capacity)
			if !full && !slices.ContainsFunc(k.parts, func(p route.Part) bool { return p.Name == spec.Name }) {
				return spec.Name
			}
		}
	}
	return p.Name
}

func (k *keeper) sort() {
	slices.SortStableFunc(k.parts, func(a, b route.Part) int { return assign.Natural(a.Name, b.Name) })
}
