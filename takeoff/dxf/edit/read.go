package edit

import (
	"fmt"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// outlineBuilder is the state of the pass.
type outlineBuilder struct {
	*Outline
	watch       map[tags.Handle]bool
	section     string
	sectionAt   int // start of the record that opened the section
	headerName  string
	rec         recordState
	afterType   bool // the next tag may name a section or table
	tableOpen   *tableSpan
	layoutClass bool
	inPolyline  bool
	done        bool
}

// ReadOutline reads the outline of a drawing. It fails where the tags are out of
// step, since then nothing is known for certain about what an edit would do.
func ReadOutline(src *tags.Source) (*Outline, error) { return watchOutline(src, nil) }

// watchOutline is ReadOutline that sets the handles in watch that some entity has.
func watchOutline(src *tags.Source, watch map[tags.Handle]bool) (*Outline, error) {
	b := &outlineBuilder{watch: watch, Outline: &Outline{
		src: src, tables: map[string]*tableSpan{},
		tablesEnd: -1, firstBody: -1, entitiesEnd: -1,
		layers: map[string]namedRecord{}, styles: map[string]namedRecord{}, appids: map[string]namedRecord{},
		blockRecords: map[tags.Handle]bool{}, usedLayers: map[string]bool{}, usedStyles: map[string]bool{},
	}}
	sc := src.Scanner(src.Body, len(src.Bytes))
	for !b.done {
		t, ok := sc.Next()
		if len(sc.Faults) > 0 {
			f := sc.Faults[0]
			return nil, b.damaged(f.Offset, "group codes and values are out of step")
		}
		if !ok {
			b.closeRecord(len(src.Bytes))
			break
		}
		if err := b.tag(t); err != nil {
			return nil, err
		}
	}
	if b.section != "" {
		return nil, b.damaged(len(src.Bytes), "section %s has no ENDSEC: the drawing is cut off", b.section)
	}
	rel, err := releaseOf(src.Version, b.markers)
	b.rel = rel
	return b.Outline, err
}

// damaged says what is wrong where, and what to do.
func (b *outlineBuilder) damaged(offset int, format string, args ...any) error {
	where := fmt.Sprintf("byte %d", offset)
	if line := b.src.Line(offset); line > 0 {
		where = fmt.Sprintf("line %d", line)
	}
	return fmt.Errorf("%s: %s; recover the drawing in a CAD program", where, fmt.Sprintf(format, args...))
}

func (b *outlineBuilder) tag(t tags.Tag) error {
	if t.Code == 0 {
		return b.startRecord(t)
	}
	if b.afterType {
		b.afterType = false
		if t.Code == 2 {
			b.nameOpened(t)
			return nil
		}
	}
	if b.section == "HEADER" {
		b.header(t)
		return nil
	}
	b.countHandle(t)
	if t.Code >= 1000 || b.rec.app != "" {
		b.extended(t)
		return nil
	}
	b.ordinary(t)
	return nil
}

func (b *outlineBuilder) startRecord(t tags.Tag) error {
	b.closeRecord(t.Start)
	typ := b.src.Word(t)
	b.rec = recordState{typ: typ, start: t.Start}
	b.afterType = typ == "SECTION" && b.section == "" || typ == "TABLE" && b.section == "TABLES"
	switch {
	case typ == "SECTION" && b.section != "" && b.section != "ENTITIES" && b.section != "OBJECTS" && b.section != "BLOCKS":
		return b.damaged(t.Start, "section %s has no ENDSEC", b.section)
	case typ == "SECTION" && b.section == "":
		b.section, b.sectionAt = "?", t.Start
	case typ == "TABLE" && b.section == "TABLES" && b.tableOpen != nil && b.tableOpen.endtab < 0:
		return b.damaged(t.Start, "table %s has no ENDTAB", b.tableOpen.name)
	case typ == "ENDSEC":
		return b.closeSection(t)
	case b.section == "HEADER" && typ != "ENDSEC":
		return b.damaged(t.Start, "%.20q inside the HEADER section", typ)
	case typ == "EOF" && b.section != "":
		return b.damaged(t.Start, "section %s has no ENDSEC before EOF", b.section)
	case typ == "EOF":
		b.done = true
	case typ == "ENDTAB" && b.section == "TABLES":
		if b.tableOpen == nil || b.tableOpen.endtab >= 0 {
			return b.damaged(t.Start, "ENDTAB without a table")
		}
		b.tableOpen.endtab = t.Start
		b.tableOpen.end = t.End
	}
	return nil
}

// nameOpened takes the name of a section or table that has just begun.
func (b *outlineBuilder) nameOpened(t tags.Tag) {
	name := b.src.Word(t)
	if b.rec.typ == "SECTION" {
		b.section = name
		if (name == "BLOCKS" || name == "ENTITIES") && b.firstBody < 0 {
			b.firstBody = b.sectionAt
		}
		return
	}
	b.tableOpen = &tableSpan{name: name, start: b.rec.start, endtab: -1}
	b.allTables = append(b.allTables, b.tableOpen)
	if b.tables[name] == nil {
		b.tables[name] = b.tableOpen
	}
}

func (b *outlineBuilder) closeSection(t tags.Tag) error {
	switch b.section {
	case "":
		return b.damaged(t.Start, "ENDSEC without a section")
	case "TABLES":
		if b.tableOpen != nil && b.tableOpen.endtab < 0 {
			return b.damaged(t.Start, "table %s has no ENDTAB", b.tableOpen.name)
		}
		if b.tablesEnd < 0 {
			b.tablesEnd, b.tablesSpan = t.Start, [2]int{b.sectionAt, t.End}
		}
	case "ENTITIES":
		b.entitiesFrom, b.entitiesEnd = b.sectionAt, t.Start
	}
	b.section, b.tableOpen = "", nil
	return nil
}

// header follows $NAME and its values.
func (b *outlineBuilder) header(t tags.Tag) {
	if t.Code == 9 {
		b.headerName = b.src.Word(t)
		return
	}
	switch t.Code {
	case 7:
		b.use(b.usedStyles, t)
	case 8, 1003:
		b.use(b.usedLayers, t)
	}
	switch b.headerName {
	case "$HANDSEED":
		b.seed, b.hasSeed = t, true
	case "$HANDLING":
		n, _ := b.src.Int(t)
		b.handling = n == 1
	}
	b.countHandle(t)
}

// countHandle keeps the highest handle. The code 5 of a DIMSTYLE is a block
// name and the $HANDSEED no handle of anything; a new handle must not equal a
// dangling reference either.
func (b *outlineBuilder) countHandle(t tags.Tag) {
	defined := t.Code == 5 && b.rec.typ != "DIMSTYLE" && b.section != "HEADER" || t.Code == 105
	if !defined && !tags.RefersByHandle(t.Code) {
		return
	}
	if h, ok := b.src.Handle(t); ok {
		b.max = max(b.max, h)
	}
}

func (b *outlineBuilder) ordinary(t tags.Tag) {
	r := &b.rec
	switch t.Code {
	case 102:
		r.inGroup = strings.HasPrefix(b.src.Word(t), "{")
	case 5, 105:
		if h, ok := b.src.Handle(t); ok && r.handle == 0 && (t.Code == 105) == (r.typ == "DIMSTYLE") {
			r.handle = tags.Handle(h)
		}
	case 330:
		if h, ok := b.src.Handle(t); ok && !r.inGroup {
			if r.owner == 0 {
				r.owner = tags.Handle(h)
			}
			if b.layoutClass && r.layoutOwner == 0 {
				r.layoutOwner = tags.Handle(h)
			}
		}
	case 100:
		b.markers = true
		b.layoutClass = r.typ == "LAYOUT" && b.src.Word(t) == "AcDbLayout"
	case 1:
		if !r.hasValue {
			r.value, r.hasValue = t, true
		}
		if b.layoutClass {
			r.layoutName = b.src.Word(t)
		}
	case 2:
		if !r.hasName {
			r.name, r.hasName = t, true
		}
	case 8:
		b.use(b.usedLayers, t)
	case 7:
		b.use(b.usedStyles, t)
	case 67:
		n, _ := b.src.Int(t)
		r.paper = n == 1
	default:
		if b.section == "TABLES" && r.typ == "LAYER" {
			r.lookOf(b.src, t)
		}
	}
}

// use notes a name that something refers to. The lookup makes no string.
func (b *outlineBuilder) use(names map[string]bool, t tags.Tag) {
	if raw := b.src.Raw(t); !names[string(raw)] {
		names[string(raw)] = true
	}
}

// extended reads extended data: ours, and the one that names a block record.
func (b *outlineBuilder) extended(t tags.Tag) {
	r := &b.rec
	if t.Code < 1000 { // extended data end a record, but a damaged file may go on
		r.app = ""
		r.closeMark(t.Start)
		b.ordinary(t)
		return
	}
	if t.Code == 1001 {
		r.app = b.src.Word(t)
		r.trueApp = strings.EqualFold(r.app, "ACDBDYNAMICBLOCKTRUENAME2")
		r.closeMark(t.Start)
		if strings.EqualFold(r.app, AppID) {
			r.startMark(t.Start)
		}
		return
	}
	if t.Code == 1003 {
		b.use(b.usedLayers, t)
	}
	if r.trueApp && t.Code == 1000 && strings.EqualFold(b.src.Word(t), "*MODEL_SPACE") {
		r.trueName = true
	}
	if r.mark != nil && r.mark.open {
		r.mark.take(b.src, t)
	}
}

// closeRecord files what was learned about a record that ends at end.
func (b *outlineBuilder) closeRecord(end int) {
	r := &b.rec
	b.followPolyline()
	inSpace := (b.section == "ENTITIES" || b.section == "BLOCKS") && r.typ != "SECTION"
	if _, watched := b.watch[r.handle]; watched && inSpace {
		b.watch[r.handle] = true
	}
	if r.mark != nil {
		b.fileMark(end)
	}
	switch b.section {
	case "TABLES":
		b.closeTableRecord(end)
	case "ENTITIES":
		b.entityHandles = b.entityHandles || r.handle != 0
		if b.firstOwner == 0 && !r.paper && r.mark == nil && r.typ != "VERTEX" && r.typ != "ATTRIB" && r.typ != "SEQEND" {
			b.firstOwner = r.owner
		}
	case "BLOCKS":
		b.entityHandles = b.entityHandles || r.handle != 0
	case "OBJECTS":
		if r.typ == "LAYOUT" && strings.EqualFold(r.layoutName, "Model") {
			b.layoutOwner = r.layoutOwner
		}
	}
	b.layoutClass = false
}

// followPolyline makes the vertices and the SEQEND of a polyline of ours ours,
// too: a CAD program that saves the drawing may drop their extended data.
func (b *outlineBuilder) followPolyline() {
	r := &b.rec
	switch {
	case r.typ == "POLYLINE":
		b.inPolyline = r.mark != nil
	case b.inPolyline && (r.typ == "VERTEX" || r.typ == "SEQEND"):
		if r.mark == nil {
			r.mark = &mark{kind: kindVertex}
		}
		b.inPolyline = r.typ == "VERTEX"
	default:
		b.inPolyline = false
	}
}

func (b *outlineBuilder) closeTableRecord(end int) {
	r := &b.rec
	if r.typ == "TABLE" && b.tableOpen != nil {
		b.tableOpen.handle = r.handle
		return
	}
	if b.tableOpen == nil || b.tableOpen.endtab >= 0 || r.typ != b.tableOpen.name {
		return
	}
	b.tableOpen.records++
	if b.tableOpen.recordOwner == 0 {
		b.tableOpen.recordOwner = r.owner
	}
	rec := namedRecord{start: r.start, end: end, handle: r.handle, table: b.tableOpen}
	key := ""
	if r.hasName {
		key = foldName(b.src.Text(r.name))
	}
	switch r.typ {
	case "LAYER":
		keepFirst(b.layers, key, rec)
		if key == "0" {
			b.layer0 = r.look
		}
	case "STYLE":
		keepFirst(b.styles, key, rec)
	case "APPID":
		keepFirst(b.appids, key, rec)
	case "BLOCK_RECORD":
		b.blockRecords[r.handle] = true
		if key == "*MODEL_SPACE" {
			b.modelSpace = r.handle
		} else if r.trueName && b.trueName == 0 {
			b.trueName = r.handle
		}
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

func keepFirst(m map[string]namedRecord, key string, rec namedRecord) {
	if _, ok := m[key]; !ok {
		m[key] = rec
	}
}
