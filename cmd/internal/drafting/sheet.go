package drafting

import (
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// sheet says what one drawing is to be annotated with. Lengths and places are
// drawing units, angles degrees on the drawing.
type sheet struct {
	Drawing   string   // as named in the job
	Height    float64  // of every text
	Layers    string   // pattern with {kind}, and {circuit} and {level} if wanted
	Walls     []string // layer patterns that no text may cover
	Attribute string   // of a symbol, to take its label; "" for texts only

	Views    []view
	Marks    []mark
	Panels   []spot        // panels and other landmarks that this drawing shows
	Schedule *schedule     // nil for none
	Riser    *riserDiagram // nil for none
}

// view is the part of a drawing that shows one level, or part of one.
type view struct {
	Level  string
	Window *geom.Box // nil for the whole drawing
	Axis   float64   // direction of the building's axis
	Routes []route
}

// mark is one label to be written beside a symbol.
type mark struct {
	ID      string // of the device
	Text    string
	Kind    kind
	At      geom.Point
	Symbol  geom.Box
	Handle  string // of the symbol; "" if it is no single entity
	Nested  bool   // the symbol sits inside another block
	View    int    // index of sheet.Views
	Circuit string
}

// spot is a landmark that cable runs to.
type spot struct {
	Name   string
	At     geom.Point
	Handle string
}

// route is one circuit as it runs on a view.
type route struct {
	Circuit string
	Kind    takeoff.CircuitKind
	Returns bool // class A or X
	Panel   string
	Devices map[string]bool // ids of its devices, on every level
	Legs    []leg
	Added   []added
}

// leg is the part of a leg that runs on the view.
type leg struct {
	From, To string // device ids, the panel, or a branch point
	Return   bool
	Points   []geom.Point
	Start    bool   // Points begin at From; otherwise where cable changes level
	End      bool   // Points end at To; otherwise where cable changes level
	Other    string // level that the leg comes from or goes to; "" if it stays
}

// added is an isolator that the job's limits ask for and no plan shows.
type added struct {
	Beside   string // device or panel
	From, To string // the leg it stands on
}
