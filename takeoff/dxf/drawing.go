package dxf

import (
	"strings"
	"sync"

	"loopwright/takeoff/dxf/tags"
)

// Handle is a handle of a record; 0 means that it has none.
type Handle = tags.Handle

// Style is how an entity is drawn, as far as it says so itself.
type Style struct {
	Linetype string // "" for that of its layer or block
	Color    int    // index 1 to 255, a grey true colour as Grey; 0 for that of its layer or block
}

// Grey is the colour index that greys are told by. DXF reference, group 62: 8, 9 and 250 to 254 are greys.
const Grey = 8

// Gray reports whether the colour is a grey.
func (s Style) Gray() bool {
	return s.Color == Grey || s.Color == 9 || s.Color >= 250 && s.Color <= 254
}

// section is one section of the file.
type section struct {
	name        string
	start       int // of its SECTION tag
	body        int // after the tags that belong to SECTION itself (2 and, in HEADER, the variables)
	closed      bool
	first, last int // records [first, last) between SECTION and ENDSEC
}

// table is one symbol table of the TABLES section.
type table struct {
	name        string
	handle      tags.Handle
	start       int // of its TABLE tag
	first, last int
}

// Drawing is a drawing that has been read: its source and an index of it. It is
// safe for use by several goroutines, except Close.
type Drawing struct {
	*tags.Source
	sections     []section
	tables       []table
	header       map[string][]tags.Tag // variables by name, "$" included
	Layers       []Layer
	blocks       []*Block // in file order
	blockRecords []blockRecord
	// Findings of reading itself; what Inserts, Texts and Shapes find comes with
	// their results.
	Findings []Finding

	idx        tags.Index
	eof        int // index of the EOF record, or idx.len()
	layerByKey map[string]*Layer
	blockByKey map[string]*Block
	recByKey   map[string]*blockRecord
	recByHand  map[tags.Handle]*blockRecord
	spans      []span // records of model and paper space outside BLOCKS, in file order
	objectsMu  sync.Once
	objects    map[tags.Handle]int // dictionaries, filters and the like by handle
	planOnce   sync.Once
	plan       plan
	extentMu   sync.Mutex
	extents    map[*Block]Extent
}

type span struct {
	first, last int
	paper       bool
}

// unit is a run of records that one goroutine expands.
type unit struct {
	span
	tops    []top
	inserts float64 // expanded, at most
	texts   float64
	shapes  float64
}

// top is an INSERT of model or paper space, as far as counting needs it.
type top struct {
	rec   int32
	block *Block
	times float64
	paper bool
}

// plan is the work of expanding a drawing, counted before anything is expanded.
type plan struct {
	units    []unit
	findings []Finding // cycles and depth
}

func (d *Drawing) add(code string, offset int, h tags.Handle, format string, args ...any) {
	d.Findings = append(d.Findings, newFinding(d.Source, code, offset, h, format, args...))
}

// tags returns a scanner over record i.
func (d *Drawing) tags(i int) *tags.Scanner { return d.Scanner(d.idx.Start(i), d.idx.Stop(i)) }

// tagIn returns the first tag of record i with the given code.
func (d *Drawing) tagIn(i, code int) (tags.Tag, bool) {
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok || t.Code == code {
			return t, ok
		}
	}
}

// handleOf returns the handle of record i: group 5, or 105 in DIMSTYLE, where 5
// is a name. It stands before the first subclass marker; later groups 5 (in
// HEADER, in the data of other programs) are not handles.
func (d *Drawing) handleOf(i int) tags.Handle {
	k := d.idx.Kind(i)
	if k.Structural() {
		return 0
	}
	own := 5
	if k == tags.DimStyle {
		own = 105
	}
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var t tags.Tag
	for pos < end {
		if _, ok := d.ReadTag(pos, end, &t); !ok || t.Code == 100 || t.Code >= 1000 {
			return 0
		}
		if t.Code == own {
			h, _ := d.Source.Handle(t)
			return tags.Handle(h)
		}
		pos = t.End
	}
	return 0
}

// section returns the first section of a name.
func (d *Drawing) section(name string) (section, bool) {
	for _, s := range d.sections {
		if s.name == name {
			return s, true
		}
	}
	return section{}, false
}

// Layer finds an entry of the layer table; names are compared without regard to
// case.
func (d *Drawing) Layer(name string) (*Layer, bool) {
	l := d.layerByKey[key(name)]
	return l, l != nil
}

// key is the form of a name under which tables are searched.
func key(name string) string { return strings.ToUpper(name) }

// Block finds a block definition; names are compared without regard to case.
func (d *Drawing) Block(name string) (*Block, bool) {
	b := d.blockByKey[key(name)]
	return b, b != nil
}
