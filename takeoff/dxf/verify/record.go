package verify

import (
	"bytes"
	"math"
	"slices"
	"unicode/utf8"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// checkNew checks one new record: its place, its layout, and every value.
func (c *checker) checkNew(r walked, p placeTracker) {
	if _, known := layouts[r.typ]; !known {
		c.checkMade(r, p)
		return
	}
	isTable := r.typ == "LAYER" || r.typ == "STYLE" || r.typ == "APPID"
	if isTable && (p.section != "TABLES" || p.table != r.typ) || !isTable && p.section != "ENTITIES" {
		c.add(problemPlace, r.start, "a new %s stands in section %s, table %q", r.typ, p.section, p.table)
	}
	ts := c.tagsOf(r)
	ours := slices.ContainsFunc(ts, func(t tags.Tag) bool { return t.Code == 1001 && c.valueIs(t, edit.AppID) })
	if !ours && r.typ != "APPID" {
		c.add(problemForeign, r.start, "a new %s without our extended data", r.typ)
		return
	}
	n, miss := c.matchLayout(ts, layouts[r.typ])
	switch {
	case miss != nil && n < len(ts):
		c.add(problemLayout, ts[n].Start, "%s: group code %d stands where %d %s is due", r.typ, ts[n].Code, miss.code, miss.value)
	case miss != nil:
		c.add(problemLayout, r.start, "%s ends where group code %d %s is due", r.typ, miss.code, miss.value)
	case n < len(ts):
		c.add(problemLayout, ts[n].Start, "%s: group code %d is not part of it", r.typ, ts[n].Code)
	}
	c.checkReferences(r, ts)
	c.checkCounts(r, ts)
}

// tagsOf reads the tags of a record after its type.
func (c *checker) tagsOf(r walked) []tags.Tag {
	var ts []tags.Tag
	sc := c.src.Scanner(r.start, r.end)
	sc.Next()
	for {
		t, ok := sc.Next()
		if !ok {
			return ts
		}
		ts = append(ts, t)
	}
}

// checkMade checks a table or the TABLES section of a drawing that lacked it.
func (c *checker) checkMade(r walked, p placeTracker) {
	if c.outline.Owned() {
		c.add(problemForeign, r.start, "a new %s in a drawing whose version always has its tables", r.typ)
		return
	}
	name := nameOf(c.src, r)
	switch {
	case r.typ == "SECTION" && name != "TABLES", r.typ == "TABLE" && name != "LAYER" && name != "STYLE" && name != "APPID":
		c.add(problemForeign, r.start, "a new %s named %q", r.typ, name)
	case r.typ == "TABLE" && p.section != "TABLES":
		c.add(problemPlace, r.start, "a new TABLE in section %s", p.section)
	}
}

// checkReferences checks handles and names of a new record.
func (c *checker) checkReferences(r walked, ts []tags.Tag) {
	var own tags.Handle
	inXData, refs := false, 0
	for _, t := range ts {
		inXData = inXData || t.Code >= 1000
		switch t.Code {
		case 5:
			if own == 0 {
				own = c.newHandle(r, t)
			}
		case 330:
			c.checkOwner(r, t)
		case 8:
			c.checkDefined(t, "layer", "LAYER")
		case 7:
			c.checkDefined(t, "text style", "STYLE")
		case 390, 347, 348:
			c.checkLook(t)
		case 1001:
			c.checkDefined(t, "application", "APPID")
		case 1005:
			refs++
			c.checkMarkHandle(r, t, own, refs)
		}
	}
	if own != 0 && refs == 0 && r.typ != "APPID" {
		c.add(problemOwnHandle, r.start, "%s %s does not name its own handle in its extended data", r.typ, own)
	}
	if r.typ == "POLYLINE" {
		c.polyline = own
	}
}

func (c *checker) newHandle(r walked, t tags.Tag) tags.Handle {
	n, ok := c.src.Handle(t)
	h := tags.Handle(n)
	if !ok || h == 0 || h.String() != string(c.src.Raw(t)) {
		c.add(problemValue, t.Start, "%q is not how a handle is written", c.src.Raw(t))
		return h
	}
	if at, twice := c.ours[h]; twice {
		c.add(problemHandleTwice, t.Start, "the record at byte %d has the handle %s, too", at, h)
	}
	c.ours[h] = r.start
	return h
}

// checkOwner wants model space for entities, the polyline for its vertices, and
// the table for its records.
func (c *checker) checkOwner(r walked, t tags.Tag) {
	n, ok := c.src.Handle(t)
	want := c.modelSpace
	switch r.typ {
	case "VERTEX", "SEQEND":
		want = c.polyline
	case "LAYER", "STYLE", "APPID":
		want = c.outline.TableOwner(r.typ)
	}
	if !ok || tags.Handle(n) != want || want == 0 {
		c.add(problemOwner, t.Start, "the %s belongs to %q; its owner is %s", r.typ, c.src.Raw(t), want)
	}
}

// checkDefined wants the name in its table, and a layer or text style of ours.
func (c *checker) checkDefined(t tags.Tag, what, table string) {
	name := c.src.Text(t)
	start, ok := c.outline.Record(table, name)
	switch {
	case !ok:
		c.add(problemUndefined, t.Start, "the %s %q is in no table", what, name)
	case table != "APPID" && !c.marked[start]:
		c.add(problemUndefined, t.Start, "the %s %q is not ours", what, name)
	}
}

// checkLook accepts what layer 0 has, even where that refers to nothing, and
// otherwise a handle of something.
func (c *checker) checkLook(t tags.Tag) {
	if string(c.src.Raw(t)) == c.baseOutline.Layer0(t.Code) {
		return
	}
	h, ok := c.src.Handle(t)
	if !ok || h == 0 {
		c.add(problemDangling, t.Start, "group code %d is %q", t.Code, c.src.Raw(t))
		return
	}
	c.wanted[tags.Handle(h)] = t.Start
}

// checkMarkHandle checks the handles in our extended data: the record's own,
// then the device's.
func (c *checker) checkMarkHandle(r walked, t tags.Tag, own tags.Handle, nth int) {
	n, ok := c.src.Handle(t)
	switch {
	case !ok || n == 0:
		c.add(problemValue, t.Start, "%q is no handle", c.src.Raw(t))
	case nth == 1 && tags.Handle(n) != own:
		c.add(problemOwnHandle, t.Start, "the extended data of %s %s name the handle %s", r.typ, own, tags.Handle(n))
	case nth > 1:
		c.wanted[tags.Handle(n)] = t.Start
	}
}

// maxText is the longest text that every release reads.
const maxText = 255

// checkCounts checks what the layout cannot: a text is not empty, a polyline
// has as many points as it says.
func (c *checker) checkCounts(r walked, ts []tags.Tag) {
	points, said := 0, int64(-1)
	for _, t := range ts {
		switch {
		case t.Code == 10:
			points++
		case t.Code == 90:
			said, _ = c.src.Int(t)
		case t.Code == 1 && r.typ == "TEXT":
			if n := len(bytes.TrimSpace(c.src.Raw(t))); n == 0 || n > maxText {
				c.add(problemValue, t.Start, "a text of %d bytes", n)
			}
		}
	}
	if r.typ == "LWPOLYLINE" && said != int64(points) {
		c.add(problemValue, r.start, "the polyline says %d points and has %d", said, points)
	}
}

// checkNumber checks the number of a tag, if its group code holds one.
func (c *checker) checkNumber(t tags.Tag, want byte) {
	isNumber := t.Code >= 10 && t.Code < 100 || t.Code >= 370 && t.Code < 380
	if !isNumber {
		return
	}
	f, ok := c.src.Float(t)
	switch {
	case !ok || math.IsNaN(f) || math.IsInf(f, 0):
		c.add(problemValue, t.Start, "group code %d is no finite number", t.Code)
	case want == '>' && f <= 0:
		c.add(problemValue, t.Start, "group code %d is %v and has to be above 0", t.Code, f)
	case want == 'z' && f != 0:
		c.add(problemValue, t.Start, "group code %d is %v and has to be 0", t.Code, f)
	}
}

// checkBytes checks new bytes as such: line ends, encoding, control characters.
func (c *checker) checkBytes(from, to int) {
	b := c.src.Bytes[from:to]
	if !c.src.Binary {
		c.checkLines(from, b)
	}
	sc := c.src.Scanner(from, to)
	for {
		t, ok := sc.Next()
		if !ok {
			return
		}
		if c.src.IsText(t.Code) {
			c.checkText(t)
		}
	}
}

// checkText wants a string in the drawing's encoding, without control characters.
func (c *checker) checkText(t tags.Tag) {
	raw := c.src.Raw(t)
	if t.Code == 6 && string(raw) == c.baseOutline.Layer0(6) {
		return // copied from layer 0 as it stands there
	}
	if c.enc.UTF8() && !utf8.Valid(raw) {
		c.add(problemEncoding, t.Start, "%q is not valid UTF-8", raw)
	}
	kept := bytes.HasPrefix(raw, []byte("WAS=")) // an old value stays as it was stored
	for _, x := range raw {
		if x < ' ' || x == 0x7F || x >= 0x80 && c.enc.ASCII() && !kept {
			c.add(problemEncoding, t.Start, "%q holds the byte %#02x", raw, x)
			return
		}
	}
}

// checkLines wants every new line to end as line 1 does.
func (c *checker) checkLines(from int, b []byte) {
	eol := []byte(c.src.EOL)
	for at := 0; at < len(b); {
		n := bytes.IndexAny(b[at:], "\r\n")
		if n < 0 || !bytes.HasPrefix(b[at+n:], eol) || c.src.EOL == "\r" && bytes.HasPrefix(b[at+n:], []byte("\r\n")) {
			c.add(problemLineEnd, from+at, "a line that does not end with %q as line 1 does", c.src.EOL)
			return
		}
		at += n + len(eol)
	}
}
