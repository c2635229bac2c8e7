package dxf

import "bytes"

// instead tells what bytes that are no DXF drawing seem to be, and what to do.
// The beginnings are those that the formats' own descriptions give.
func instead(b []byte) string {
	begins := func(s string) bool { return bytes.HasPrefix(b, []byte(s)) }
	switch {
	case len(bytes.TrimSpace(b)) == 0:
		return "the file is empty"
	case begins("AC10") || begins("AC1.") || begins("AC2."):
		return "it is a DWG drawing; open it in a CAD program and save it as DXF"
	case begins("%PDF"):
		return "it is a PDF; ask for the CAD drawing and save that as DXF"
	case begins("PK\x03\x04"):
		return "it is a zip archive; unpack it first"
	case begins("\xff\xfe") || begins("\xfe\xff"):
		return "it is text in UTF-16; save it as DXF from a CAD program"
	}
	return "it has no section and no end-of-file record"
}
