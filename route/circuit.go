// Package route lays circuits: it orders the devices of a circuit from the
// panel outward, finds where the cable runs, measures it, and says what the
// wire then does.
//
// Places are metres in the building's frame. Nothing here knows addresses.
//
// # Files
//
// Places, levels and risers of one circuit and the distance between any two of them
// are in floorplan.go, riser.go and floors.go. Lay (lay.go) picks a loop or chain by
// package tour (chain.go), a tree by package tree (tapped.go), or the wires that are
// drawn, by package path (drawn.go). Split divides devices among circuits by package
// loops. Prove, Survive and Beside hand a laid circuit to packages wire and fault.
//
// # What is judged
//
// What the job does not give is a finding, never a pass. Findings are for people:
// one F407 with all isolators of a circuit, one F408 for a shaft that holds both
// ways of several circuits. An isolator to add is counted, drawn and listed in the
// walk; its resistance and current are in no proof until it is drawn.
//
// Outgoing and return runs may lie together where the code lets them: within 10 ft of
// the panel and of the device where the circuit turns back, along the drop to one
// device, and in rooms of up to 1000 ft2 that the job names under one_raceway.
//
// tape_test.go lays forty legs of the demo by hand, with the arithmetic beside every
// figure, and draws them in testdata/pictures/tape-measure.svg.
package route

import (
	"math"

	"loopwright/route/circuit"
	"loopwright/route/path"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Cable is what a circuit is wired with.
type Cable struct {
	Name        string
	Conductor   wire.Conductor
	Temperature float64 // degrees C at which the resistance is taken
	Reel        float64 // metres on a reel; 0 if the order is not rounded to reels
	Capacitance float64 // farad per metre, conductor to conductor; 0 where not given
}

// Spec is a circuit as asked for.
type Spec struct {
	Name    string
	Row     int // which row of the job asked for it
	Kind    takeoff.CircuitKind
	Panel   string
	Pathway circuit.Class
	Taps    bool     // T-taps allowed: class B only
	Levels  []string // levels served; empty for all
	Auto    bool     // split by capacity; Name is then a prefix
	Cable   Cable

	// Listing data is 0 where the job does not give it; nothing is judged by it then.
	MaxResistance  float64 // ohm
	MaxCapacitance float64 // farad of all cable
	MaxLostDevices int     // by one short; SLC
	Capacity       int     // addresses that may be used, reserved ones taken off; SLC
	SpareShare     float64 // share of the capacity to keep free, 0 to 1
	MaxCurrent     float64 // ampere
	StartVolts     float64 // at the panel's terminals
	EndVolts       float64 // least that a device needs
	LoadFactor     float64 // volts lost inside the panel per ampere drawn; NAC and power
}

// Allowance is cable beyond the measured route.
type Allowance struct {
	Device float64 // metres at every device
	Panel  float64 // metres at every cable end in a panel
	Waste  float64 // share of the cable ordered in addition
}

// Panel is a control unit with its place.
type Panel struct {
	Name     string
	Level    string
	Pos      geom.Point // metres, building's frame
	Drop     float64    // metres from cable height down, or up, to it
	Isolates bool       // its circuit terminals part a shorted end from the other
}

// Riser is a shaft through which cable changes level.
type Riser struct {
	Name   string
	Levels []string // levels it passes; empty for all
	Pos    geom.Point

	Separated bool // the way out and the return of a circuit are kept apart in it
}

// Stretch is the part of a leg that runs on one level.
type Stretch struct {
	Level  string
	Points []geom.Point // metres, building's frame, at cable height
}

// Leg is the cable between two neighbours on a circuit. Lengths are metres;
// Length is Horizontal + Drop + Rise and leaves slack out.
type Leg struct {
	From, To   string // device ids or the panel's name; a branch point is named Tn
	Length     float64
	Horizontal float64
	Drop       float64 // from cable height down to each end
	Rise       float64 // between levels
	Slack      float64 // allowance at its ends
	Crossings  int     // walls crossed
	Return     bool    // on the way back of a class A or X circuit
	Via        string  // rectilinear, straight, walls or wiring
	Note       string  // why it was measured otherwise than asked
	Stretches  []Stretch
}

// MindsWalls reports whether the leg was laid with the walls in mind; otherwise
// nobody counted what it crosses.
func (l Leg) MindsWalls() bool { return l.Via == path.ViaWalls || l.Crossings > 0 }

// Circuit is a circuit as laid: its devices in walking order and every leg.
type Circuit struct {
	Spec
	Devices []string // ids in walking order
	Legs    []Leg    // in walking order; in a tree each device's leg from what it hangs on

	Length     float64 // metres, the sum of the legs
	Outgoing   float64
	Back       float64 // the way back to the panel in class A and X
	Slack      float64 // allowances at devices and panel
	Order      float64 // metres to order: length, slack and waste; Reels rounds the sum over a cable's circuits
	LowerBound float64 // metres: no route under the same distances is shorter
	Turns      int
	Crossings  int
	LevelHops  int
	Exact      bool // the order is proved to be the shortest

	Unjoined []string // levels that no given riser joins with the panel's: a shaft was taken to stand over it
}

// Wire returns the metres of cable in the circuit as installed: route and slack.
func (c Circuit) Wire() float64 { return c.Length + c.Slack }

// Reels rounds a length up to whole reels of the given size. Without a size it
// returns the length itself and no reels.
func Reels(length, reel float64) (order float64, reels int) {
	if reel <= 0 || length <= 0 {
		return length, 0
	}
	n := math.Ceil(length/reel - 1e-9)
	return n * reel, int(n)
}
