package plan

import (
	"testing"

	"loopwright/takeoff/geom"
)

// A sheet without walls and texts has a size all the same.
func TestStoreyWithoutAnything(t *testing.T) {
	p := &Page{}
	if b := p.Storey(Part{Walls: []string{"X"}}); b != geom.EmptyBox() {
		t.Errorf("box %v", b)
	}
}
