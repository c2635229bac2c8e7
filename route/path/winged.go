package path

import (
	"math"

	"loopwright/takeoff/geom"
)

// WingedWalls measures amid walls in a building with wings: between two places of
// one wing on that wing's axes, between all others on the building's.
type WingedWalls struct {
	main  *Walls
	wings []*Walls // by wing; nil for one with fewer than two places or on the building's own axes
	wing  []int    // of each place; -1 for none
	local []int    // index of each place in its wing
}

// NewWingedWalls is NewWalls for axes that may have wings.
func NewWingedWalls(places []geom.Point, walls []Wall, axes Axes, opt WallOptions) (*WingedWalls, error) {
	main, err := NewWalls(places, walls, axes, opt)
	if err != nil {
		return nil, err
	}
	m := &WingedWalls{main: main, wings: make([]*Walls, len(axes.Wings)), wing: make([]int, len(places)), local: make([]int, len(places))}
	inside := make([][]geom.Point, len(axes.Wings))
	for i, p := range places {
		w := axes.wingAt(p)
		m.wing[i] = w
		if w >= 0 {
			m.local[i] = len(inside[w])
			inside[w] = append(inside[w], p)
		}
	}
	for w, pts := range inside {
		angle := axes.Wings[w].angle
		if len(pts) < 2 || math.Abs(angle-axes.Angle) < 1e-9 {
			continue
		}
		if m.wings[w], err = NewWalls(pts, walls, Axes{Angle: angle, Note: axes.Note}, opt); err != nil {
			return nil, err
		}
	}
	return m, nil
}

// on returns what measures between two places, and their indexes there.
func (m *WingedWalls) on(i, j int) (w *Walls, a, b int) {
	if k := m.wing[i]; k >= 0 && k == m.wing[j] && m.wings[k] != nil {
		return m.wings[k], m.local[i], m.local[j]
	}
	return m.main, i, j
}

// Cost implements Measurer.
func (m *WingedWalls) Cost(i, j int) float64 {
	w, a, b := m.on(i, j)
	return w.Cost(a, b)
}

// Leg implements Measurer.
func (m *WingedWalls) Leg(i, j int) Leg {
	w, a, b := m.on(i, j)
	return w.Leg(a, b)
}
