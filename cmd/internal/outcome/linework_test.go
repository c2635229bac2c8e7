package outcome

import (
	"testing"

	"loopwright/takeoff"
)

func TestLevelIsSetUpright(t *testing.T) {
	for axis, want := range map[float64]float64{0: 0, 30: 30, 60: -30, 90: 0, 100: 10, 179: -1, 350: -10} {
		if got := Upright(takeoff.Level{Sheets: []takeoff.Sheet{{Axis: axis}}}); got != want {
			t.Errorf("axis %g is turned back by %g, want %g", axis, got, want)
		}
	}
}
