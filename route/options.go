package route

import (
	"fmt"
	"slices"

	"loopwright/route/path"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// The codes of findings about routes.
const (
	codeRiserProposed = "F301" // no shaft was given: one is taken to stand over the panel
	codeMeasuredElse  = "F302" // measured in another way than asked for
	codeFarFromBest   = "F303" // the route is far above its lower bound
	codeWiring        = "F304" // the drawn wiring has a gap, a loose device or a branch too many
	codeSplit         = "F305" // circuits do not suffice, or were split otherwise than asked
)

// Along says how distance is measured on a level.
type Along string

// The ways of measuring. Walls and wiring fall back to rectilinear where the
// drawing does not carry them, and each leg says so.
const (
	AlongRectilinear Along = path.ViaRectilinear
	AlongStraight    Along = path.ViaStraight
	AlongWalls       Along = path.ViaWalls
	AlongWiring      Along = path.ViaWiring
)

// Weights are what people object to in a shortest route, as the metres of cable
// that avoiding each is worth. They steer the order; the lengths reported are
// true lengths.
type Weights struct {
	LevelChange float64
	Wall        float64 // per wall crossed
	RatedWall   float64 // per fire-rated wall crossed
}

// Options steers how circuits are laid. The zero value lays rectilinear routes
// that weigh nothing; see Usual.
type Options struct {
	Along   Along
	Near    float64 // share by which a route may be longer if it is easier to pull
	Branch  Branch
	Weights Weights
	Rated   []string // layer patterns of fire-rated walls

	Corridors []string // patterns of room names in which cable likes to run; amid walls only
	Saving    float64  // share that a metre costs less there
	Allow     Allowance
	Seed      uint64
}

// Usual are the options of a job file that leaves them out; job files take
// their defaults from here.
var Usual = Options{
	Along: AlongRectilinear, Near: 0.01, Branch: branchAnywhere, Seed: 1,
	Weights:   Weights{LevelChange: 50 * measure.Foot, Wall: 10 * measure.Foot, RatedWall: 50 * measure.Foot},
	Corridors: []string{"*CORRIDOR*", "*HALLWAY*"}, Saving: 0.20,
	Allow: Allowance{Device: 1 * measure.Foot, Panel: 6 * measure.Foot, Waste: 0.10},
}

// Branch says where a tapped circuit may branch: in a box anywhere, or at a
// device only.
type Branch string

// The choices of Branch; the zero value stands for anywhere.
const (
	branchAnywhere  Branch = "anywhere"
	branchAtDevices Branch = "devices"
)

// Building is what routes need to know of the place.
type Building struct {
	Levels []takeoff.Level
	Panels []Panel
	Risers []Riser
	Types  []takeoff.DeviceType
	Rooms  []takeoff.Room
	Units  measure.System // in which findings give lengths
}

// outlines are those of the rooms on a level whose name or label fits a pattern.
func (b Building) outlines(level string, patterns []string) []geom.Ring {
	var out []geom.Ring
	for _, r := range b.Rooms {
		if r.Level == level && len(r.Outline) > 2 && named(r, patterns) {
			out = append(out, r.Outline)
		}
	}
	return out
}

// named reports whether the name or label of a room fits a pattern.
func named(r takeoff.Room, patterns []string) bool {
	fits := func(p string) bool { return words.Wildcard(p, r.Name) || words.Wildcard(p, r.Label()) }
	return slices.ContainsFunc(patterns, fits)
}

func (b Building) level(name string) (int, error) {
	for i, l := range b.Levels {
		if l.Name == name {
			return i, nil
		}
	}
	return 0, fmt.Errorf("no level %q", name)
}

func (b Building) panel(name string) (Panel, error) {
	for _, p := range b.Panels {
		if p.Name == name {
			return p, nil
		}
	}
	return Panel{}, fmt.Errorf("panel %s is on no drawing: check its match rule, or place it with at", name)
}

// Codes lists the findings about routes and proofs.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: codeRiserProposed, Meaning: "no riser is given, so cable between levels runs straight up at the panel", Remedy: "place the riser under risers"},
		{Code: codeMeasuredElse, Meaning: "a leg was measured in another way than route says", Remedy: "check the leg on the plan"},
		{Code: codeFarFromBest, Meaning: "a route is far longer than it need be", Remedy: "report it, with the job if you may share it"},
		{Code: codeWiring, Meaning: "the wiring drawn on the plan has a gap, a loose device or a branch too many", Remedy: "correct the wiring on the drawing, or leave wiring out of the row of the plan"},
		{Code: codeSplit, Meaning: "circuits do not suffice, or were split otherwise than asked", Remedy: "add a circuit, or raise its limits if its listing allows"},
		{Code: CodeResistance, Meaning: "the loop resistance is over its limit", Remedy: "use thicker wire, a shorter route or more circuits"},
		{Code: CodeCurrent, Meaning: "a circuit carries more current than it may", Remedy: "split the circuit, or take devices off it"},
		{Code: CodeVoltage, Meaning: "a device gets less voltage than it needs", Remedy: "use thicker wire, a shorter route or more circuits"},
		{Code: CodeBlank, Meaning: "a current that a proof needs is not given", Remedy: "take standby and alarm from the device's listing"},
		{Code: CodeNoLimit, Meaning: "figures of the listing are not given, so what they limit is not judged", Remedy: "take them from the equipment's listing"},
		{Code: CodeFault, Meaning: "one open or short takes more than the job allows", Remedy: "add isolators as the message says, or change the route"},
		{Code: CodeIsolators, Meaning: "isolators are to be added, or are worth adding", Remedy: "order them and put them where the message says"},
		{Code: CodeBeside, Meaning: "two stretches of a class A or X loop share a way, or a loop is laid longer so that they do not", Remedy: "part them as far as the adopted code asks, or record why they may run together"},
		{Code: CodeSegment, Meaning: "more devices stand between two isolators than the listing allows", Remedy: "add isolators, on the plans too"},
		{Code: CodeCapacity, Meaning: "the capacitance of the cable is over its limit", Remedy: "use cable of less capacitance, or more circuits"},
	}
}
