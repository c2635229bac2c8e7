package path

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Symbol is a device, or the panel, as drawn: wires end at its edge.
type Symbol struct {
	At     geom.Point
	Radius float64 // metres
}

// WiringOptions steers the reading of drawn wires. The zero value takes the
// defaults and a class B circuit without taps.
type WiringOptions struct {
	// Tolerance in metres within which an end meets another line or a symbol;
	// default DefaultTolerance.
	Tolerance float64
	// Gap in metres: a loose end this close to another one, or to an untouched
	// symbol, is reported as a gap between the two. Default DefaultGap.
	Gap float64
	// Taps says that the pathway class allows branches.
	Taps bool
	// Return says that the pathway class leads every circuit back to the panel.
	Return bool
	// Shafts lead wires from one level to another.
	Shafts []Shaft
	// Units are those in which findings give lengths.
	Units measure.System
}

// Defaults of WiringOptions in metres; common practice, no source.
const (
	defaultTolerance = 0.05
	defaultGap       = 1.0
)

// Shaft is a riser: its places on the levels that it passes, the panel's level
// first. Wires that end at one go on from another.
type Shaft []Landing

// Landing is a shaft on one level. Levels must lie apart in the plane in which the
// wires are given, since lines and symbols of one level may not meet those of another.
type Landing struct {
	Symbol
	Height float64 // metres, at which cable runs on the level
}

// What a WiringFinding is about.
const (
	BadLine   = "bad line"      // coordinates that are not finite; left out
	Twice     = "drawn twice"   // a line drawn upon its double; read once
	NearPass  = "passes close"  // a wire grazes a symbol without ending there; not joined
	LooseEnd  = "loose end"     // a wire ends where nothing is
	Gap       = "gap"           // a loose end close to something it may be meant for
	Untouched = "not touched"   // a device that no wire reaches
	CutOff    = "cut off"       // wires and devices that are not connected to the panel
	Loop      = "loop"          // a way round that the pathway class does not call for
	NoReturn  = "no way back"   // a circuit that ought to come back to the panel and does not
	Branch    = "branch"        // a tap that the pathway class forbids
	NoPanel   = "panel unwired" // no wire reaches the panel
	NoWayOn   = "ends in shaft" // a wire that ends at a shaft and continues on no other level
	Crowded   = "shaft crowded" // too many wires at a shaft to say which continues which
	Unclear   = "shaft unclear" // two wires at a shaft on two levels, either of which may continue the other
)

// WiringFinding is something in the drawn wires that a person must look at.
type WiringFinding struct {
	Kind    string // one of the constants above
	Message string
	At      geom.Point
	Size    float64 // metres: of the gap, of the loose wire, of the loop; 0 where that says nothing
	Place   int     // index of the device concerned, or -1
}

// WireNode is a symbol or a joint.
type WireNode struct {
	At    geom.Point
	Place int // index of the symbol, or -1 for a joint
}

// WireRun is a stretch of wire between two nodes, walked away from the panel.
type WireRun struct {
	From, To int // indices in Wiring.Nodes
	Leg      Leg
}

// WireCircuit is what hangs on one wire that leaves the panel, or on two where
// it comes back.
type WireCircuit struct {
	Order  []int     // places in walking order, the panel left out
	Runs   []WireRun // each once, in walking order; the return run is not among them
	Return *WireRun  // back to the panel, or nil
	Taps   []geom.Point
	Length float64 // of all runs, the return included
}

// Wiring is the circuit as drawn. Its nodes are the symbols, in the order
// given, and after them the joints.
type Wiring struct {
	Nodes    []WireNode
	Circuits []WireCircuit
	Findings []WiringFinding

	panel   int
	symbols []Symbol // the places, then the landings of shafts
	places  int
	parted  []int // nodes of wires that end at a shaft for good, reported already
	opt     WiringOptions
	graph   *wireGraph
}

// NewWiring reads drawn wires: lines are polylines in metres (arcs flattened),
// panel is the index of the panel among symbols.
//
// The rules, in this order:
//   - A line's end inside a symbol, or within the tolerance of its edge, is landed
//     on that symbol; of several the one with the nearest middle.
//   - A line that passes a symbol's middle within half its radius, or within the
//     tolerance, is landed there too, one wire in and one out. Between that and
//     the symbol's edge it is a near pass, and not joined.
//   - Ends within the tolerance of each other are one joint.
//   - An end within the tolerance of another line is a joint on that line.
//   - Lines that cross without an end there are not joined.
//   - A wire that ends at a shaft continues from the same shaft on another level:
//     without taps one wire to one, in the order of the levels; with taps all are
//     joined along the shaft.
//
// A wire is measured to the middle of the symbols at its ends.
func NewWiring(lines [][]geom.Point, symbols []Symbol, panel int, opt WiringOptions) (*Wiring, error) {
	if panel < 0 || panel >= len(symbols) {
		return nil, fmt.Errorf("the panel is symbol %d of %d: no such symbol", panel, len(symbols))
	}
	for i, s := range symbols {
		if !s.At.IsFinite() || math.IsNaN(s.Radius) || s.Radius < 0 || math.IsInf(s.Radius, 0) {
			return nil, fmt.Errorf("symbol %d lies at (%v, %v) with radius %v: these must be finite numbers, the radius not below zero", i, s.At.X, s.At.Y, s.Radius)
		}
	}
	if opt.Tolerance <= 0 {
		opt.Tolerance = defaultTolerance
	}
	if opt.Gap <= 0 {
		opt.Gap = defaultGap
	}
	w := &Wiring{panel: panel, symbols: slices.Clone(symbols), places: len(symbols), opt: opt}
	for i, s := range symbols {
		w.Nodes = append(w.Nodes, WireNode{s.At, i})
	}
	for _, s := range opt.Shafts {
		for _, l := range s {
			w.symbols, w.Nodes = append(w.symbols, l.Symbol), append(w.Nodes, WireNode{l.At, -1})
		}
	}
	r := &wireReader{w: w, tol: opt.Tolerance}
	r.take(lines)
	r.land()
	r.join()
	w.graph = r.graph()
	touched := make([]bool, len(symbols))
	for i := range symbols {
		touched[i] = len(w.graph.at[i]) > 0
	}
	w.joinShafts()
	w.reportLoose()
	w.walk()
	w.reportMissing(touched)
	return w, nil
}

func (w *Wiring) find(kind string, at geom.Point, size float64, place int, format string, args ...any) {
	w.Findings = append(w.Findings, WiringFinding{kind, fmt.Sprintf(format, args...), at, size, place})
}

// length writes metres in a finding.
func (w *Wiring) length(m float64) string { return w.opt.Units.Length(m, 2) }
