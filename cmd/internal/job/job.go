// Package job reads the job file: YAML in, every stage's options out, in SI
// units (metres, ohms, amperes, volts, farads; temperatures in degrees C,
// percentages as fractions of one).
//
// # The table
//
// The keys stand in topTable (schema.go) and the tables it refers to
// (schema_*.go). A row is a key: its name, how its value is read and where it
// goes, an example, a line of help, and what holds when it is left out.
// Decoding, hints for mistyped keys, defaults and the commented reference
// ([Reference], itself a job that loads) all come from it. To add a key, add a
// field and a row. A name that refers to another row is also looked up in
// names.go; what keys must satisfy together is checked in check.go and
// complete*.go.
//
// # Defaults
//
// A default stands once, in its key's row, as people would write it in the file
// (left.go). The key's own reader reads it, so what is printed is what is
// computed. Each default used is in [Job].Defaults with its reason and source:
// a published one, "common practice, no source" or "ours, no source". A default
// that depends on other keys is worked out once the whole file is read.
// [Job.Given] tells a 0 that was written from one that was not.
//
// Figures that only an equipment listing gives have no default (listing.go).
// Left out, they are 0 and nothing is judged by them: [Job.BlankOfCircuit] and
// [Job.BlankOfInputs] name them for the warning, [AsksOfCircuit] and
// [AsksOfInputs] for a draft.
//
// Prices and hours may be left out too. A [Figure] is known or not: a written 0
// is a price, a missing one is named on the workbook's first sheet.
//
// # Mistakes
//
// goccy/go-yaml supplies the syntax tree; decode.go walks it along the table and
// never stops at a mistake, so that one run lists them all. Each is a [Located]:
// file, line, column, what is wrong, what to do, and the line with a caret. Only
// broken YAML ends at its first error. A row is kept even if parts of it are
// wrong, so that its name is not reported missing as well. Later stages report
// at a value's place with [Job.Complain]; what the file does not say has the
// place of what it would belong to.
//
// A file must mean the same to every YAML reader. Refused are unquoted yes, no,
// on, off, 010, 0x1F and 1_000 as texts, aliases (nearly always *SMK* without
// quotes), tags, merge keys, a second document, "Level #1" cut by a comment and
// {a: b c: d} with its comma missing. A bare number is refused where a unit is
// needed, 0 included.
//
// # Tests
//
// testdata/wrong.txt holds wrong files, each followed by the messages it gets:
// add a case and run with -update. testdata/defaults.txt and every-key.yaml show
// every default as users see it.
package job

