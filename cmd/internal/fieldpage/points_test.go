package fieldpage

import (
	"fmt"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

var identity = geom.Identity()

// points reads places written as "x,y x,y".
func points(t *testing.T, s string) []geom.Point {
	t.Helper()
	var ps []geom.Point
	for _, f := range strings.Fields(s) {
		var p geom.Point
		if _, err := fmt.Sscanf(f, "%g,%g", &p.X, &p.Y); err != nil {
			t.Fatalf("%q: %v", f, err)
		}
		ps = append(ps, p)
	}
	return ps
}
