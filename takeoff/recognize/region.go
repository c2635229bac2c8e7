package recognize

import (
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Region is a part of a sheet that shows symbols but is not a plan: a key plan, a detail.
type Region struct {
	Title   string   // as written over or under it
	Box     geom.Box // drawing units
	Symbols int      // figures inside that are blocks
}

const (
	sheetWide   = 0.4  // what spans more of the sheet's width or height is a border or a grid line
	regionShare = 0.25 // of the sheet's area that a region may take
)

// sheetIndex finds what is drawn near something on a sheet.
type sheetIndex struct {
	boxes []geom.Box
	wall  []bool
	mark  []bool // an insert
	tree  rtree.RTreeG[int]
	sheet geom.Box
}

// newSheetIndex lists what stands on a sheet outside blocks and legends. Walls belong to
// plans: lines on layers that are named so, or, where none is, long lines in a plan.
func (r *Result) newSheetIndex(page int) *sheetIndex {
	p := r.Pages[page]
	wall := words.Remembered(words.IsWall)
	named := slices.ContainsFunc(p.Shapes, func(sh dxf.Shape) bool { return !sh.Paper && sh.Visible && wall(sh.EffLayer) })
	x := &sheetIndex{sheet: geom.EmptyBox()}
	door := words.Remembered(words.IsDoor)
	add := func(b geom.Box, wall, insert bool) {
		if b.Empty() || !b.Min.IsFinite() || !b.Max.IsFinite() || r.inLegend(page, false, b.Center()) {
			return
		}
		x.boxes, x.wall, x.mark = append(x.boxes, b), append(x.wall, wall), append(x.mark, insert)
		x.sheet = x.sheet.Union(b)
	}
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if len(sh.Path) > 0 || sh.Paper || !sh.Visible {
			continue
		}
		b := geom.EmptyBox()
		for _, v := range sh.Points {
			b = b.Extend(plane(v))
		}
		inPlan := !named && side(b) > longLine*p.H[0] && r.plan(page, b.Center()) >= 0
		add(b, wall(sh.EffLayer) || inPlan, false)
	}
	for i := range p.Inserts {
		if in := &p.Inserts[i]; len(in.Path) == 0 && !in.Paper && in.Visible {
			add(p.symbolBox(in).Extend(plane(in.Pos)), door(in.Effective) || wall(in.EffLayer), true)
		}
	}
	for i := range p.Texts {
		if t := &p.Texts[i]; len(t.Path) == 0 && !t.Paper && t.Visible {
			add(textBox(t), false, false)
		}
	}
	for i, b := range x.boxes {
		if x.wall[i] || b.Width() <= sheetWide*x.sheet.Width() && b.Height() <= sheetWide*x.sheet.Height() {
			x.tree.Insert([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, i)
		}
	}
	return x
}

// grow gathers what hangs together with a box by gaps of up to so much; false
// if that reaches a wall, and so the plan itself.
func (x *sheetIndex) grow(from geom.Box, gap float64) (box geom.Box, inserts int, ok bool) {
	seen := map[int]bool{}
	queue := []geom.Box{from}
	box, ok = from, true
	for k := 0; k < len(queue) && ok; k++ {
		b := queue[k].Grow(gap)
		x.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
			if seen[i] {
				return true
			}
			seen[i] = true
			if x.wall[i] {
				ok = false
				return false
			}
			if x.mark[i] {
				inserts++
			}
			queue = append(queue, x.boxes[i])
			box = box.Union(x.boxes[i])
			return true
		})
	}
	return box, inserts, ok
}

// Regions finds the key plans and details of a sheet by their titles: what
// hangs together with the title and not with the plan.
func (r *Result) Regions(page int) []Region {
	p := r.Pages[page]
	var out []Region
	var x *sheetIndex
	for i := range p.lines {
		l := &p.lines[i]
		if l.paper || l.index < 0 || l.of > 1 || len(p.Texts[l.index].Path) > 0 || len([]rune(l.text)) > 60 || !r.words.partTitle(l.text) {
			continue
		}
		if x == nil {
			x = r.newSheetIndex(page)
		}
		from := textBox(&p.Texts[l.index])
		if InRegion(out, from.Center()) {
			continue
		}
		if g, ok := x.region(from, l.height); ok {
			g.Title = l.text
			out = append(out, g)
		}
	}
	return out
}

// partTitle reports whether a text is what drafters write beside parts of a sheet that
// repeat symbols: key plans, details, risers. It says little else.
func (r *reader) partTitle(text string) bool {
	for _, d := range r.v.Read(text, r.languages, "title") {
		switch d.Concept {
		case "title.detail", "title.key_plan", "title.riser":
			if d.Evidence < words.Shortened && 2*d.Letters >= letters(text) {
				return true
			}
		}
	}
	return false
}

// region gathers what belongs to a title: by gaps as wide as can be without
// reaching the plan, and then no wider than all the same symbols need.
func (x *sheetIndex) region(title geom.Box, height float64) (r Region, ok bool) {
	for _, k := range []float64{10, 7, 5, 3.5, 2.5} {
		b, n, clear := x.grow(title, k*height)
		if !clear || n == 0 || b.Area() > regionShare*x.sheet.Area() || x.overWalls(b) {
			continue
		}
		if ok && n < r.Symbols {
			break
		}
		r, ok = Region{Box: b.Grow(height / 2), Symbols: n}, true
	}
	return r, ok
}

// overWalls reports whether a wall reaches into a box.
func (x *sheetIndex) overWalls(b geom.Box) bool {
	found := false
	x.tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, i int) bool {
		found = x.wall[i]
		return !found
	})
	return found
}

// InRegion reports whether a place lies in one of some regions.
func InRegion(rs []Region, p geom.Point) bool {
	for _, r := range rs {
		if r.Box.Contains(p) {
			return true
		}
	}
	return false
}
