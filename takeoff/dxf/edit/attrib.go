package edit

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"loopwright/takeoff/dxf/tags"
)

type attribKey struct {
	insert tags.Handle
	tag    string
}

// findAttribs finds the attributes to change, in one pass.
func findAttribs(ed *editor) error {
	if len(ed.a.Attribs) == 0 {
		return nil
	}
	want := map[attribKey]int{}
	for i, c := range ed.a.Attribs {
		key := attribKey{c.InsertHandle, foldName(c.Tag)}
		if _, twice := want[key]; twice || c.InsertHandle == 0 {
			return fmt.Errorf("attribute %s of insert %s is set twice, or without an insert", c.Tag, c.InsertHandle)
		}
		if err := firstError(checkPlain(c.Value, "attribute"), checkTextLength(c.Value)); err != nil {
			return err
		}
		want[key] = i
	}
	found := make([]*attribSpot, len(ed.a.Attribs))
	if err := scanAttribs(ed, want, found); err != nil {
		return err
	}
	for i, c := range ed.a.Attribs {
		if found[i] == nil {
			return fmt.Errorf("insert %s has no attribute %s in ENTITIES", c.InsertHandle, c.Tag)
		}
		ed.changes = append(ed.changes, *found[i])
	}
	return nil
}

// attribRecord is the record that scanAttribs reads.
type attribRecord struct {
	typ, tag string
	handle   tags.Handle
	value    tags.Tag
	values   int  // how often group code 1 is there
	embedded bool // the value is a MTEXT of its own
}

func scanAttribs(ed *editor, want map[attribKey]int, found []*attribSpot) error {
	src := ed.o.src
	sc := src.Scanner(ed.o.entitiesFrom, ed.o.entitiesEnd)
	var insert tags.Handle
	var rec attribRecord
	file := func(end int) error {
		switch rec.typ {
		case "INSERT":
			insert = rec.handle
		case "ATTRIB":
			return rec.file(ed, insert, end, want, found)
		default:
			insert = 0
		}
		return nil
	}
	for {
		t, ok := sc.Next()
		if !ok {
			return file(ed.o.entitiesEnd)
		}
		if t.Code != 0 {
			rec.take(src, t)
			continue
		}
		if err := file(t.Start); err != nil {
			return err
		}
		rec = attribRecord{typ: src.Word(t)}
	}
}

func (r *attribRecord) take(src *tags.Source, t tags.Tag) {
	switch {
	case t.Code == 5 && r.handle == 0:
		h, _ := src.Handle(t)
		r.handle = tags.Handle(h)
	case r.typ != "ATTRIB":
	case t.Code == 1:
		r.value = t
		r.values++
	case t.Code == 2 && r.tag == "":
		r.tag = foldName(src.Text(t))
	case t.Code == 101:
		r.embedded = true
	}
}

func (r *attribRecord) file(ed *editor, insert tags.Handle, end int, want map[attribKey]int, found []*attribSpot) error {
	i, ok := want[attribKey{insert, r.tag}]
	if !ok {
		return nil
	}
	switch {
	case found[i] != nil:
		return fmt.Errorf("insert %s has the attribute %s twice", insert, r.tag)
	case r.embedded:
		return fmt.Errorf("the attribute %s of insert %s has several lines and cannot be changed", r.tag, insert)
	case r.values != 1:
		return fmt.Errorf("the attribute %s of insert %s has %d values instead of one", r.tag, insert, r.values)
	case r.value.ValEnd-r.value.ValStart > maxTextBytes-len(noteWas):
		return fmt.Errorf("the old value of attribute %s of insert %s is too long to keep", r.tag, insert)
	}
	if err := keepable(ed, r.value); err != nil {
		return fmt.Errorf("the old value of attribute %s of insert %s cannot be kept: %w", r.tag, insert, err)
	}
	found[i] = &attribSpot{change: ed.a.Attribs[i], handle: r.handle, value: r.value, end: end}
	return nil
}

// keepable refuses an old value that could not stand in extended data.
func keepable(ed *editor, t tags.Tag) error {
	raw := ed.o.src.Raw(t)
	if ed.o.rel.utf8() && !utf8.Valid(raw) {
		return fmt.Errorf("%q is not valid UTF-8", raw)
	}
	if i := bytes.IndexFunc(raw, func(r rune) bool { return r < ' ' || r == 0x7F }); i >= 0 {
		return fmt.Errorf("%q contains control characters", raw)
	}
	return nil
}

// writeAttribs replaces the values and keeps the old ones beside them.
func writeAttribs(ed *editor) []splice {
	var splices []splice
	for _, spot := range ed.changes {
		src := ed.o.src
		e := newEmitter(src, ed.o.rel)
		old := string(src.Raw(spot.value))
		value := e.enc.Encode(escapeLine(spot.change.Value))
		if value == old {
			continue
		}
		e.mark(kindAttrib, spot.handle, 0, noteWas+old)
		splices = append(splices, splice{spot.value.ValStart, spot.value.ValEnd, []byte(value)},
			splice{spot.end, spot.end, e.buf})
		ed.out.Attribs = append(ed.out.Attribs, AttribChanged{spot.change, src.Text(spot.value)})
	}
	return splices
}
