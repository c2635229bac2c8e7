package dxf

import (
	"strings"
	"sync"

	"loopwright/takeoff/dxf/tags"
)

// Layer is an entry of the layer table.
type Layer struct {
	Name   string
	Frozen bool // 70 bit 1
	Off    bool // 62 negative
	Locked bool // 70 bit 4
}

// blockRecord is an entry of the block record table (R13 and later).
type blockRecord struct {
	name   string
	handle tags.Handle
	repOf  tags.Handle // block record that an anonymous block stands for, 0 if it does not say
}

// Block is a block definition.
type Block struct {
	name   string
	handle tags.Handle
	base   Vec3
	flags  int    // 70
	xrefTo string // path of the drawing that an external reference stands for
	start  int    // offset of its BLOCK tag

	record      *blockRecord
	first, last int
	effective   string
	traced      bool // effective is the block's own name or that of its source
	contentOnce sync.Once
	inserts     []rawInsert // in order
	constants   []rawAttrib // ATTDEFs whose value is the same for every insert
	textOnce    sync.Once
	texts       []rawText
	shapeOnce   sync.Once
	shapes      []rawShape // flattened
	node        blockNode
}

// Xref reports whether the block stands for another drawing that is not part of
// this file.
func (b *Block) Xref() bool { return b.flags&(4|8) != 0 }

// modelSpace reports whether the block is the layout of model space.
func (b *Block) modelSpace() bool { return isLayout(b.name, "MODEL_SPACE") }

// paperSpace reports whether the block is a paper space layout.
func (b *Block) paperSpace() bool { return isLayout(b.name, "PAPER_SPACE") }

func isLayout(name, want string) bool {
	if len(name) <= len(want) || name[0] != '*' && name[0] != '$' {
		return false
	}
	return strings.HasPrefix(strings.ToUpper(name[1:]), want)
}

// maxDepth bounds how deep blocks may be nested; plans stay below ten.
const maxDepth = 100

// blockNode is a block in the graph of blocks.
type blockNode struct {
	state               uint8 // 0 new, 1 being counted, 2 done
	ownTexts, ownShapes int
	// what one insert of the block shows, itself not counted
	inserts, texts, shapes float64
}

// layerRef is the layer of an entity: its name as stored and its table entry.
type layerRef struct {
	name string
	def  *Layer // nil if the table does not list it
	zero bool   // layer 0, which takes the place of the insert's layer inside blocks
}

// rawInsert is an INSERT as stored, in the coordinates of the space or block it
// stands in.
type rawInsert struct {
	name       string
	block      *Block // nil if not defined
	layer      *layerRef
	style      Style
	pos, scale Vec3
	extrusion  Vec3
	rotation   float64
	cols, rows int
	dcol, drow float64
	dict       tags.Handle // extension dictionary
	handle     tags.Handle
	offset     int
	attribs    []rawAttrib
	clip       []Vec3 // boundary in block coordinates, nil if not clipped
	effective  string
	traced     bool // effective is not an anonymous name
	invisible  bool
	paper      bool
	bad        bool // its tags are damaged or a number could not be read
	broken     bool // closes a cycle of blocks
}

func (r *rawInsert) times() float64 { return float64(r.cols) * float64(r.rows) }

// rawAttrib is an ATTRIB or ATTDEF as stored.
type rawAttrib struct {
	tag, value string
	pos        Vec3 // in world or block coordinates, object coordinates resolved
	height     float64
	layer      *layerRef
	handle     tags.Handle
	offset     int
	invisible  bool
	constant   bool
}

// rawText is a text as stored, in the coordinates of its space or block.
type rawText struct {
	text      string
	layer     *layerRef
	style     Style
	pos       Vec3
	dx, dy    Vec3 // unit vectors along and across the baseline
	height    float64
	width     float64
	lines     int
	feed      float64 // see Text.Feed
	align     Align
	handle    tags.Handle
	offset    int
	rec       int
	invisible bool
	paper     bool
	bad       bool
}

// Align says where in the text its Pos is.
type Align struct {
	H HAlign
	V VAlign
}

// HAlign is the horizontal part of an alignment.
type HAlign uint8

// VAlign is the vertical part of an alignment.
type VAlign uint8

// The horizontal alignments; the first three of a text of several lines, too.
const (
	Left HAlign = iota
	Center
	Right
	Aligned // between two points, height scaled; Pos is the first
	Fit     // between two points, width scaled; Pos is the first
)

// The vertical alignments. Baseline is of texts of one line only.
const (
	Baseline VAlign = iota
	Bottom
	Middle
	Top
)

// rawShape is a shape as stored, in the coordinates of its space or block. A
// hatch makes one for each loop.
type rawShape struct {
	kind      ShapeKind
	points    []Vec3
	closed    bool
	layer     *layerRef
	style     Style
	handle    tags.Handle
	offset    int
	invisible bool
	paper     bool
	bad       bool // its tags are damaged, or a number is: it has no points
}

// damaged is a shape that cannot be drawn and is told instead.
func (r rawShape) damaged() []rawShape {
	r.points, r.bad = nil, true
	return []rawShape{r}
}

// flag reads the flags that every entity may have.
func (r *rawShape) flag(code, v int) {
	switch code {
	case 60:
		r.invisible = v&1 != 0
	case 67:
		r.paper = v&1 != 0
	}
}

// finish drops shapes without points, and marks those with points that are none.
func finish(r rawShape) []rawShape {
	if r.bad {
		return r.damaged()
	}
	if len(r.points) == 0 {
		return nil
	}
	for _, p := range r.points {
		if !p.Drawable() {
			return r.damaged()
		}
	}
	if last := len(r.points) - 1; r.closed && last > 0 && r.points[last] == r.points[0] {
		r.points = r.points[:last]
	}
	return []rawShape{r}
}

// ShapeKind is the kind of entity that a shape was made from.
type ShapeKind uint8

const (
	LineShape     ShapeKind = iota // LINE
	PolylineShape                  // LWPOLYLINE, POLYLINE (2D and 3D; meshes are left out)
	ArcShape                       // ARC
	CircleShape                    // CIRCLE
	EllipseShape                   // ELLIPSE
	SplineShape                    // SPLINE
	HatchShape                     // one boundary loop of a HATCH
	SolidShape                     // SOLID, TRACE
	FaceShape                      // 3DFACE
)

func (k ShapeKind) String() string {
	return [...]string{"line", "polyline", "arc", "circle", "ellipse", "spline", "hatch", "solid", "face"}[k]
}

// shapeKindOf says which records make shapes.
func shapeKindOf(k tags.Kind) (ShapeKind, bool) {
	switch k {
	case tags.Line:
		return LineShape, true
	case tags.LWPolyline, tags.Polyline:
		return PolylineShape, true
	case tags.Arc:
		return ArcShape, true
	case tags.Circle:
		return CircleShape, true
	case tags.Ellipse:
		return EllipseShape, true
	case tags.Spline:
		return SplineShape, true
	case tags.Hatch:
		return HatchShape, true
	case tags.Solid, tags.Trace:
		return SolidShape, true
	case tags.Face:
		return FaceShape, true
	}
	return 0, false
}
