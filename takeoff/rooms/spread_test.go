package rooms

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Spaces that one name has to itself are filled at once; the outcome is that of
// letting all names spread step by step.
func TestFillRooms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nx, ny := rapid.IntRange(1, 12).Draw(t, "nx"), rapid.IntRange(1, 12).Draw(t, "ny")
		g := &grid{cell: 5, nx: nx, ny: ny, owner: make([]int32, nx*ny)} // a name in the open reaches two squares far
		for range nx * ny {
			g.state = append(g.state, rapid.SampledFrom([]uint8{open, open, open, open, solid, solid, seldom}).Draw(t, "state"))
		}
		seeds := rapid.SliceOfN(rapid.IntRange(-1, nx*ny-1), 0, 6).Draw(t, "seeds")
		for i, s := range seeds {
			if s >= 0 && g.state[s] == solid {
				seeds[i] = -1
			}
		}
		for i := range g.owner {
			g.owner[i] = unreached
		}
		g.outside(seeds)
		step := *g
		step.owner, step.steps = slices.Clone(g.owner), slices.Clone(g.steps)
		for _, ss := range [][]int{seeds[:len(seeds)/2], seeds} { // as numbered rooms go first
			g.spread(ss)
			step.spreadFrom(step.plant(ss))
			if !slices.Equal(g.owner, step.owner) {
				t.Fatalf("%v\nstep by step %v\nstates %v, seeds %v", g.owner, step.owner, g.state, ss)
			}
		}
	})
}
