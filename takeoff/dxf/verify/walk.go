package verify

import (
	"strings"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// walker goes over a drawing record by record: the bytes before the first group
// code 0, then each record, EOF with everything after it.
type walker struct {
	src  *tags.Source
	sc   *tags.Scanner
	next tags.Tag // the group code 0 that begins the next record
	more bool
	rec  walked
}

type walked struct {
	typ        string
	start, end int
}

func newWalker(src *tags.Source) *walker {
	return &walker{src: src, sc: src.Scanner(src.Body, len(src.Bytes)), more: true,
		next: tags.Tag{Code: -1, Start: 0, ValStart: 0, ValEnd: 0}}
}

// advance reads the next record, false after the last.
func (w *walker) advance() bool {
	if !w.more {
		return false
	}
	w.rec = walked{typ: w.src.Word(w.next), start: w.next.Start}
	if w.rec.typ == "EOF" {
		w.more, w.rec.end = false, len(w.src.Bytes)
		return true
	}
	for {
		t, ok := w.sc.Next()
		if !ok {
			w.more, w.rec.end = false, len(w.src.Bytes)
			return true
		}
		if t.Code == 0 {
			w.next, w.rec.end = t, t.Start
			return true
		}
	}
}

func (w *walker) bytes() []byte { return w.src.Bytes[w.rec.start:w.rec.end] }

// firstTags finds the first tag with a code, and where our extended data begin.
func firstTags(src *tags.Source, r walked, code int) (first tags.Tag, ours int) {
	ours = -1
	sc := src.Scanner(r.start, r.end)
	for {
		t, ok := sc.Next()
		if !ok {
			return first, ours
		}
		if t.Code == code && first.End == 0 {
			first = t
		}
		if t.Code == 1001 && strings.EqualFold(src.Word(t), edit.AppID) {
			ours = t.Start
		}
	}
}

// placeTracker knows in which section and table a record stands.
type placeTracker struct {
	section, table string
}

func (p *placeTracker) enter(src *tags.Source, r walked) {
	switch r.typ {
	case "SECTION":
		if p.section == "" {
			p.section = nameOf(src, r)
		}
	case "ENDSEC":
		p.section, p.table = "", ""
	case "TABLE":
		p.table = nameOf(src, r)
	case "ENDTAB":
		p.table = ""
	}
}

// nameOf is the value of the first group code 2.
func nameOf(src *tags.Source, r walked) string {
	t, _ := firstTags(src, r, 2)
	if t.End == 0 {
		return ""
	}
	return src.Word(t)
}
