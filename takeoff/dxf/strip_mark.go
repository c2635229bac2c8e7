package dxf

import (
	"loopwright/takeoff/dxf/tags"
	"strings"
)

// AppID is the application name under which extended data of ours stand.
const AppID = "LOOPWRIGHT"

// Kinds of our own records that are not entities of a caller.
const (
	kindLayer  = "layer"
	kindStyle  = "style"
	kindVertex = "vertex"
	kindSeqend = "seqend"
	kindAttrib = "attrib" // an ATTRIB of somebody else's whose value we changed
)

// Notes in our extended data, each as prefix and value.
const (
	noteSeed   = "HANDSEED=" // the text that $HANDSEED had before
	noteRaised = "RAISED="   // the text that we put there
	noteMade   = "MADE="     // a table, or TABLES, that the drawing lacked
	noteWas    = "WAS="      // the value of an ATTRIB before
)

// mark is a record that carries our extended data.
type mark struct {
	section string      // TABLES, BLOCKS, ENTITIES, ...
	typ     string      // TEXT, LAYER, ...
	kind    string      // as given when it was written
	name    string      // of a table record
	handle  tags.Handle // that the record has now

	start, end int      // of the record
	xdata      [][2]int // spans of our extended data; none in a vertex that lost them
	open       bool     // the last of these spans is still being read
	hasValue   bool
	value      tags.Tag // group code 1
	notes      []string
	table      *tableSpan
}

// take reads one tag of our extended data. The handle that a record was written
// with stands there too (1005): a copy made in a CAD program keeps it and gets a
// handle of its own.
func (m *mark) take(src *tags.Source, t tags.Tag) {
	if t.Code != 1000 {
		return
	}
	if m.kind == "" {
		m.kind = src.Text(t)
	} else {
		m.notes = append(m.notes, string(src.Raw(t)))
	}
}

// note returns the value of the first note with a prefix.
func (m *mark) note(prefix string) (string, bool) {
	for _, n := range m.notes {
		if v, ok := strings.CutPrefix(n, prefix); ok {
			return v, true
		}
	}
	return "", false
}

// startMark begins a span of our extended data.
func (r *recordState) startMark(at int) {
	if r.mark == nil {
		r.mark = &mark{}
	}
	r.mark.xdata = append(r.mark.xdata, [2]int{at, at})
	r.mark.open = true
}

// closeMark ends our extended data where other data begin.
func (r *recordState) closeMark(at int) {
	if r.mark != nil && r.mark.open {
		r.mark.xdata[len(r.mark.xdata)-1][1] = at
		r.mark.open = false
	}
}

// fileMark completes the mark of the record that ends at end.
func (b *outlineBuilder) fileMark(end int) {
	r := &b.rec
	m := r.mark
	m.section, m.typ, m.handle, m.start, m.end = b.section, r.typ, r.handle, r.start, end
	r.closeMark(end)
	if r.hasName {
		m.name = b.src.Text(r.name)
	}
	m.value, m.hasValue = r.value, r.hasValue
	if b.section == "TABLES" {
		m.table = b.tableOpen
	}
	b.marks = append(b.marks, *m)
}
