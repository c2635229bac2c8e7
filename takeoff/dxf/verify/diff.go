package verify

import (
	"bytes"
	"cmp"
	"slices"
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

// diff walks original and written drawing side by side. Records of the written
// one are those of the original, in order, or new and ours.
func (c *checker) diff() {
	b, w := newWalker(c.base), newWalker(c.src)
	place := placeTracker{}
	haveBase := b.advance()
	for w.advance() {
		place.enter(c.src, w.rec)
		switch {
		case haveBase && bytes.Equal(b.bytes(), w.bytes()):
			haveBase = b.advance()
		case haveBase && c.sameButEdited(b, w):
			haveBase = b.advance()
		case isNewType(w.rec.typ):
			c.spans = append(c.spans, [2]int{w.rec.start, w.rec.end})
			c.checkBytes(w.rec.start, w.rec.end)
			c.checkNew(w.rec, place)
		default:
			c.add(problemChanged, w.rec.start, "a %s that is not in the original, or is not as it was there", w.rec.typ)
			return // everything after it would be reported, too
		}
	}
	if haveBase {
		c.add(problemLost, -1, "the %s at byte %d of the original is missing", b.rec.typ, b.rec.start)
	}
}

// isNewType tells the types of records that an edit may add.
func isNewType(typ string) bool {
	_, known := layouts[typ]
	return known || typ == "TABLE" || typ == "ENDTAB" || typ == "SECTION" || typ == "ENDSEC"
}

// sameButEdited accepts the three ways in which a record of the original may
// differ: $HANDSEED, an attribute's value, and extended data of ours added to a
// layer or text style that had been ours.
func (c *checker) sameButEdited(b, w *walker) bool {
	if b.rec.typ != w.rec.typ {
		return false
	}
	before, _ := c.baseOutline.Seed()
	seed, _ := c.outline.Seed()
	if c.equalExcept(b, w, before, seed) {
		return true
	}
	switch b.rec.typ {
	case "LAYER", "STYLE":
		rest, ok := bytes.CutPrefix(w.bytes(), b.bytes())
		return ok && c.onlyOurData(w.rec.end-len(rest), w.rec.end)
	case "ATTRIB":
		return c.sameAttrib(b, w)
	}
	return false
}

// equalExcept compares two records leaving out one value each.
func (c *checker) equalExcept(b, w *walker, bt, wt tags.Tag) bool {
	if bt.End == 0 || bt.Start < b.rec.start || bt.End > b.rec.end || wt.Start < w.rec.start || wt.End > w.rec.end || wt.End == 0 {
		return false
	}
	return bytes.Equal(c.base.Bytes[b.rec.start:bt.ValStart], c.src.Bytes[w.rec.start:wt.ValStart]) &&
		bytes.Equal(c.base.Bytes[bt.ValEnd:b.rec.end], c.src.Bytes[wt.ValEnd:w.rec.end])
}

func (c *checker) sameAttrib(b, w *walker) bool {
	bt, _ := firstTags(c.base, b.rec, 1)
	wt, ours := firstTags(c.src, w.rec, 1)
	if ours < 0 || !c.onlyOurData(ours, w.rec.end) {
		return false
	}
	c.checkText(wt)
	cut := *w
	cut.rec.end = ours
	return c.equalExcept(b, &cut, bt, wt)
}

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

// onlyOurData accepts one run of our extended data and nothing else.
func (c *checker) onlyOurData(from, to int) bool {
	sc := c.src.Scanner(from, to)
	for n := 0; ; n++ {
		t, ok := sc.Next()
		if !ok {
			c.spans = append(c.spans, [2]int{from, to})
			c.checkBytes(from, to)
			return n > 0
		}
		if n == 0 && (t.Code != 1001 || c.src.Text(t) != edit.AppID) || n > 0 && t.Code != 1000 && t.Code != 1005 {
			return false
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

func sortProblems(ps []problem) {
	slices.SortStableFunc(ps, func(a, b problem) int {
		return cmp.Or(cmp.Compare(a.Offset, b.Offset), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Message, b.Message))
	})
}
