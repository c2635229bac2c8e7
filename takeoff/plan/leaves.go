package plan

import (
	"slices"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Leaves finds the lines of model space by their ends.
type Leaves struct{ tree rtree.RTreeG[leaf] }

// leaf is a line that may be the leaf of a door, and the blocks that it is drawn in.
type leaf struct {
	geom.Segment
	path []string
}

// Leaves lists the visible lines of model space.
func (p *Page) Leaves() *Leaves {
	x := &Leaves{}
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper || !sh.Visible || sh.Kind != dxf.LineShape && sh.Kind != dxf.PolylineShape {
			continue
		}
		n := len(sh.Points)
		if !sh.Closed {
			n--
		}
		for k := range n {
			a, b := At(sh.Points[k]), At(sh.Points[(k+1)%len(sh.Points)])
			x.tree.Insert([2]float64{a.X, a.Y}, [2]float64{a.X, a.Y}, leaf{geom.Segment{A: a, B: b}, sh.Path})
			x.tree.Insert([2]float64{b.X, b.Y}, [2]float64{b.X, b.Y}, leaf{geom.Segment{A: b, B: a}, sh.Path})
		}
	}
	return x
}

// Hang reports whether a line runs from the centre of a swing to one of its ends, as the leaf of a door does.
func (x *Leaves) Hang(sw Swing) bool {
	return x.hang(sw, func(leaf) bool { return true })
}

func (x *Leaves) hang(sw Swing, fits func(leaf) bool) bool {
	a, b := sw.Ends()
	c, near := sw.Center, 0.06*sw.Radius
	found := false
	x.tree.Search([2]float64{c.X - near, c.Y - near}, [2]float64{c.X + near, c.Y + near}, func(_, _ [2]float64, s leaf) bool {
		found = (s.B.Dist(a) <= near || s.B.Dist(b) <= near) && fits(s)
		return !found
	})
	return found
}

// Radius of the swing of a door in metres. Common practice, no source.
const leastSwing, mostSwing = 0.5, 1.4

// DoorBlocks names those of some blocks, as stored, that are drawn as doors are: a leaf that
// hangs at the centre of the quarter circle along which it swings, and neither
// circles nor letters, as symbols of devices have.
func (p *Page) DoorBlocks(among map[string]bool, metre float64) map[string]bool {
	out := map[string]bool{}
	var leaves *Leaves
	for _, sw := range p.Swings() {
		if len(sw.Path) == 0 || !among[sw.Path[len(sw.Path)-1]] || sw.Radius*metre < leastSwing || sw.Radius*metre > mostSwing {
			continue
		}
		if leaves == nil {
			leaves = p.Leaves()
		}
		block := sw.Path[len(sw.Path)-1]
		if !out[block] && leaves.hang(sw, func(l leaf) bool { return slices.Equal(l.path, sw.Path) }) {
			out[block] = true
		}
	}
	if len(out) == 0 {
		return nil
	}
	for i := range p.Shapes {
		if sh := &p.Shapes[i]; sh.Kind == dxf.CircleShape && len(sh.Path) > 0 {
			delete(out, sh.Path[len(sh.Path)-1])
		}
	}
	for i := range p.Texts {
		if t := &p.Texts[i]; len(t.Path) > 0 {
			delete(out, t.Path[len(t.Path)-1])
		}
	}
	return out
}
