package route

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loopwright/route/path"
	"loopwright/route/tree"
	"loopwright/takeoff/geom"
)

// layTree lays a class B circuit with T-taps. Where cable is measured in the
// plain plane and may branch anywhere it is a Steiner tree for each level,
// joined through one riser; otherwise a tree that branches at devices.
func (f *floorplan) layTree(c *Circuit, _ []string) error {
	if f.opt.Branch != branchAtDevices && f.plain() {
		return f.laySteiner(c)
	}
	return f.laySpanning(c)
}

// plain reports whether every level is measured rectilinear on one pair of axes.
func (f *floorplan) plain() bool {
	for _, s := range f.storeys {
		if _, ok := s.m.(*path.Rectilinear); !ok || len(s.axes.Wings) > 0 {
			return false
		}
	}
	return true
}

func (f *floorplan) laySpanning(c *Circuit) error {
	t, err := tree.SpanningMatrix(len(f.places), 0, f.cost, tree.Limits{})
	if err != nil {
		return err
	}
	walk(t, func(node, parent int) {
		c.Devices = append(c.Devices, f.places[node].id)
		c.Legs = append(c.Legs, f.leg(parent, node))
	})
	c.Exact = t.Exact && !f.penalised()
	c.LowerBound = t.LowerBound
	if f.penalised() {
		least, err := tree.SpanningMatrix(len(f.places), 0, f.leastMetres, tree.Limits{})
		if err != nil {
			return err
		}
		c.LowerBound = least.LowerBound
	}
	return nil
}

// walk visits a tree depth first from the root, nearest branch first, and calls
// visit with every node but the root and with its parent.
func walk(t *tree.Tree, visit func(node, parent int)) {
	stack := []int{t.Root}
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if n != t.Root {
			visit(n, t.Nodes[n].Parent)
		}
		kids := slices.Clone(t.Nodes[n].Children)
		slices.Reverse(kids)
		stack = append(stack, kids...)
	}
}

// steiner is a Steiner tree of one level and what its terminals are.
type steiner struct {
	storey *storey
	tree   *tree.Tree
	place  []int // by node: index of the place, -1 for the riser, or tap
	names  []string
	below  map[int][]int // devices on one spot with a terminal, from the top down
}

// laySteiner lays one tree for each level. The panel's level comes first; the
// trees of the others hang on the riser.
func (f *floorplan) laySteiner(c *Circuit) error {
	home := f.places[0].level
	riser := f.bestRiser()
	trees := map[int]*steiner{}
	var others []int
	taps := 0
	for l := range f.storeys {
		if l != home {
			others = append(others, l)
		}
	}
	slices.Sort(others)
	bound := 0.0
	c.Exact = true
	for _, l := range append([]int{home}, others...) {
		s, err := f.growLevel(l, riser, &taps)
		if err != nil {
			return err
		}
		trees[l] = s
		bound += s.tree.LowerBound
		c.Exact = c.Exact && s.tree.Exact && len(f.storeys) == 1
	}
	f.emit(c, trees[home], func() {
		for _, l := range others {
			up := Leg{From: f.riserName(riser, home), To: f.riserName(riser, l), Via: path.ViaRectilinear,
				Rise: rise(f.storeys[home].level, f.storeys[l].level)}
			up.Length = up.Rise
			c.Legs = append(c.Legs, up)
			f.emit(c, trees[l], nil)
		}
	})
	if len(f.storeys) == 1 {
		c.LowerBound = bound
		if !f.stacked() {
			c.LowerBound += f.drop(0, 1, true)
			for i := range f.places[1:] { // each device hangs on one leg at least
				c.LowerBound += f.drop(i+1, 0, true)
			}
		}
	}
	return nil
}

// bestRiser picks the shaft that all levels share: nearest to the panel and to
// the nearest device of each other level, summed. -1 where one level is served.
func (f *floorplan) bestRiser() int {
	if len(f.storeys) == 1 {
		return -1
	}
	best, least := -1, math.Inf(1)
	for r := range f.risers {
		sum, ok := 0.0, true
		for _, l := range f.storeysInOrder() { // a sum of metres depends on the order
			s := f.storeys[l]
			k, passes := s.risers[r]
			near := math.Inf(1)
			for i, p := range f.places {
				if p.level == l && (i == 0 || l != f.places[0].level) {
					near = min(near, s.m.Cost(f.places[i].local, k))
				}
			}
			ok = ok && passes
			sum += near
		}
		if ok && sum < least {
			best, least = r, sum
		}
	}
	return best
}

func (f *floorplan) riserName(r, level int) string {
	return f.risers[r].Name + " " + f.storeys[level].level.Name
}

