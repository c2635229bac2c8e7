package dxf

import "bytes"

// kind is the type of a record as the index keeps it: one byte for each type
// that the package looks into, kindOther for the rest.
type kind uint8

const (
	kOther kind = iota
	kSection
	kEndsec
	kTable
	kEndtab
	kBlock
	kEndblk
	kEOF
	kInsert
	kAttrib
	kAttdef
	kText
	kMText
	kLine
	kLWPolyline
	kPolyline
	kVertex
	kArc
	kCircle
	kEllipse
	kSpline
	kHatch
	kSolid
	kTrace
	kFace
	kLayer
	kBlockRecord
	kDictionary
	kFilter
	kRepData
	kDimstyle
)

// kindOf classifies the type of a record.
func kindOf(w []byte) kind {
	if k := kindExact(w); k != kOther {
		return k
	}
	// Structure words may be padded or in small letters; entity names of other
	// kinds, by far the most frequent way here, are neither.
	for _, c := range w {
		if c <= ' ' || c >= 'a' && c <= 'z' {
			return kindExact(bytes.ToUpper(bytes.TrimSpace(w)))
		}
	}
	return kOther
}

func kindExact(w []byte) kind {
	switch string(w) {
	case "SECTION":
		return kSection
	case "ENDSEC":
		return kEndsec
	case "TABLE":
		return kTable
	case "ENDTAB":
		return kEndtab
	case "BLOCK":
		return kBlock
	case "ENDBLK":
		return kEndblk
	case "EOF":
		return kEOF
	case "INSERT":
		return kInsert
	case "ATTRIB":
		return kAttrib
	case "ATTDEF":
		return kAttdef
	case "TEXT":
		return kText
	case "MTEXT":
		return kMText
	case "LINE":
		return kLine
	case "LWPOLYLINE":
		return kLWPolyline
	case "POLYLINE":
		return kPolyline
	case "VERTEX":
		return kVertex
	case "ARC":
		return kArc
	case "CIRCLE":
		return kCircle
	case "ELLIPSE":
		return kEllipse
	case "SPLINE":
		return kSpline
	case "HATCH":
		return kHatch
	case "SOLID":
		return kSolid
	case "TRACE":
		return kTrace
	case "3DFACE":
		return kFace
	case "LAYER":
		return kLayer
	case "BLOCK_RECORD":
		return kBlockRecord
	case "DICTIONARY", "ACDBDICTIONARYWDFLT":
		return kDictionary
	case "SPATIAL_FILTER":
		return kFilter
	case "ACDB_BLOCKREPRESENTATION_DATA":
		return kRepData
	case "DIMSTYLE":
		return kDimstyle
	}
	return kOther
}

// structural tells whether records of this kind carry no handle of their own in
// group 5 (in HEADER that group is a value).
func (k kind) structural() bool { return k == kSection || k == kEndsec || k == kEndtab || k == kEOF }
