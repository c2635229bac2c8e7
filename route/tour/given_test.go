package tour

import (
	"math/rand/v2"
	"slices"
	"testing"

	"loopwright/takeoff/geom"
)

// A bound of an order is a bound of every order, and no worse for a better order's sake.
func TestBoundOfAnOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 11))
	for k, n := range []int{3, exactLimit, 20, 60, 120} {
		p := Problem{Points: scatter(rng, n), Open: k%2 == 0}
		best := mustSolve(t, p)
		bound, err := Bound(p, best.Order)
		if err != nil || bound > best.Length*(1+1e-9) || bound < 0.9*best.Length {
			t.Errorf("%d places: bound %v, length %v, %v", n, bound, best.Length, err)
		}
	}
	if _, err := Bound(Problem{Points: make([]geom.Point, 3)}, []int{0, 1}); err == nil {
		t.Error("an order of two places for three is no order")
	}
}

// A search keeps a good order to begin with, and a bad one does not matter.
func TestBegin(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	for _, open := range []bool{false, true} {
		p := Problem{Points: scatter(rng, 90), Open: open, Start: 7}
		best := mustSolve(t, p)
		p.Begin = best.Order
		if r := mustSolve(t, p); r.Length > best.Length*(1+1e-9) {
			t.Errorf("begun at %v, ended at %v", best.Length, r.Length)
		}
		p.Begin = rng.Perm(90)
		if r := mustSolve(t, p); !slices.Equal(r.Order, best.Order) {
			t.Error("a bad order to begin with changes the answer")
		}
		p.Begin = []int{1}
		if _, err := Solve(p); err == nil {
			t.Error("an order to begin with that leaves places out is taken")
		}
	}
}