import (
	"time"

	"loopwright/assign"
	"loopwright/assign/matrix"
	"loopwright/route/circuit"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// Job is a job file as read. Lists keep the order of the file.
type Job struct {
	File     string // path as given to Load or Parse
	Name     string
	Report   measure.System // the units that people read
	Edition  int            // year of the fire alarm code's edition
	Date     time.Time      // printed on sheets; zero if not given
	Revision string
	Font     string  // TrueType file, relative to the job file; "" for the built-in one
	Currency string  // printed beside prices; "" for none
	Labor    float64 // price of one hour; 0 if not given

	Plans      []takeoff.Plan
	Types      []Type
	Panels     []Panel
	Risers     []Riser
	Zones      []Zone
	Circuits   []Circuit
	Cables     []Cable
	Route      Route
	Allowances Allowances
	Boxes      []Box
	EndOfLine  Cost // of a resistor
	Isolators  Cost // of one that is to be added to what the plans show
	Conduit    Conduit
	Acceptance Acceptance
	Items      []Item
	Bid        Bid
	Battery    Battery
	Label      Label
	Drawing    Drawing
	Stickers   Stickers
	Points     Points
	Matrix     []matrix.Rule // nil for the program's draft
	Words      []words.Row   // of this job's drawings, besides those that the program knows

	Defaults []Default // what was used because the file does not say, in the file's order

	lines []string
	marks map[string]mark
}

// Default is one value that the program supplied.
type Default struct {
	Path  string // e.g. plans[0].ceiling
	Value string // as it could stand in the job file, or in words
	Why   string // plain words
	Row   string // name of the row that it belongs to; "" outside a list
}

// Type is a device type and what the estimator buys with it.
type Type struct {
	takeoff.DeviceType
	Box    string // box that each device of the type needs, in the estimator's words; NoBox for none, "" if not given
	Inputs string // pathway class of its own input circuits, A or B

	InputMaxOhm  float64 // ohm of wire that each of its own input circuits may have; 0 if not given
	EndOfLineOhm float64 // ohm of the resistor at the end of each; 0 if not given
}

// NoBox as a box means that such devices need none.
const NoBox = "none"

// DeviceTypes returns the types as the takeoff takes them.
func (j *Job) DeviceTypes() []takeoff.DeviceType {
	ts := make([]takeoff.DeviceType, len(j.Types))
	for i, t := range j.Types {
		ts[i] = t.DeviceType
	}
	return ts
}

// Place is a point on a plan.
type Place struct {
	Level string     // "" for every level, where that is allowed
	Point geom.Point // drawing units of the level's first plan
}

// Panel is a control unit: found by its symbol, or set down at a place.
type Panel struct {
	Panel    string
	Match    []words.Match
	At       *Place // nil if found by Match
	Mounting takeoff.Mounting
	Standby  takeoff.Amps // ampere, the panel's own
	Alarm    takeoff.Amps // ampere
	Isolates bool         // its circuit terminals part a shorted end from the other
	Battery  float64      // ampere-hours fitted or offered; 0 if not given

	// Listing data, 0 if not given.
	Supply      float64 // ampere that its appliance and power circuits may draw together
	ChargerAh   float64 // ampere-hours that its charger takes at most
	ChargerAmps float64 // ampere that its charger gives
	MaxBattery  float64 // ampere-hours of the largest battery that it takes

	Material        Figure // price of the panel
	BatteryMaterial Figure // price of its set of batteries
	Hours           Figure // to mount, land and program it
}

// Riser is a shaft through which cable changes level.
type Riser struct {
	Riser string
	Match []words.Match
	At    *Place // nil if found by Match

	Separated bool // both ways of a class A or X circuit are kept apart in it
}

// Zone is a part of a level of which one fault may take no second one along.
type Zone struct {
	Zone    string
	Level   string
	Outline geom.Ring // drawing units of the level's first plan; nil for the whole level
}

// Circuit is one row of the circuits, or a rule that makes several.
type Circuit struct {
	Circuit string
	Auto    bool // split by capacity; Circuit is then a prefix
	Kind    takeoff.CircuitKind
	Panel   string
	Pathway circuit.Class
	Taps    bool     // T-taps allowed
	Levels  []string // nil for all
	Cable   string

	MaxResistance  float64    // ohm; 0 if not given
	MaxCapacitance float64    // farad; 0 if not given
	MaxLostDevices int        // by one short; 0 if not given
	ClassX         string     // modules or bases; slc
	MaxSegment     int        // devices between two isolators; 0 if not given; slc
	ZoneLimit      int        // zones that one fault may take; slc
	Addresses      Addressing // slc

	MaxCurrent takeoff.Amps // ampere, if given; nac and power
	Spare      float64      // fraction of MaxCurrent kept free; nac and power
	Start, End float64      // volt at the panel and least at the last device; 0 if not given; nac and power
	LoadFactor float64      // volt lost inside the panel per ampere drawn; nac and power

	Survivability string // level of pathway survivability, printed; "" if not given
}

// Addressing says which addresses a circuit has and how a device is set to one.
type Addressing struct {
	Scheme      assign.Scheme
	First, Last int
	Spare       float64 // fraction of the usable addresses kept free
	Reserved    []int   // never given out; ascending
	Order       assign.Order
	LevelStart  []assign.LevelStart // in the file's order; nil for none
	Ranges      []assign.Range      // nil for none
	Drawn       string              // attribute that holds an address on the drawing; "" for none
}

// Usable returns how many addresses the circuit has, reserved ones taken off.
func (a Addressing) Usable() int { return max(0, a.Last-a.First+1-len(a.Reserved)) }

// Cable is one kind of cable.
type Cable struct {
	Cable       string
	Marking     string // on its jacket, such as FPLP; printed; "" if not given
	Conductor   wire.Conductor
	Temperature float64 // degrees C at which its resistance is taken
	Price       float64 // per metre; 0 if not given
	Hours       Figure  // per metre, to pull and terminate
	Reel        float64 // metres on a reel; 0 if orders are not rounded to reels
	Capacitance float64 // farad per metre between its conductors; 0 if not given
	Diameter    float64 // metres over the jacket; 0 if not given
}

// Route says how cable is laid.
type Route struct {
	Along    string // rectilinear, straight, walls or wiring
	Near     float64
	Keep     float64
	BranchAt string // devices or anywhere
	Weights  Weights

	OneRaceway []string // patterns of the names of rooms in which one raceway holds both ways of a circuit
}

// Weights are detours in metres that the route would make to avoid a thing.
type Weights struct {
	Wall, RatedWall, LevelChange float64
	RatedWalls                   []string // layer patterns of the walls that are rated
	Corridor                     float64  // share that a metre in a corridor costs less
	Corridors                    []string // patterns of the names of rooms that are corridors
}

// Allowances is cable beyond the measured route.
type Allowances struct {
	Device, Panel float64 // metres at each device, at each cable end in a panel
	Waste         float64 // fraction
}

// Battery says what the standby battery must do.
type Battery struct {
	StandbyHours float64
	AlarmMinutes float64
	Margin       float64 // fraction added to the computed charge
}

// Label says how an address is written beside a symbol on the drawing.
type Label struct {
	Pattern   string  // with placeholders such as {address:3}; of devices that have an address
	Appliance string  // of devices without one on a nac or power circuit; NoLabel for none
	Isolator  string  // of isolators without one; NoLabel for none
	Height    float64 // metres on paper
	PlotScale float64 // 96 stands for 1:96
	Layers    string  // pattern of the layers that are added, {kind} being what stands on it
	Attribute string  // attribute of the symbol that takes the label instead; "" to place a text
}

// NoLabel as a pattern means that such devices get no label.
const NoLabel = "none"

// Drawing says what is drawn on a labeled plan besides the labels.
type Drawing struct {
	Routes   bool // circuits as laid
	Schedule bool // table of the devices, beside the sheet
	Riser    bool // riser diagram, beside the sheet that shows the first panel
}

// Points says how a device's place is written in the list of points.
type Points struct {
	Location string // pattern with placeholders such as {room}
	Length   int    // most characters that the panel shows
}

// Stickers is the grid of a sheet of adhesive labels, in metres.
type Stickers struct {
	Page          string // letter or A4
	Columns, Rows int
	Size          geom.Point // of one sticker: across, down
	Margins       geom.Point // left, top
	Pitch         geom.Point // from one sticker to the next: across, down
}
