package tags

import "bytes"

// Kind is the type of a record as the index keeps it: one byte for each type
// that the package looks into, other for the rest.
type Kind uint8

const (
	other Kind = iota
	Section
	EndSec
	Table
	EndTab
	Block
	EndBlk
	EOF
	Insert
	TableEntity
	Image
	Attrib
	Attdef
	Text
	MText
	Line
	LWPolyline
	Polyline
	Vertex
	Arc
	Circle
	Ellipse
	Spline
	Hatch
	Solid
	Trace
	Face
	Layer
	BlockRecord
	Dictionary
	SpatialFilter
	RepData
	DimStyle
)

// kindOf classifies the type of a record.
func kindOf(w []byte) Kind {
	if k := kindExact(w); k != other {
		return k
	}
	// Structure words may be padded or in small letters; entity names of other
	// kinds, by far the most frequent way here, are neither.
	for _, c := range w {
		if c <= ' ' || c >= 'a' && c <= 'z' {
			return kindExact(bytes.ToUpper(bytes.TrimSpace(w)))
		}
	}
	return other
}

func kindExact(w []byte) Kind {
	switch string(w) {
	case "SECTION":
		return Section
	case "ENDSEC":
		return EndSec
	case "TABLE":
		return Table
	case "ENDTAB":
		return EndTab
	case "BLOCK":
		return Block
	case "ENDBLK":
		return EndBlk
	case "EOF":
		return EOF
	case "INSERT":
		return Insert
	case "ACAD_TABLE":
		return TableEntity
	case "IMAGE":
		return Image
	case "ATTRIB":
		return Attrib
	case "ATTDEF":
		return Attdef
	case "TEXT":
		return Text
	case "MTEXT":
		return MText
	case "LINE":
		return Line
	case "LWPOLYLINE":
		return LWPolyline
	case "POLYLINE":
		return Polyline
	case "VERTEX":
		return Vertex
	case "ARC":
		return Arc
	case "CIRCLE":
		return Circle
	case "ELLIPSE":
		return Ellipse
	case "SPLINE":
		return Spline
	case "HATCH":
		return Hatch
	case "SOLID":
		return Solid
	case "TRACE":
		return Trace
	case "3DFACE":
		return Face
	case "LAYER":
		return Layer
	case "BLOCK_RECORD":
		return BlockRecord
	case "DICTIONARY", "ACDBDICTIONARYWDFLT":
		return Dictionary
	case "SPATIAL_FILTER":
		return SpatialFilter
	case "ACDB_BLOCKREPRESENTATION_DATA":
		return RepData
	case "DIMSTYLE":
		return DimStyle
	}
	return other
}

// Structural reports whether records of this kind carry no handle of their own in
// group 5 (in HEADER that group is a value).
func (k Kind) Structural() bool { return k == Section || k == EndSec || k == EndTab || k == EOF }
