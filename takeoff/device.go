package takeoff

import (
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// Status says whether a symbol counts.
type Status string

// A symbol either counts or is excluded for a Reason.
const (
	Counted  Status = "counted"
	Excluded Status = "excluded"
)

// Reason says why a symbol does not count. The words are part of the JSON contract.
type Reason string

// The reasons for which a symbol is left out.
const (
	InLegend    Reason = "legend"     // a sample in the legend
	Duplicate   Reason = "duplicate"  // a second copy on the same spot
	Overlap     Reason = "overlap"    // seen again where two sheets of one level overlap
	HiddenLayer Reason = "hidden"     // on a frozen or off layer, or invisible
	OnPaper     Reason = "paper"      // in paper space
	Demolition  Reason = "demolition" // to be removed
	Existing    Reason = "existing"   // stands already
	ByOthers    Reason = "others"     // another contractor's
	Unknown     Reason = "unknown"    // on a layer that the rules look at, but no rule explains it
	OutOfRegion Reason = "region"     // outside the level's region, or in a part to ignore (key plan, detail)
)

// Device is one symbol taken off a drawing. It has no address yet.
type Device struct {
	ID      string // level number and running number in reading order, e.g. L1-023; a CSV plan's own id
	Type    string // DeviceType.Type; "" where Reason is Unknown
	Level   string // Level.Name
	Room    string // number and name as on the drawing; "" if none was found
	Grid    string // without a room: the nearest crossing of the axes of the grid, e.g. "B/3"; "" where there is no grid
	Status  Status
	Reason  Reason   // why not counted; "" if Counted
	Drawing string   // file as named in the job
	Handle  string   // handle of the insert (of the outermost one where nested), upper case hexadecimal
	Path    []string // blocks it sits in, outermost first; shared, do not change
	Block   string   // effective block name; "" for text-only and exploded symbols
	Layer   string
	Attribs map[string]string // values by tag; nil if none

	At       geom.Point // insertion point in drawing units
	Rotation float64    // degrees, direction of the symbol's x axis on the drawing
	Symbol   geom.Box   // box around the symbol, drawing units; the single point At if unknown
	Pos      geom.Point // metres in the building's frame: see Sheet.ToBuilding

	block string         // as stored: the symbol's own; "" for text-only and exploded symbols
	rule  int            // index of the rule that it fits, for one with a block
	plan  int            // index of the plan that shows it
	form  recognize.Form // as what it is drawn
}

// Place is where a person finds the device on its level: its room, or the nearest crossing of the grid.
func (d *Device) Place() string {
	if d.Room == "" && d.Grid != "" {
		return "grid " + d.Grid
	}
	return d.Room
}

// Point is one function under a device's address (12.1, 12.2 ...), as the panel is programmed.
type Point struct {
	Function string // smoke, waterflow, valve, relay ...
	Event    string // event code reported to the monitoring station, e.g. "111"
}

// Option is an extra switch on a device and the wording of when it is on.
type Option struct {
	Switch string // what the device calls it, e.g. class A
	OnWhen string // pathway class of the device's own input circuit for which it is on, e.g. A
}

// Mounting says at what height a device sits.
type Mounting struct {
	Kind   MountingKind
	Height float64 // metres above the floor; for MountHeight
}

// MountingKind tells the ways of giving a mounting height apart.
type MountingKind int

// The ways of giving a height: at the ceiling, which is the default; at
// DefaultWallHeight; or in metres, as the job file says.
const (
	MountCeiling MountingKind = iota
	MountWall
	MountHeight
)

// DefaultWallHeight is used for mounting: wall, in metres (88 in: the middle of
// the 80-96 in band for wall-mounted visual appliances in NFPA 72-2022's
// published quick reference on installation heights).
const DefaultWallHeight = 88 * measure.Inch

// HeightIn returns the mounting height in metres above the floor of a level
// whose ceiling is at the given height.
func (m Mounting) HeightIn(ceiling float64) float64 {
	switch m.Kind {
	case MountWall:
		return min(DefaultWallHeight, ceiling)
	case MountHeight:
		return m.Height
	}
	return ceiling
}

// Amps is a current that may be blank: a blank current is a finding, never a zero.
type Amps struct {
	A     float64
	Known bool
}

// CircuitKind tells the kinds of circuit apart. The words are part of the contract.
type CircuitKind string

// The kinds of circuit.
const (
	SLC   CircuitKind = "slc"   // addressable signaling line circuit
	NAC   CircuitKind = "nac"   // notification appliance circuit
	Power CircuitKind = "power" // 24 V to devices that need it
)

// DeviceType is one kind of device: how it is recognised and what it needs.
type DeviceType struct {
	Type       string
	Name       string
	Match      []words.Match
	Mounting   Mounting
	Addresses  int // addresses taken on the loop; 0 for none
	WiredTo    []CircuitKind
	Isolates   bool
	Resistance float64 // ohm in series on the circuit
	Points     []Point
	Standby    Amps // ampere
	Alarm      Amps // ampere
	Options    []Option
	EndOfLine  int     // resistors that its own input circuits need
	Material   float64 // price, in the job's currency
	Hours      float64 // labor
}

// On reports whether the type is wired to a circuit of kind k.
func (t DeviceType) On(k CircuitKind) bool {
	for _, w := range t.WiredTo {
		if w == k {
			return true
		}
	}
	return false
}
