package tour

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"loopwright/takeoff/geom"
)

// span is the number of grid steps that the extent of the places is divided into: fine enough to be lost in no
// building (a tenth of a micrometre in 50 m), coarse enough to absorb rounding in the input.
const span = 1 << 29

// matrixLimit bounds the memory for a stored distance matrix (4 bytes an entry); beyond it distances are computed.
// storeLimit is the same where the caller's function would have to be asked again and again. Tests lower both.
var matrixLimit, storeLimit = 1200, 2000

// An instance is the problem in a frame of its own: whole-number distances, places in an order and orientation
// that do not depend on how they were given. Whole numbers make every gain exact and every machine agree.
type instance struct {
	n     int // nodes, the free end of an open chain included
	start int32
	free  int32 // node that stands for the free end, or -1
	place []int // node -> the caller's place

	unit float64 // length of a grid step in the caller's unit

	x, y   []float64 // whole numbers on the grid; nil if distances come from a function
	rect   bool
	matrix []int32
	ask    func(a, b int32) int64

	near     []int32 // width neighbours of each node, nearest first
	nearDist []int64
	width    int
}

// apart is the cost of a leg to the free end from anywhere but the start: so high that the start keeps the other.
const apart = math.MaxInt32

func newInstance(p *Problem) *instance {
	in := &instance{free: -1}
	if p.Dist == nil {
		in.takePoints(p)
	} else {
		in.takeDistances(p)
	}
	in.n = len(in.place)
	for v, i := range in.place {
		if i == p.Start {
			in.start = int32(v)
		}
	}
	if p.Open {
		in.free = int32(in.n)
		in.n++
	}
	limit := matrixLimit
	if in.ask != nil {
		limit = storeLimit
	}
	if len(in.place) <= limit {
		in.store()
	}
	in.neighbours()
	return in
}

// takePoints puts the points on the grid in the first, by position, of the eight quarter turns and mirror images.
func (in *instance) takePoints(p *Problem) {
	raw := make([]geom.Point, len(p.Points))
	lo, hi := geom.Pt(math.Inf(1), math.Inf(1)), geom.Pt(math.Inf(-1), math.Inf(-1))
	for i, q := range p.Points {
		if p.Metric == Rectilinear {
			q = turned(q, p.Axis)
		}
		raw[i] = q
		lo = geom.Pt(math.Min(lo.X, q.X), math.Min(lo.Y, q.Y))
		hi = geom.Pt(math.Max(hi.X, q.X), math.Max(hi.Y, q.Y))
	}
	extent := math.Max(hi.X-lo.X, hi.Y-lo.Y)
	if extent == 0 {
		extent = 1
	}
	in.unit = extent / span
	grid := func(v, low float64) int64 { return int64(math.Round((v - low) / extent * span)) }
	spots := make([]spot, len(raw))
	for i, q := range raw {
		spots[i] = spot{grid(q.X, lo.X), grid(q.Y, lo.Y), i, i == p.Start}
	}
	var best []spot
	for _, image := range images(spots, grid(hi.X, lo.X), grid(hi.Y, lo.Y)) {
		if best == nil || before(image, best) {
			best = image
		}
	}
	in.rect = p.Metric == Rectilinear
	for _, s := range best {
		in.x, in.y, in.place = append(in.x, float64(s.x)), append(in.y, float64(s.y)), append(in.place, s.place)
	}
}

// A spot is a place on the grid.
type spot struct {
	x, y  int64
	place int
	start bool
}

func (a spot) compare(b spot) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) }

// images returns the quarter turns and mirror images that have the longer side along x, where a sweep finds
// neighbours fast, each sorted by position.
func images(spots []spot, width, height int64) [][]spot {
	var all [][]spot
	for image := range 8 {
		if swap := image&4 != 0; !swap && width < height || swap && height < width {
			continue
		}
		list := slices.Clone(spots)
		for i := range list {
			s := &list[i]
			if image&1 != 0 {
				s.x = width - s.x
			}
			if image&2 != 0 {
				s.y = height - s.y
			}
			if image&4 != 0 {
				s.x, s.y = s.y, s.x
			}
		}
		slices.SortFunc(list, func(a, b spot) int {
			if a.start != b.start && a.compare(b) == 0 {
				if a.start {
					return -1
				}
				return 1
			}
			return cmp.Or(a.compare(b), cmp.Compare(a.place, b.place))
		})
		all = append(all, list)
	}
	return all
}