// growLevel finds the Steiner tree of one level: rooted at the panel, or at the riser.
func (f *floorplan) growLevel(l, riser int, taps *int) (*steiner, error) {
	s := &steiner{storey: f.storeys[l]}
	turn := -s.storey.axes.Angle
	var pts []geom.Point
	add := func(place int, name string, at geom.Point) {
		s.place = append(s.place, place)
		s.names = append(s.names, name)
		pts = append(pts, at.Turn(turn))
	}
	if l != f.places[0].level {
		add(-1, f.riserName(riser, l), f.risers[riser].Pos)
	}
	s.below = map[int][]int{}
	for _, stack := range f.stacks(l) {
		add(stack[0], f.places[stack[0]].id, f.places[stack[0]].pos)
		s.below[stack[0]] = stack[1:]
	}
	if l == f.places[0].level && riser >= 0 {
		add(-1, f.riserName(riser, l), f.risers[riser].Pos)
	}
	t, err := tree.Steiner(pts, 0)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.storey.level.Name, err)
	}
	s.tree = t
	for range t.Nodes[len(s.names):] {
		*taps++
		s.names = append(s.names, fmt.Sprintf("T%d", *taps))
		s.place = append(s.place, tap)
	}
	return s, nil
}

// emit appends a level's legs in walking order; atRiser is called when the walk stands at the riser.
func (f *floorplan) emit(c *Circuit, s *steiner, atRiser func()) {
	walk(s.tree, func(n, parent int) {
		l := Leg{From: s.names[parent], To: s.names[n], Via: path.ViaRectilinear, Horizontal: s.tree.Nodes[n].Length, Note: s.storey.axes.Note}
		st := Stretch{Level: s.storey.level.Name}
		for _, p := range s.tree.Nodes[n].Path {
			st.Points = append(st.Points, p.Turn(s.storey.axes.Angle))
		}
		l.Stretches = []Stretch{st}
		f.ends(&l, s.place[parent], s.place[n])
		l.Length = l.Horizontal + l.Drop
		c.Legs = append(c.Legs, l)
		if p := s.place[n]; p > 0 {
			c.Devices = append(c.Devices, f.places[p].id)
			for _, q := range s.below[p] {
				c.Devices = append(c.Devices, f.places[q].id)
				c.Legs = append(c.Legs, f.leg(p, q))
				p = q
			}
		} else if atRiser != nil && n < len(s.names) && s.tree.Nodes[n].Terminal >= 0 {
			atRiser()
		}
	})
}

// tap stands for the place of a branch point: a box at cable height in which each
// cable end needs its allowance, as at a device.
const tap = -2

// ends adds what the ends of a tapped leg need: drop and slack at places, slack
// at branch points, nothing at risers, whose place is -1.
func (f *floorplan) ends(l *Leg, i, j int) {
	for _, end := range [2]int{i, j} {
		if end == tap {
			l.Slack += f.opt.Allow.Device / 2
		}
	}
	apart := i < 0 || j < 0 || f.apart(i, j)
	if i >= 0 {
		l.Drop += f.drop(i, max(j, 0), apart)
		l.Slack += f.slackAt(i)
	}
	if j >= 0 {
		l.Drop += f.drop(j, max(i, 0), apart)
		l.Slack += f.slackAt(j)
	}
}

// stacks returns the places of a level, those on one spot together: the one
// nearest to cable height leads, as the cable comes from there.
func (f *floorplan) stacks(l int) [][]int {
	var here []int
	for i, p := range f.places {
		if p.level == l {
			here = append(here, i)
		}
	}
	// From left to right, so that the order of the input does not matter.
	slices.SortStableFunc(here, func(a, b int) int {
		p, q := f.places[a], f.places[b]
		return cmp.Or(cmp.Compare(p.pos.X, q.pos.X), cmp.Compare(p.pos.Y, q.pos.Y), cmp.Compare(p.id, q.id))
	})
	var out [][]int
	for _, i := range here {
		k := slices.IndexFunc(out, func(st []int) bool { return !f.apart(st[0], i) })
		if k < 0 {
			out = append(out, []int{i})
			continue
		}
		out[k] = append(out[k], i)
	}
	for _, st := range out {
		slices.SortStableFunc(st, func(a, b int) int { return cmp.Compare(f.places[b].height, f.places[a].height) })
	}
	// The panel leads: it is the root of its level.
	if k := slices.IndexFunc(out, func(st []int) bool { return st[0] == 0 }); k > 0 {
		out[0], out[k] = out[k], out[0]
	}
	return out
}
