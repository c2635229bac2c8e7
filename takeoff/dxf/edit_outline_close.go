package dxf

import "strings"

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

func keepFirst(m map[string]namedRecord, key string, rec namedRecord) {
	if _, ok := m[key]; !ok {
		m[key] = rec
	}
}
