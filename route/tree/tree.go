// Package tree finds short trees from a root through terminals: what a class B
// pathway with T-taps needs.
//
// Two kinds of tree are offered. A spanning tree branches at terminals only, and
// works on any symmetric cost. A Steiner tree may branch anywhere in the plane
// and is never longer than the spanning tree.
//
// Lengths are rectilinear: |dx| + |dy| along the coordinate axes. A caller whose
// building stands turned against the axes turns the points first. The package
// knows no units: what goes in metres comes out in metres.
//
// Results do not depend on the order of the input, on where the origin lies, or
// on quarter turns and mirroring, except that coordinates closer together than
// 2^-28 of the plan's extent count as one coordinate while searching. Lengths
// are always measured on the coordinates given.
//
// # How it works
//
// The search runs on whole numbers in a canonical form of the input: sorted, and
// the least of its eight images under quarter turns and mirroring. Steiner begins
// with the spanning tree, exchanges edges (Borah, Owens and Irwin 1994), replaces
// every small subtree by its optimum (Dreyfus and Wagner on the Hanan grid), then
// perturbs and anneals with a fixed seed and keeps the best. Small inputs are
// solved exactly. The lower bound is dual ascent (Wong 1984), and for many places
// the larger of two thirds of the spanning tree (Hwang 1976) and half the box
// around them. SpanningMatrix is exact without limits on the edges at a node, and
// a heuristic with them.
//
//	LOOPWRIGHT_REFERENCE=1 go test -v -run AgainstORLibrary ./route/tree   # gaps to published optima
//	go test -run xxx -bench Steiner ./route/tree
package tree

import (
	"errors"
	"fmt"
	"math"

	"loopwright/takeoff/geom"
)

// Node is one place of a tree.
type Node struct {
	At       geom.Point   // zero in a tree made by SpanningMatrix
	Terminal int          // index of the terminal in the input, or -1 for a Steiner point
	Parent   int          // index in Tree.Nodes of the next node towards the root, -1 at the root
	Children []int        // indices in Tree.Nodes, nearest branch first
	Path     []geom.Point // from the parent to this node: straight, or with one right-angled bend; nil at the root and without coordinates
	Length   float64      // of the edge from the parent
	Dist     float64      // from the root along the tree
}

// Tree is a tree with a root.
type Tree struct {
	// Nodes holds the terminals, in the order given, and after them the Steiner
	// points in walking order.
	Nodes []Node
	Root  int
	// Order lists the terminals depth first from the root, which leads: at every
	// fork the branch with the shortest first edge goes first, and a branch is
	// finished before the next begins.
	Order []int
	// Length is the sum of all edges.
	Length float64
	// LowerBound is a length that no tree of this kind undercuts. For Steiner
	// trees over more than 160 places it is loose: two thirds of the spanning tree.
	LowerBound float64
	// Exact says that no shorter tree of this kind exists.
	Exact bool
}

var (
	// errEmpty says that a tree was asked for without a terminal.
	errEmpty = errors.New("a tree needs at least one terminal")
	// errRoot says that the root is not among the terminals.
	errRoot = errors.New("the root is not one of the terminals")
	// errLimit says that no tree keeps the degree limits.
	errLimit = errors.New("no tree keeps the limits on branches")
)

func check(pts []geom.Point, root int) error {
	if len(pts) == 0 {
		return errEmpty
	}
	if root < 0 || root >= len(pts) {
		return fmt.Errorf("%w: root %d of %d terminals", errRoot, root, len(pts))
	}
	for i, p := range pts {
		if !p.IsFinite() {
			return fmt.Errorf("terminal %d lies at (%v, %v): coordinates must be finite numbers", i, p.X, p.Y)
		}
	}
	return nil
}

// Steiner returns a short rectilinear tree that may branch anywhere. It is
// exact for up to ExactTerminals distinct places and never longer than the
// spanning tree for any number.
//
// Method: minimum spanning tree; edge-based exchange after Borah, Owens and
// Irwin, "An edge-based heuristic for Steiner routing", IEEE Trans. CAD 13
// (1994) 1563-1568; every small subtree replaced by its optimum (dynamic
// programming of Dreyfus and Wagner, "The Steiner problem in graphs", Networks 1
// (1971) 195-207, on the grid of Hanan, SIAM J. Appl. Math. 14 (1966) 255-265);
// then a fixed number of perturbations of which only improvements are kept.
func Steiner(pts []geom.Point, root int) (*Tree, error) {
	if err := check(pts, root); err != nil {
		return nil, err
	}
	c := newCanon(pts)
	n := c.spanning()
	span := c.tree(n, pts, root)
	exact := c.places() <= exactTerminals
	if exact {
		n.solveExactly()
	} else {
		n.search(kicksFor(c.places()))
	}
	t := c.tree(n, pts, root)
	if t.Length > span.Length { // by rounding only
		t = span
	}
	t.LowerBound = lowerBound(pts, span.Length)
	if !exact && c.places() <= boundTerminals {
		units := dualAscent(c.at)
		exact = units >= n.total()
		// Rounding to the search grid may add up to two units to an edge.
		t.LowerBound = math.Max(t.LowerBound, float64(units-4*int64(c.places()))*c.unit)
	}
	if exact || t.LowerBound >= t.Length {
		t.LowerBound, t.Exact = t.Length, true
	}
	return t, nil
}

// lowerBound gives the better of two quick bounds on the Steiner tree: two thirds of
// the spanning tree (Hwang, "On Steiner minimal trees with rectilinear
// distance", SIAM J. Appl. Math. 30 (1976) 104-114) and half the perimeter of
// the bounding box.
func lowerBound(pts []geom.Point, spanning float64) float64 {
	lo, hi := pts[0], pts[0]
	for _, p := range pts {
		lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
		hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
	}
	return math.Max(spanning*2/3, lo.Rect(hi))
}
