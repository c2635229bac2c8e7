package dxf

import (
	"fmt"
	"loopwright/takeoff/dxf/tags"
	"strings"
)

// outline is what an edit must know about a drawing, gathered in one pass over
// its tags. It reads tables and sections leniently and keeps offsets only.
type outline struct {
	src *tags.Source
	rel release

	seed          tags.Tag // value of $HANDSEED
	hasSeed       bool
	handling      bool // $HANDLING says 1
	entityHandles bool
	markers       bool

	tables       map[string]*tableSpan // by name, the first of each
	tablesEnd    int                   // the ENDSEC of TABLES, -1 without that section
	firstBody    int                   // where BLOCKS or ENTITIES begin, -1 if neither is there
	entitiesFrom int                   // the last SECTION ENTITIES
	entitiesEnd  int                   // the ENDSEC of the last ENTITIES, -1 without that section
	tablesSpan   [2]int                // from SECTION to ENDSEC of TABLES
	allTables    []*tableSpan

	max    uint64 // highest handle, defined or referred to
	layers map[string]namedRecord
	styles map[string]namedRecord
	appids map[string]namedRecord
	layer0 layerLook

	usedLayers map[string]bool // names as stored that entities and the like refer to
	usedStyles map[string]bool

	modelSpace   tags.Handle // block record named *Model_Space
	trueName     tags.Handle // block record whose extended data say so
	firstOwner   tags.Handle // owner of the first entity outside paper space
	layoutOwner  tags.Handle // block record of the layout "Model"
	blockRecords map[tags.Handle]bool

	marks []mark // records with our extended data, in file order
}

// tableSpan is one TABLE: where it begins, where new records go, its handle.
type tableSpan struct {
	name               string
	start, endtab, end int // endtab is -1 until ENDTAB is met
	handle             tags.Handle
	recordOwner        tags.Handle // what the first record in it says
	records            int
}

// namedRecord is a record of a table.
type namedRecord struct {
	start, end int
	handle     tags.Handle
	table      *tableSpan
}

// layerLook is what a new layer copies from layer 0, as stored.
type layerLook struct {
	linetype, plot, material, visual             string
	hasLinetype, hasPlot, hasMaterial, hasVisual bool
}

// outlineBuilder is the state of the pass.
type outlineBuilder struct {
	*outline
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

// recordState is what is known of the record being read.
type recordState struct {
	typ         string
	start       int
	handle      tags.Handle
	owner       tags.Handle
	name        tags.Tag // group code 2, decoded when it is needed
	hasName     bool
	inGroup     bool // inside 102 {...}
	paper       bool
	app         string // application of the extended data being read
	layoutName  string
	layoutOwner tags.Handle
	look        layerLook
	trueName    bool
	trueApp     bool
	value       tags.Tag // group code 1
	hasValue    bool
	mark        *mark
}

// readOutline makes the pass. It sets the handles in watch that some entity
// has, nil for none. It fails where the tags are out of step, since
// then nothing is known for certain about what an edit would do.
func readOutline(src *tags.Source, watch map[tags.Handle]bool) (*outline, error) {
	b := &outlineBuilder{watch: watch, outline: &outline{
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
		return nil, b.damaged(len(src.Bytes), "the section %s is not closed by ENDSEC, the drawing is cut off", b.section)
	}
	rel, err := releaseOf(src.Version, b.markers)
	b.rel = rel
	return b.outline, err
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
		return b.damaged(t.Start, "the section %s is not closed by ENDSEC", b.section)
	case typ == "SECTION" && b.section == "":
		b.section, b.sectionAt = "?", t.Start
	case typ == "TABLE" && b.section == "TABLES" && b.tableOpen != nil && b.tableOpen.endtab < 0:
		return b.damaged(t.Start, "the table %s is not closed by ENDTAB", b.tableOpen.name)
	case typ == "ENDSEC":
		return b.closeSection(t)
	case b.section == "HEADER" && typ != "ENDSEC":
		return b.damaged(t.Start, "a %.20q stands in the HEADER section", typ)
	case typ == "EOF" && b.section != "":
		return b.damaged(t.Start, "the section %s is not closed by ENDSEC before EOF", b.section)
	case typ == "EOF":
		b.done = true
	case typ == "ENDTAB" && b.section == "TABLES":
		if b.tableOpen == nil || b.tableOpen.endtab >= 0 {
			return b.damaged(t.Start, "ENDTAB closes no table")
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
		return b.damaged(t.Start, "ENDSEC closes no section")
	case "TABLES":
		if b.tableOpen != nil && b.tableOpen.endtab < 0 {
			return b.damaged(t.Start, "the table %s is not closed by ENDTAB", b.tableOpen.name)
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
			b.look(t)
		}
	}
}

// use notes a name that something refers to. The lookup makes no string.
func (b *outlineBuilder) use(names map[string]bool, t tags.Tag) {
	if raw := b.src.Raw(t); !names[string(raw)] {
		names[string(raw)] = true
	}
}

// look notes what a new layer takes over from layer 0.
func (b *outlineBuilder) look(t tags.Tag) {
	l := &b.rec.look
	if t.Code != 6 && t.Code != 390 && t.Code != 347 && t.Code != 348 {
		return
	}
	raw := string(b.src.Raw(t))
	isHandle := cleanHandle(b.src, t)
	switch t.Code {
	case 6:
		l.linetype, l.hasLinetype = raw, true
	case 390:
		l.plot, l.hasPlot = raw, isHandle
	case 347:
		l.material, l.hasMaterial = raw, isHandle
	case 348:
		l.visual, l.hasVisual = raw, isHandle
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

// cleanHandle reports whether a value is a handle and nothing but blanks
// around it, so that it can be copied elsewhere as it stands.
func cleanHandle(src *tags.Source, t tags.Tag) bool {
	w := src.Word(t)
	for i := range len(w) {
		if c := w[i]; (c < '0' || c > '9') && (c < 'A' || c > 'F') && (c < 'a' || c > 'f') {
			return false
		}
	}
	_, ok := src.Handle(t)
	return ok
}
