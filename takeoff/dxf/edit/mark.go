package edit

import (
	"strings"

	"loopwright/takeoff/dxf/tags"
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

// removable reports whether a record is of a kind that we write, so that it can
// go as a whole. Anything else that carries our extended data is not ours.
func (m mark) removable() bool {
	switch m.section {
	case "TABLES":
		return m.table != nil && (m.typ == "LAYER" || m.typ == "STYLE") && m.typ == m.table.name
	case "ENTITIES", "BLOCKS":
		return drawable(m.typ)
	}
	return false
}

// drawable tells the types of the entities that we write.
func drawable(typ string) bool {
	switch typ {
	case "TEXT", "LINE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND", "CIRCLE", "SOLID":
		return true
	}
	return false
}

// dropXData removes our extended data from a record.
func (m mark) dropXData() []splice {
	var cuts []splice
	for _, x := range m.xdata {
		cuts = append(cuts, splice{start: x[0], end: x[1]})
	}
	return cuts
}
