package drafting

import (
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// sheet says what one drawing is to be annotated with. Lengths and places are
// drawing units, angles degrees on the drawing.
type sheet struct {
	drawing   string   // as named in the job
	height    float64  // of every text
	layers    string   // pattern with {kind}, and {circuit} and {level} if wanted
	walls     []string // layer patterns that no text may cover
	attribute string   // of a symbol, to take its label; "" for texts only

	views    []view
	marks    []mark
	panels   []spot        // panels and other landmarks that this drawing shows
	schedule *schedule     // nil for none
	riser    *riserDiagram // nil for none
}

// view is the part of a drawing that shows one level, or part of one.
type view struct {
	level  string
	window *geom.Box // nil for the whole drawing
	axis   float64   // direction of the building's axis
	routes []route
}

// mark is one label to be written beside a symbol.
type mark struct {
	id      string // of the device
	text    string
	kind    kind
	at      geom.Point
	symbol  geom.Box
	handle  string // of the symbol; "" if it is no single entity
	nested  bool   // the symbol sits inside another block
	view    int    // index of sheet.Views
	circuit string
}

// spot is a landmark that cable runs to.
type spot struct {
	name   string
	at     geom.Point
	handle string
}

// route is one circuit as it runs on a view.
type route struct {
	circuit string
	kind    takeoff.CircuitKind
	returns bool // class A or X
	panel   string
	devices map[string]bool // ids of its devices, on every level
	legs    []leg
	added   []added
}

// leg is the part of a leg that runs on the view.
type leg struct {
	from, to string // device ids, the panel, or a branch point
	Return   bool
	points   []geom.Point
	start    bool   // points begin at from; otherwise where cable changes level
	end      bool   // points end at to; otherwise where cable changes level
	other    string // level that the leg comes from or goes to; "" if it stays
}

// added is an isolator that the job's limits ask for and no plan shows.
type added struct {
	beside   string // device or panel
	from, to string // the leg it stands on
}
