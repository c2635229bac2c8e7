package dxf

import "strings"

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

// Mark is a record that carries our extended data.
type Mark struct {
	Section string // TABLES, BLOCKS, ENTITIES, ...
	Type    string // TEXT, LAYER, ...
	Kind    string // as given when it was written
	Layer   string // of an entity
	Name    string // of a table record; tag of an ATTRIB
	Text    string // of a TEXT, MTEXT or ATTRIB, as stored
	At      XY     // group codes 10 and 20
	Handle  Handle // that the record has now
	Own     Handle // that it was written with
	Device  Handle // the INSERT that it belongs to

	start, end int      // of the record
	xdata      [][2]int // spans of our extended data; none in a vertex that lost them
	open       bool     // the last of these spans is still being read
	hasValue   bool
	value      Tag
	notes      []string
	table      *tableSpan
}

// Copy reports whether the record was copied in a CAD program: extended data
// go along with a copy, the handle does not. Drawings without handles (some
// R12) cannot tell.
func (m Mark) Copy() bool { return m.Own != 0 && m.Own != m.Handle }

// take reads one tag of our extended data.
func (m *Mark) take(src *Source, t Tag) {
	switch t.Code {
	case 1000:
		if m.Kind == "" {
			m.Kind = src.Text(t)
		} else {
			m.notes = append(m.notes, string(src.Raw(t)))
		}
	case 1005:
		h, _ := src.Handle(t)
		if m.Own == 0 {
			m.Own = Handle(h)
		} else if m.Device == 0 {
			m.Device = Handle(h)
		}
	}
}

// note returns the value of the first note with a prefix.
func (m *Mark) note(prefix string) (string, bool) {
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
		r.mark = &Mark{}
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
	m.Section, m.Type, m.Handle, m.start, m.end = b.section, r.typ, r.handle, r.start, end
	r.closeMark(end)
	if r.layer.End > 0 {
		m.Layer = b.src.Text(r.layer)
	}
	if r.hasName {
		m.Name = b.src.Text(r.name)
	}
	if r.hasValue {
		m.Text, m.value, m.hasValue = b.src.Text(r.value), r.value, true
	}
	if r.at[0].End > 0 && r.at[1].End > 0 {
		m.At.X, _ = b.src.Float(r.at[0])
		m.At.Y, _ = b.src.Float(r.at[1])
	}
	if b.section == "TABLES" {
		m.table = b.tableOpen
	}
	b.marks = append(b.marks, *m)
}

// Ours lists what of a drawing is ours, in file order: layers, text styles,
// entities, and attributes whose value we changed. Drawings that are too
// damaged to be edited are an error.
func Ours(d *Drawing) ([]Mark, error) {
	o, err := readOutline(&d.Source, nil)
	if err != nil {
		return nil, err
	}
	return o.marks, nil
}
