package drafting

import (
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Sheet says what one drawing is to be annotated with. Lengths and places are
// drawing units, angles degrees on the drawing.
type Sheet struct {
	Drawing   string   // as named in the job
	Height    float64  // of every text
	Layers    string   // pattern with {kind}, and {circuit} and {level} if wanted
	Walls     []string // layer patterns that no text may cover
	Attribute string   // of a symbol, to take its label; "" for texts only

	Views    []View
	Marks    []Mark
	Panels   []Spot        // panels and other landmarks that this drawing shows
	Schedule *Schedule     // nil for none
	Riser    *RiserDiagram // nil for none
}

// View is the part of a drawing that shows one level, or part of one.
type View struct {
	Level  string
	Window *geom.Box // nil for the whole drawing
	Axis   float64   // direction of the building's axis
	Routes []Route
}

// Mark is one label to be written beside a symbol.
type Mark struct {
	ID      string // of the device
	Text    string
	Kind    Kind
	At      geom.Point
	Symbol  geom.Box
	Handle  string // of the symbol; "" if it is no single entity
	Nested  bool   // the symbol sits inside another block
	View    int    // index of Sheet.Views
	Circuit string
}

// Spot is a landmark that cable runs to.
type Spot struct {
	Name   string
	At     geom.Point
	Handle string
}

// Route is one circuit as it runs on a view.
type Route struct {
	Circuit string
	Kind    takeoff.CircuitKind
	Returns bool // class A or X
	Panel   string
	Devices map[string]bool // ids of its devices, on every level
	Legs    []Leg
	Added   []Added
}

// Leg is the part of a leg that runs on the view.
type Leg struct {
	From, To string // device ids, the panel, or a branch point
	Return   bool
	Points   []geom.Point
	Start    bool   // Points begin at From; otherwise where cable changes level
	End      bool   // Points end at To; otherwise where cable changes level
	Other    string // level that the leg comes from or goes to; "" if it stays
}

// Added is an isolator that the job's limits ask for and no plan shows.
type Added struct {
	Beside   string // device or panel
	From, To string // the leg it stands on
}
