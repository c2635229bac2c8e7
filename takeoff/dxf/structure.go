package dxf

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// walkStructure finds sections and tables.
func walkStructure(d *Drawing) {
	x := &d.idx
	open := false
	loose := 0 // records outside sections since the last one
	d.eof = x.Len()
	for i := 0; i < x.Len(); i++ {
		k := x.Kind(i)
		if k == tags.Section || k == tags.EndSec || k == tags.EOF {
			looseRecords(d, i, loose)
		}
		switch k {
		case tags.Section:
			if open {
				closeSection(d, i, false)
			}
			open = true
			name := ""
			if t, ok := d.tagIn(i, 2); ok {
				name = strings.ToUpper(strings.TrimSpace(d.Text(t)))
			}
			d.sections = append(d.sections, section{name: name, start: x.Start(i), body: x.Stop(i), first: i + 1})
		case tags.EndSec:
			switch {
			case open:
				closeSection(d, i, true)
				open = false
			case loose == 0:
				d.add(codeStray, x.Start(i), 0, "ENDSEC without a section; nothing is lost")
			}
		case tags.EOF:
			d.eof = i
			i = x.Len()
		default:
			if !open {
				loose++
			}
			continue
		}
		loose = 0
	}
	looseRecords(d, x.Len(), loose)
	if open {
		closeSection(d, d.eof, false)
	}
	structureFindings(d)
	for _, s := range d.sections {
		if s.name == "ENTITIES" {
			d.spans = append(d.spans, span{s.first, s.last, false})
		}
	}
}

// looseRecords reports the n records before record i, which stand in no section.
func looseRecords(d *Drawing, i, n int) {
	if n > 0 {
		what := "1 record outside any section is not read"
		if n > 1 {
			what = fmt.Sprintf("%d records outside any section are not read", n)
		}
		d.add(codeSection, d.idx.Start(i-n), 0, "%s", what)
	}
}

func closeSection(d *Drawing, i int, closed bool) {
	s := &d.sections[len(d.sections)-1]
	s.last, s.closed = i, closed
}

// structureFindings reports sections that are not whole, and an end that comes
// too early or too late.
func structureFindings(d *Drawing) {
	cut := d.eof == d.idx.Len()
	for i, s := range d.sections {
		if !s.closed && !(cut && i == len(d.sections)-1) {
			d.add(codeSection, s.start, 0, "section %s has no ENDSEC: part of it may be missing", s.name)
		}
		if s.name == "" && (s.closed || !cut) {
			d.add(codeSection, s.start, 0, "a section has no name: its records are not read")
		}
	}
	_, drawn := d.section("ENTITIES")
	switch {
	case cut:
		checkCut(d, drawn)
		return
	case !drawn:
		d.add(codeSection, -1, 0, "there is no ENTITIES section, where the plan is drawn: the file is damaged or not a plan")
	}
	checkTail(d)
}

// checkCut reports on a file without EOF. Where its entities are complete,
// nothing that is counted is missing; otherwise it was cut off.
func checkCut(d *Drawing, drawn bool) {
	last := max(0, len(d.Bytes)-1)
	n := len(d.sections)
	switch {
	case n > 0 && !d.sections[n-1].closed:
		s := d.sections[n-1]
		d.add(codeTruncated, last, 0, "the drawing is cut off inside %s, which begins at %s: the rest is missing; get the file again",
			strings.TrimSpace("section "+s.name), d.Where(s.start))
	case !drawn:
		d.add(codeTruncated, last, 0, "the drawing is cut off before its ENTITIES section, where the plan is drawn: get the file again")
	default:
		d.add(codeNoEOF, last, 0, "the file does not end with EOF, although its entities are complete: check that the copy is complete")
	}
}

// checkTail reports what follows EOF.
func checkTail(d *Drawing) {
	at := d.idx.Start(d.eof)
	var t tags.Tag
	d.ReadTag(at, len(d.Bytes), &t)
	tail := d.Bytes[min(max(t.End, at), len(d.Bytes)):]
	if n := len(bytes.Trim(tail, " \t\r\n\x00\x1a")); n > 0 {
		d.add(codeAfterEOF, t.End, 0, "%d bytes after EOF are ignored", n)
	}
}

// maxListed bounds how many findings of one code are listed one by one.
const maxListed = 50

func faultFindings(d *Drawing) {
	stop := len(d.Bytes)
	if d.eof < d.idx.Len() {
		stop = d.idx.Start(d.eof)
	}
	n := 0
	for _, f := range d.idx.Faults {
		if f.Offset >= stop {
			continue
		}
		if n++; n > maxListed {
			continue
		}
		switch f.Kind {
		case tags.FaultTruncated:
			if slices.ContainsFunc(d.Findings, func(f Finding) bool { return f.Code == codeTruncated }) {
				continue // said already
			}
			d.add(codeTruncated, f.Offset, 0, "%s: the file ends inside a tag", d.Where(f.Offset))
		default:
			d.add(codeOutOfStep, f.Offset, 0, "%s: expected a group code, found %q; reading resumes at %s",
				d.Where(f.Offset), d.Excerpt(f.Offset), d.Where(f.Resume))
		}
	}
	if n > maxListed {
		d.add(codeOutOfStep, -1, 0, "group codes and values are out of step in %d more places", n-maxListed)
	}
}
