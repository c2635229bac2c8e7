package dxf

import (
	"bytes"
	"fmt"

	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/where"
)

// Open reads a drawing from a file, which is never written to. Call Close when
// nothing points into the drawing any more.
func Open(path string) (*Drawing, error) {
	src, err := tags.Open(path)
	if err != nil {
		return nil, where.In(path, err)
	}
	d, err := parse(src)
	if err != nil {
		_ = src.Close() // the drawing is refused, and that is what to tell
		return nil, err
	}
	return d, nil
}

// Parse reads a drawing from bytes, which must not change while it is in use.
// The name is for messages. An error means that the bytes are not a drawing at all;
// damage inside one becomes findings.
func Parse(name string, b []byte) (*Drawing, error) { return parse(tags.NewSource(name, b)) }

func parse(s *tags.Source) (*Drawing, error) {
	d := &Drawing{Source: s, idx: tags.ReadIndex(s)}
	for _, f := range d.idx.Faults {
		if f.Kind == tags.FaultLong {
			return nil, where.In(s.Name, where.Line(s.Line(f.Offset), fmt.Errorf("%s: %s has a value longer than %d MiB: the file is damaged or not DXF",
				s.Name, s.Where(f.Offset), tags.MaxValue>>20)))
		}
	}
	walkStructure(d)
	if len(d.sections) == 0 && d.eof == d.idx.Len() {
		return nil, where.In(s.Name, fmt.Errorf("%s: not a DXF drawing: %s", s.Name, instead(s.Bytes)))
	}
	faultFindings(d)
	readHeader(d)
	readTables(d)
	readBlocks(d)
	return d, nil
}

// instead says what bytes that are not a DXF drawing seem to be, and what to do.
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
	return "it has no sections and no end-of-file record"
}
