package takeoff

import (
	"testing"

	"loopwright/takeoff/geom"
)

// A sheet without walls and texts has a size all the same.
func TestStoreyWithoutAnything(t *testing.T) {
	p := &page{}
	if b := p.storey(part{Walls: []string{"X"}}); b != geom.EmptyBox() {
		t.Errorf("box %v", b)
	}
}
