package verify

import (
	"bytes"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// diff walks original and written drawing side by side. Records of the written
// one are those of the original, in order, or new and ours.
func diff(c *checker) {
	b, w := newWalker(c.base), newWalker(c.src)
	place := placeTracker{}
	haveBase := b.advance()
	for w.advance() {
		place.enter(c.src, w.rec)
		switch {
		case haveBase && bytes.Equal(b.bytes(), w.bytes()):
			haveBase = b.advance()
		case haveBase && sameButEdited(c, b, w):
			haveBase = b.advance()
		case isNewType(w.rec.typ):
			c.spans = append(c.spans, [2]int{w.rec.start, w.rec.end})
			checkBytes(c, w.rec.start, w.rec.end)
			checkNew(c, w.rec, place)
		default:
			c.add(problemChanged, w.rec.start, "a %s that is not in the original or was changed", w.rec.typ)
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
func sameButEdited(c *checker, b, w *walker) bool {
	if b.rec.typ != w.rec.typ {
		return false
	}
	before, _ := c.baseOutline.Seed()
	seed, _ := c.outline.Seed()
	if equalExcept(c, b, w, before, seed) {
		return true
	}
	switch b.rec.typ {
	case "LAYER", "STYLE":
		rest, ok := bytes.CutPrefix(w.bytes(), b.bytes())
		return ok && onlyOurData(c, w.rec.end-len(rest), w.rec.end)
	case "ATTRIB":
		return sameAttrib(c, b, w)
	}
	return false
}

// equalExcept compares two records leaving out one value each.
func equalExcept(c *checker, b, w *walker, bt, wt tags.Tag) bool {
	if bt.End == 0 || bt.Start < b.rec.start || bt.End > b.rec.end || wt.Start < w.rec.start || wt.End > w.rec.end || wt.End == 0 {
		return false
	}
	return bytes.Equal(c.base.Bytes[b.rec.start:bt.ValStart], c.src.Bytes[w.rec.start:wt.ValStart]) &&
		bytes.Equal(c.base.Bytes[bt.ValEnd:b.rec.end], c.src.Bytes[wt.ValEnd:w.rec.end])
}

func sameAttrib(c *checker, b, w *walker) bool {
	bt, _ := firstTags(c.base, b.rec, 1)
	wt, ours := firstTags(c.src, w.rec, 1)
	if ours < 0 || !onlyOurData(c, ours, w.rec.end) {
		return false
	}
	checkText(c, wt)
	cut := *w
	cut.rec.end = ours
	return equalExcept(c, b, &cut, bt, wt)
}

// onlyOurData accepts one run of our extended data and nothing else.
func onlyOurData(c *checker, from, to int) bool {
	sc := c.src.Scanner(from, to)
	for n := 0; ; n++ {
		t, ok := sc.Next()
		if !ok {
			c.spans = append(c.spans, [2]int{from, to})
			checkBytes(c, from, to)
			return n > 0
		}
		if n == 0 && (t.Code != 1001 || c.src.Text(t) != edit.AppID) || n > 0 && t.Code != 1000 && t.Code != 1005 {
			return false
		}
	}
}
