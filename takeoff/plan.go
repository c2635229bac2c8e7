package takeoff

import (
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/rooms"
	"loopwright/takeoff/words"
)

// Plan is one row of the job's plans: one level, or part of one, on one drawing
// (or in a CSV of devices). Lengths that are not marked otherwise are metres.
type Plan struct {
	Drawing string // path of the DXF as written in the job; "" for a CSV plan
	Devices string // path of the CSV; "" for a drawing
	Level   string
	Units   string // as given in the job: in, ft, mm, cm, m ...; "" to take the drawing's own

	Elevation   float64 // of the finished floor
	Ceiling     float64 // above the floor
	CableHeight float64 // above the floor: where cable runs

	Region *geom.Box   // drawing units: the part of the file that is this level
	Datum  *geom.Point // drawing units: stands above itself on all levels
	Turned *float64    // degrees the plan is turned against the others; nil: found from its walls
	Ignore []geom.Box  // drawing units

	Walls      []string // layer patterns
	Wiring     []string // layer patterns
	Hidden     HiddenRule
	Demolition []words.Match // a plain layer pattern is Match{Layer: ...}
	Existing   []words.Match
	Others     []words.Match
}

// part is what of its drawing a plan shows.
func (p Plan) part() plan.Part { return plan.Part{Region: p.Region, Ignore: p.Ignore, Walls: p.Walls} }

// HiddenRule says what happens to devices on frozen or off layers.
type HiddenRule string

// HiddenExclude is the default.
const (
	HiddenExclude HiddenRule = "exclude"
	HiddenCount   HiddenRule = "count"
)

// Level is one storey of the building, with every plan that shows part of it.
type Level struct {
	Name        string
	Index       int     // from the lowest, 0 up
	Elevation   float64 // metres
	Ceiling     float64 // metres above the floor
	CableHeight float64 // metres above the floor
	Sheets      []Sheet
}

// Sheet is one plan as read: how its drawing coordinates map to the building.
type Sheet struct {
	Plan       Plan
	Units      string         // contract word: in, ft, mm, cm, m ...
	UnitsFrom  string         // header, job, assumed or unknown
	MetrePer   float64        // metres per drawing unit
	ToBuilding geom.Affine    // drawing units -> metres in the building's frame, datum at the origin
	Axis       float64        // degrees: direction of the building's axis in the building's frame
	Walls      []plan.Wall    // metres, building's frame
	Wires      [][]geom.Point // metres, building's frame: lines on the wiring layers
	Extent     geom.Box       // drawing units: what is drawn on this level
}

// Room is a named space of a level.
type Room struct {
	Level   string
	Number  string
	Name    string
	At      geom.Point // metres, building's frame: where its name stands
	Outline geom.Ring  // metres, building's frame; nil if the drawing has no closed outline
	Handle  string
	Drawing string
}

// Label returns number and name as one text, e.g. "103 READING ROOM".
func (r Room) Label() string { return rooms.Label{Number: r.Number, Name: r.Name}.Text() }
