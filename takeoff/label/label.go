// Package label finds places for short texts beside the symbols they belong to.
//
// It knows strings, anchors and obstacles, and nothing of what the strings
// mean. A label stands close to its symbol where it can, on the side a drafter
// would choose first, and at the end of a thin leader where it cannot. A
// placed text never covers a symbol, a hard obstacle, another text or a
// leader; a label for which there is no such place is returned as not placed,
// with its least bad place and what lies in the way. The caller decides what
// becomes of it: nothing is laid over anything in silence.
//
// Coordinates are in any one unit of length with y up; angles are degrees
// anticlockwise. Results do not depend on the order of the input.
//
// # How it works
//
// The plan is turned so that most texts stand upright, moved to its own corner and
// rounded to a fine grid, so that a shifted plan gets the same labels (frame.go).
// Places are made in tiers: eight sides, then sliding and farther, short leaders,
// long leaders, leaders that cross symbols (candidate.go). A place that meets
// anything hard is thrown out; the rest are priced by side, distance, soft
// obstacles, a wall between text and symbol, and a second symbol just as near
// (scene.go). A graph holds which places of different labels exclude one another
// (model.go). The search fills greedily, scarcest label first, then repairs each
// part of the graph by a tabu search over partial assignments that are always free
// of conflict (search.go). Later tiers are made only for labels without a place,
// for those in their way, and for those whose place covers far more than a leader
// costs. Last, the cost is lowered where neighbours in a row or column can stand
// alike (polish.go). All of it stops after a number of looks, never after a time.
//
// Overlaps are checked against clipped polygons that share no code with this
// package, the number placed against exhaustive search in small crowded cases.
//
//	go test -run xxx -bench PointFeature -benchtime 1x -v ./takeoff/label
//
// sets it beside first fit and simulated annealing, on the set-up of Christensen,
// Marks and Shieber (ACM TOG 14(3), 1995). The prices in scene.go were chosen by
// eye: after a change to one, look at the drawings that
//
//	LOOPWRIGHT_KEEP=DIR go test -run Draw ./takeoff/label
//
// writes.
package label

import "loopwright/takeoff/geom"

// Label is one text and the symbol it belongs to.
type Label struct {
	ID   string // names the label in the result; need not be unique
	Text string // lines are separated by \n

	// Height is the text height: the height of capitals, as in a DXF TEXT entity.
	Height float64
	// Width and BoxHeight are the measured extents of the text. Where Width is
	// 0 both come from Extent.
	Width, BoxHeight float64

	Anchor geom.Point // the place the leader points at when no symbol is drawn
	Symbol Rect       // outline of the symbol; the zero Rect when nothing is drawn
	// Angle is the reading direction. It is brought into (-90, 90] so that the
	// text is never upside down.
	Angle float64
	// Sides are tried before Options.Sides, first one first.
	Sides []Side
}

// Obstacles is what was on the drawing before the labels. The symbols of the
// labels are obstacles of themselves and need not be repeated here.
type Obstacles struct {
	Boxes    []BoxObstacle
	Segments []SegmentObstacle
}

// BoxObstacle is a rectangle such as the box around a room's name.
// One without area is no obstacle.
type BoxObstacle struct {
	Rect Rect
	// Cost is 0 for a hard obstacle, which no text covers and no leader
	// crosses. Otherwise it is the price of covering it, in steps of side
	// preference: at 2, the third choice of side is as good as covering it
	// from the first.
	Cost float64
}

// SegmentObstacle is a line such as a wall.
type SegmentObstacle struct {
	Segment geom.Segment
	// Cost is 0 for a hard obstacle, which no text covers; otherwise as for
	// BoxObstacle. A leader may cross either kind, at a price.
	Cost float64
}

// Options steer the placement. The zero value is a good start. Lengths are in
// text heights of the label concerned, so that one set of options serves every
// scale and unit.
type Options struct {
	Gap       float64 // from symbol to text: 0 means 0.35, negative means none
	Clearance float64 // kept free around a text: 0 means 0.2, negative means none
	Sides     []Side  // preference, first one first: nil means DefaultSides
	// Fixed leaves only the listed sides at the given gap: no sliding along the
	// symbol, no greater distance, no leader.
	Fixed     bool
	Reach     float64 // how much farther than Gap a text may stand without a leader: 0 means 1, negative means none
	MaxLeader float64 // longest leader, at most 30: 0 means 14, negative means no leaders
	Effort    float64 // multiplies the search time: 0 means 1
}

// Placement is where one label went.
type Placement struct {
	Index int    // of the label in the input
	ID    string // of the label
	// Placed is false where every place is taken. Box is then the least bad
	// place and Clashes tells what is in its way.
	Placed   bool
	Box      Rect       // of the text
	Baseline geom.Point // left end of the last line: the insertion point of a DXF TEXT entity
	Angle    float64    // reading direction, in (-90, 90]
	Side     Side       // of the symbol
	// Leader runs from the edge of the symbol to the edge of the text; nil
	// where the text stands close enough to do without.
	Leader *geom.Segment
	// Crossed counts symbols and other leaders that this leader had to cross,
	// which happens only where the label could not be placed otherwise.
	Crossed int
	Cost    float64 // in steps of side preference; 0 is the first choice
	Problem string  // why Placed is false, in words; empty otherwise
	Clashes []Clash // what the text or leader would lie on
}

// Kind is what a Clash is with.
type Kind uint8

// Kinds of clash, and what Clash.Index then counts.
const (
	WithBox     Kind = iota // Obstacles.Boxes
	WithSegment             // Obstacles.Segments
	WithSymbol              // the symbol of labels[Index]
	WithText                // the placed text or leader of labels[Index]
)

// String returns the kind in words.
func (k Kind) String() string {
	return [...]string{"box", "line", "symbol", "label"}[min(k, WithText)]
}

// Clash is one thing in the way of a label that was not placed.
type Clash struct {
	Kind  Kind
	Index int // in the input; see Kind
}

// Result is the outcome for all labels.
type Result struct {
	Placements []Placement // one for each label, in the order of the input
	Placed     int         // labels that have a place
	WithLeader int         // of these, the ones at the end of a leader
}

// Unplaced returns the placements that need a person to look at them.
func (r Result) Unplaced() []Placement {
	var u []Placement
	for _, p := range r.Placements {
		if !p.Placed {
			u = append(u, p)
		}
	}
	return u
}
