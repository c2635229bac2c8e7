package edit

import "loopwright/takeoff/dxf/tags"

// Addition is what is to be put into a drawing: layers and a text style of our
// own and entities in model space, all at height 0.
type Addition struct {
	Layers   []Layer  // at least those that Entities name; none: one layer LOOPWRIGHT
	Entities []Entity // in drawing order, the last on top
	Attribs  []AttribChange
}

// Layer is a layer of ours, on, thawed and plotting.
type Layer struct {
	Name       string // up to 31 letters, digits, $ - _; up to R14 it is written in capitals
	Color      int    // 1 to 255
	Lineweight int    // hundredths of a millimetre as in group code 370, 0 for the default; from R2000 on
}

// Our text style: a font that every CAD program has.
const (
	styleName = "LOOPWRIGHT"
	styleFont = "txt"
)

// Result is a drawing with an addition, and how it came out.
type Result struct {
	Bytes   []byte
	Layers  map[string]string // layer as asked for -> as written; they differ where somebody else had the name
	Attribs []AttribChanged
}

// AttribChange sets the value of an attribute that an INSERT in ENTITIES has.
type AttribChange struct {
	InsertHandle tags.Handle
	Tag          string
	Value        string // plain text
}

// AttribChanged is an attribute that was changed.
type AttribChanged struct {
	AttribChange
	Old string // as stored before, decoded
}

// devices lists the devices that entities belong to, as not yet seen.
func (a Addition) devices() map[tags.Handle]bool {
	m := map[tags.Handle]bool{}
	for _, e := range a.Entities {
		if e != nil && e.base().Device != 0 {
			m[e.base().Device] = false
		}
	}
	return m
}

// editor turns one addition into splices.
type editor struct {
	o       *Outline
	a       Addition
	kept    []mark // layers and text styles of ours that the drawing uses
	handles bool
	owner   tags.Handle // block record of model space, 0 up to R12
	next    tags.Handle // the next free handle
	layers  []editLayer
	style   editStyle
	changes []attribSpot
	made    []string // tables that the drawing lacks
	out     *Result
}

// editLayer is one layer of the addition: a new record, or one that an earlier
// addition left behind because the drawing came to use it.
type editLayer struct {
	Layer
	as      string
	handle  tags.Handle
	adopted *namedRecord
}

type editStyle struct {
	needed  bool
	as      string
	handle  tags.Handle
	adopted *namedRecord
}

// attribSpot is where one change goes.
type attribSpot struct {
	change AttribChange
	handle tags.Handle // of the ATTRIB
	value  tags.Tag
	end    int // of the record
}