// before compares images by position, and equal ones by how soon the start comes, which matters to a chain.
func before(a, b []spot) bool {
	if c := slices.CompareFunc(a, b, spot.compare); c != 0 {
		return c < 0
	}
	start := func(s spot) bool { return s.start }
	return slices.IndexFunc(a, start) < slices.IndexFunc(b, start)
}

// takeDistances scales the caller's distances to whole numbers and sorts the places by the sum of theirs.
func (in *instance) takeDistances(p *Problem) {
	n := p.N
	longest := 0.0
	for i := range n {
		for j := range i {
			longest = math.Max(longest, p.Dist(i, j))
		}
	}
	if longest == 0 {
		longest = 1
	}
	in.unit = longest / span
	whole := func(i, j int) int64 { return int64(math.Round(p.Dist(i, j) / longest * span)) }
	sum, toStart := make([]int64, n), make([]int64, n)
	in.place = make([]int, n)
	for i := range n {
		in.place[i] = i
		toStart[i] = whole(i, p.Start)
		for j := range n {
			if i != j {
				sum[i] += whole(i, j)
			}
		}
	}
	sort.SliceStable(in.place, func(a, b int) bool {
		i, j := in.place[a], in.place[b]
		if sum[i] != sum[j] {
			return sum[i] < sum[j]
		}
		return toStart[i] < toStart[j]
	})
	in.ask = func(a, b int32) int64 {
		if a == b {
			return 0
		}
		return whole(in.place[a], in.place[b])
	}
}

func (in *instance) store() {
	n := in.n
	m := make([]int32, n*n)
	for a := range int32(n) {
		for b := range a {
			d := int32(in.measure(a, b))
			m[int(a)*n+int(b)], m[int(b)*n+int(a)] = d, d
		}
	}
	in.matrix = m
}

// dist is the distance between two nodes in grid steps.
func (in *instance) dist(a, b int32) int64 {
	if in.matrix != nil {
		return int64(in.matrix[int(a)*in.n+int(b)])
	}
	return in.measure(a, b)
}

func (in *instance) measure(a, b int32) int64 {
	switch {
	case a == in.free || b == in.free:
		if a == in.start || b == in.start {
			return 0
		}
		return apart
	case in.ask != nil:
		return in.ask(a, b)
	}
	dx, dy := in.x[a]-in.x[b], in.y[a]-in.y[b]
	if in.rect {
		return int64(math.Abs(dx) + math.Abs(dy))
	}
	return int64(math.Sqrt(float64(dx*dx)+float64(dy*dy)) + 0.5)
}

// outward returns a cyclic order of nodes as the caller's places, beginning with the start.
func (in *instance) outward(nodes []int32) []int {
	n := len(nodes)
	at := 0
	for nodes[at] != in.start {
		at++
	}
	step := 1
	if in.free >= 0 && nodes[(at+1)%n] == in.free {
		step = n - 1 // the free end sits between the end of the chain and the start
	}
	out := make([]int, 0, n)
	for range n {
		if v := nodes[at]; v != in.free {
			out = append(out, in.place[v])
		}
		at = (at + step) % n
	}
	return out
}

// inward is the reverse of outward.
func (in *instance) inward(order []int) []int32 {
	node := make([]int32, len(in.place))
	for v, i := range in.place {
		node[i] = int32(v)
	}
	ring := make([]int32, 0, in.n)
	for _, i := range order {
		ring = append(ring, node[i])
	}
	if in.free >= 0 {
		ring = append(ring, in.free)
	}
	return ring
}
