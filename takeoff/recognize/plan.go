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
	Box   geom.Box
	Lines int
}

// Limits of heaps.
const (
	longLine  = 4.0  // h
	heapGap   = 6.0  // h between lines of one heap
	frameSpan = 0.85 // of the extents that a frame spans
	planShare = 0.25 // of the greatest area
	fewLines  = 16   // a frame around a legend and notes has fewer, a plan more
)

// heaps finds where long lines of model space hang together: plans, the largest, and what else is drawn.
func (p *Page) heaps(legends []Legend) []Heap {
	h := p.H[0]
	if h == 0 {
		return nil
	}
	var lines []geom.Box
	all := geom.EmptyBox()
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
			b := geom.EmptyBox()
			for _, v := range sh.Points {
				b = b.Extend(plane(v))
			}
			if side(b) > longLine*h {
				lines = append(lines, b)
				all = all.Union(b)
			}
			continue
		}
		for k := range n {
			a, c := plane(sh.Points[k]), plane(sh.Points[(k+1)%len(sh.Points)])
			if a.Dist(c) > longLine*h && a.IsFinite() && c.IsFinite() {
				b := geom.BoxOf(a, c)
				lines = append(lines, b)
				all = all.Union(b)
			}
		}
	}
	// The lines along the edges of a sheet, and around it.
	edge := func(b geom.Box) bool {
		wide := b.Width() >= frameSpan*all.Width() && b.Height() < h
		high := b.Height() >= frameSpan*all.Height() && b.Width() < h
		nearX := min(b.Center().X-all.Min.X, all.Max.X-b.Center().X) < 0.04*all.Width()
		nearY := min(b.Center().Y-all.Min.Y, all.Max.Y-b.Center().Y) < 0.04*all.Height()
		return wide && nearY || high && nearX
	}
	framedSheet := 0
	for _, b := range lines {
		if edge(b) {
			framedSheet++
		}
	}
	inLegend := func(b geom.Box) bool {
		for _, l := range legends {
			if g := l.Box.Grow(4 * h); !l.Paper && g.Contains(b.Min) && g.Contains(b.Max) {
				return true
			}
		}
		return false
	}
	lines = slices.DeleteFunc(lines, func(b geom.Box) bool { return framedSheet >= 4 && edge(b) && !p.onlyHeap(all, lines) || inLegend(b) })
	var tree rtree.RTreeG[int]
	for i, b := range lines {
		tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
	}
	seen := make([]bool, len(lines))
	var out []Heap
	for i := range lines {
		if seen[i] {
			continue
		}
		seen[i] = true
		queue, heap := []int{i}, Heap{Box: geom.EmptyBox()}
		for k := 0; k < len(queue); k++ {
			b := lines[queue[k]]
			heap.Box = heap.Box.Union(b)
			heap.Lines++
			g := b.Grow(heapGap * h)
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
	slices.SortStableFunc(out, func(a, b Heap) int { return cmp.Compare(b.Box.Area(), a.Box.Area()) })
	// What lies in the box of a greater heap is part of it.
	for i := 0; i < len(out); i++ {
		for j := len(out) - 1; j > i; j-- {
			if o := out[i].Box; o.Contains(out[j].Box.Min) && o.Contains(out[j].Box.Max) {
				out[i].Lines += out[j].Lines
				out = slices.Delete(out, j, j+1)
			}
		}
	}
	return out
}

// onlyHeap reports whether the edges of the extents are those of the one plan that is drawn: its outer walls
// have other lines all along them.
func (p *Page) onlyHeap(all geom.Box, lines []geom.Box) bool {
	near := 0
	h := p.H[0]
	for _, b := range lines {
		c := b.Center()
		if d := min(c.X-all.Min.X, all.Max.X-c.X, c.Y-all.Min.Y, all.Max.Y-c.Y); d < 3*h && side(b) < frameSpan*max(all.Width(), all.Height()) {
			near++
		}
	}
	return near > 8
}

// plans are the heaps that show a storey: the largest, and those nearly as large that
// no legend fills.
func (p *Page) plans(heaps []Heap, legends []Legend) []int {
	var out []int
	greatest := 0.0
	for _, hp := range heaps {
		if !p.tabular(hp, legends) {
			greatest = max(greatest, hp.Box.Area())
		}
	}
	for i, hp := range heaps {
		if hp.Lines < 4 || p.tabular(hp, legends) || hp.Box.Area() < planShare*greatest || math.IsNaN(greatest) {
			continue
		}
		out = append(out, i)
	}
	return out
}

// tabular reports whether rows of a legend fill a heap.
func (p *Page) tabular(hp Heap, legends []Legend) bool {
	for _, l := range legends {
		if l.Paper || !l.Box.Overlaps(hp.Box) {
			continue
		}
		if hp.Lines < fewLines && max(l.Box.Height()/hp.Box.Height(), l.Box.Width()/hp.Box.Width()) > 0.4 {
			return true
		}
		if l.Box.Height() > 0.4*hp.Box.Height() && l.Box.Width() > 0.3*hp.Box.Width() || l.Box.Width() > 0.4*hp.Box.Height() && l.Box.Area() > 0.3*hp.Box.Area() {
			return true
		}
	}
	return false
}
