package recognize

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

func itoa(n int) string { return strconv.Itoa(n) }

// Heap is a part of a drawing where long lines hang together.
type Heap struct {
	box   geom.Box // drawing units
	own   geom.Box // in the frame of the page: see runs
	lines int
}

// strip is a long line: its boxes along the axes and in the frame of its page.
type strip struct {
	box, own geom.Box
	picture  bool // the side of a picture: a scanned plan is no frame
}

func stripOf(turn float64, ps ...geom.Point) strip {
	s := strip{box: geom.BoxOf(ps...), own: geom.EmptyBox()}
	for _, p := range ps {
		s.own = s.own.Extend(p.Turn(-turn))
	}
	return s
}

// Limits of heaps.
const (
	longLine  = 4.0  // h
	heapGap   = 6.0  // h between lines of one heap
	frameSpan = 0.85 // of the extents that a frame spans
	planShare = 0.25 // of the greatest area
	// leastShareOfPlan is the share that a storey with a title of its own may be smaller.
	leastShareOfPlan = 0.02
	fewLines         = 16 // a frame around a legend and notes has fewer, a plan more
)

// heaps finds where long lines of model space hang together: plans, the largest, and what else is drawn.
func (p *Page) heaps(legends []Legend) []Heap {
	h := p.H[0]
	if h == 0 {
		return nil
	}
	turn := p.turn
	var lines []strip
	add := func(ps ...geom.Point) { lines = append(lines, stripOf(turn, ps...)) }
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper || p.inFigure(sh.Path) || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape && sh.Kind != dxf.ArcShape {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		if sh.Kind == dxf.ArcShape || n > 40 { // a curve: its pieces are short, and it is one line
			var ps []geom.Point
			for _, v := range sh.Points {
				ps = append(ps, plane(v))
			}
			if side(geom.BoxOf(ps...)) > longLine*h {
				add(ps...)
			}
			continue
		}
		for k := range n {
			a, c := plane(sh.Points[k]), plane(sh.Points[(k+1)%len(sh.Points)])
			if a.Dist(c) > longLine*h && a.IsFinite() && c.IsFinite() {
				add(a, c)
			}
		}
	}
	for _, c := range p.D.Images() {
		for k := range c {
			s := stripOf(turn, plane(c[k]), plane(c[(k+1)%len(c)]))
			s.picture = true
			lines = append(lines, s)
		}
	}
	// The lines along the edges of a sheet, and around it: it may lie along the axes around a plan that is turned.
	own := func(s strip) geom.Box { return s.own }
	along := func(s strip) geom.Box { return s.box }
	inLegend := func(b geom.Box) bool {
		for _, l := range legends {
			if g := framed(l.own, turn-l.turn).Grow(4 * h); !l.Paper && g.Contains(b.Min) && g.Contains(b.Max) {
				return true
			}
		}
		return false
	}
	lines = slices.DeleteFunc(lines, func(s strip) bool { return inLegend(s.own) })
	lines = withoutFrame(lines, h, own)
	if turn != 0 {
		lines = withoutFrame(lines, h, along)
	}
	var tree rtree.RTreeG[int]
	for i, s := range lines {
		b := s.own
		tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	seen := make([]bool, len(lines))
	var out []Heap
	for i := range lines {
		if seen[i] {
			continue
		}
		seen[i] = true
		queue, heap := []int{i}, Heap{box: geom.EmptyBox(), own: geom.EmptyBox()}
		for k := 0; k < len(queue); k++ {
			s := lines[queue[k]]
			heap.box, heap.own = heap.box.Union(s.box), heap.own.Union(s.own)
			heap.lines++
			g := s.own.Grow(heapGap * h)
			tree.Search([2]float64{g.Min.X, g.Min.Y}, [2]float64{g.Max.X, g.Max.Y}, func(_, _ [2]float64, j int) bool {
				if !seen[j] {
					seen[j] = true
					queue = append(queue, j)
				}
				return true
			})
		}
		out = append(out, heap)
	}
	slices.SortStableFunc(out, func(a, b Heap) int { return cmp.Compare(b.own.Area(), a.own.Area()) })
	// What lies in the box of a greater heap is part of it.
	for i := 0; i < len(out); i++ {
		for j := len(out) - 1; j > i; j-- {
			if o := out[i].own; o.Contains(out[j].own.Min) && o.Contains(out[j].own.Max) {
				out[i].lines += out[j].lines
				out = slices.Delete(out, j, j+1)
			}
		}
	}
	return out
}

// withoutFrame takes away the lines along the edges of the extents, if they are those of a sheet.
func withoutFrame(lines []strip, h float64, of func(strip) geom.Box) []strip {
	all := geom.EmptyBox()
	for _, s := range lines {
		all = all.Union(of(s))
	}
	edge := func(s strip) bool {
		if s.picture {
			return false
		}
		b := of(s)
		wide := b.Width() >= frameSpan*all.Width() && b.Height() < h
		high := b.Height() >= frameSpan*all.Height() && b.Width() < h
		nearX := min(b.Center().X-all.Min.X, all.Max.X-b.Center().X) < 0.04*all.Width()
		nearY := min(b.Center().Y-all.Min.Y, all.Max.Y-b.Center().Y) < 0.04*all.Height()
		return wide && nearY || high && nearX
	}
	edges, near := 0, 0
	for _, s := range lines {
		b := of(s)
		c := b.Center()
		switch d := min(c.X-all.Min.X, all.Max.X-c.X, c.Y-all.Min.Y, all.Max.Y-c.Y); {
		case edge(s):
			edges++
		case d < 3*h && side(b) < frameSpan*max(all.Width(), all.Height()):
			near++
		}
	}
	if edges < 4 || near > 8 { // the outer walls of the one plan that is drawn have other lines all along them
		return lines
	}
	return slices.DeleteFunc(lines, edge)
}

// plans are the heaps that show a storey: the largest, and those nearly as large that
// no legend fills.
func (p *Page) plans(heaps []Heap, legends []Legend) []int {
	var out []int
	greatest := 0.0
	for _, hp := range heaps {
		if !p.tabular(hp, legends) {
			greatest = max(greatest, hp.own.Area())
		}
	}
	for i, hp := range heaps {
		if hp.lines < 4 || p.tabular(hp, legends) || hp.own.Area() < planShare*greatest || math.IsNaN(greatest) {
			continue
		}
		out = append(out, i)
	}
	return out
}

// showing leaves out heaps in which no figure, letter or arc stands where others hold some: title blocks and tables.
func (p *Page) showing(heaps []Heap, at []int) []int {
	n := p.evidence(heaps)
	return slices.DeleteFunc(at, func(k int) bool {
		return n[k] == 0 && slices.ContainsFunc(at, func(j int) bool { return n[j] >= 2 })
	})
}

// evidence counts what stands in each heap as it does in plans: blocks, short texts with letters, small arcs and circles.
func (p *Page) evidence(heaps []Heap) []int {
	out := make([]int, len(heaps))
	count := func(at geom.Point) {
		for k := range heaps {
			if heaps[k].own.Contains(at.Turn(-p.turn)) {
				out[k]++
				return
			}
		}
	}
	for i := range p.Marks {
		if m := &p.Marks[i]; !m.Paper && (m.Form == Block || lettered(m.Name)) {
			count(m.Box.Center())
		}
	}
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper || p.inFigure(sh.Path) || sh.Kind != dxf.ArcShape && sh.Kind != dxf.CircleShape || len(sh.Points) == 0 {
			continue
		}
		b := geom.EmptyBox()
		for _, v := range sh.Points {
			b = b.Extend(plane(v))
		}
		if side(b) <= largestFigure*p.H[0] {
			count(b.Center())
		}
	}
	return out
}

// tabular reports whether rows of a legend fill a heap.
func (p *Page) tabular(hp Heap, legends []Legend) bool {
	for _, l := range legends {
		box := framed(l.own, p.turn-l.turn)
		if l.Paper || !box.Overlaps(hp.own) {
			continue
		}
		wide, high := box.Width()/hp.own.Width(), box.Height()/hp.own.Height()
		if hp.lines < fewLines && max(high, wide) > 0.4 || high > 0.4 && wide > 0.3 || box.Width() > 0.4*hp.own.Height() && box.Area() > 0.3*hp.own.Area() {
			return true
		}
	}
	return false
}
