package verify

import (
	"bytes"
	"slices"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// checkNew checks one new record: its place, its layout, and every value.
func checkNew(c *checker, r walked, p placeTracker) {
	if _, known := layouts[r.typ]; !known {
		checkMade(c, r, p)
		return
	}
	isTable := r.typ == "LAYER" || r.typ == "STYLE" || r.typ == "APPID"
	if isTable && (p.section != "TABLES" || p.table != r.typ) || !isTable && p.section != "ENTITIES" {
		c.add(problemPlace, r.start, "a new %s in section %s, table %q", r.typ, p.section, p.table)
	}
	ts := tagsOf(c, r)
	ours := slices.ContainsFunc(ts, func(t tags.Tag) bool { return t.Code == 1001 && valueIs(c, t, edit.AppID) })
	if !ours && r.typ != "APPID" {
		c.add(problemForeign, r.start, "a new %s without our extended data", r.typ)
		return
	}
	n, miss := matchLayout(c, ts, layouts[r.typ])
	switch {
	case miss != nil && n < len(ts):
		c.add(problemLayout, ts[n].Start, "%s: found group code %d, expected %d %s", r.typ, ts[n].Code, miss.code, miss.value)
	case miss != nil:
		c.add(problemLayout, r.start, "%s ends before group code %d %s", r.typ, miss.code, miss.value)
	case n < len(ts):
		c.add(problemLayout, ts[n].Start, "%s: unexpected group code %d", r.typ, ts[n].Code)
	}
	checkReferences(c, r, ts)
	checkCounts(c, r, ts)
}

// tagsOf reads the tags of a record after its type.
func tagsOf(c *checker, r walked) []tags.Tag {
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
func checkMade(c *checker, r walked, p placeTracker) {
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
func checkReferences(c *checker, r walked, ts []tags.Tag) {
	var own tags.Handle
	inXData, refs := false, 0
	for _, t := range ts {
		inXData = inXData || t.Code >= 1000
		switch t.Code {
		case 5:
			if own == 0 {
				own = newHandle(c, r, t)
			}
		case 330:
			checkOwner(c, r, t)
		case 8:
			checkDefined(c, t, "layer", "LAYER")
		case 7:
			checkDefined(c, t, "text style", "STYLE")
		case 390, 347, 348:
			checkLook(c, t)
		case 1001:
			checkDefined(c, t, "application", "APPID")
		case 1005:
			refs++
			checkMarkHandle(c, r, t, own, refs)
		}
	}
	if own != 0 && refs == 0 && r.typ != "APPID" {
		c.add(problemOwnHandle, r.start, "%s %s does not name its own handle in its extended data", r.typ, own)
	}
	if r.typ == "POLYLINE" {
		c.polyline = own
	}
}

func newHandle(c *checker, r walked, t tags.Tag) tags.Handle {
	n, ok := c.src.Handle(t)
	h := tags.Handle(n)
	if !ok || h == 0 || h.String() != string(c.src.Raw(t)) {
		c.add(problemValue, t.Start, "%q is not a well-formed handle", c.src.Raw(t))
		return h
	}
	if at, twice := c.ours[h]; twice {
		c.add(problemHandleTwice, t.Start, "the record at byte %d also has the handle %s", at, h)
	}
	c.ours[h] = r.start
	return h
}

// checkOwner wants model space for entities, the polyline for its vertices, and
// the table for its records.
func checkOwner(c *checker, r walked, t tags.Tag) {
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
func checkDefined(c *checker, t tags.Tag, what, table string) {
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
func checkLook(c *checker, t tags.Tag) {
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
func checkMarkHandle(c *checker, r walked, t tags.Tag, own tags.Handle, nth int) {
	n, ok := c.src.Handle(t)
	switch {
	case !ok || n == 0:
		c.add(problemValue, t.Start, "%q is not a handle", c.src.Raw(t))
	case nth == 1 && tags.Handle(n) != own:
		c.add(problemOwnHandle, t.Start, "the extended data of %s %s name the handle %s", r.typ, own, tags.Handle(n))
	case nth > 1:
		c.wanted[tags.Handle(n)] = t.Start
	}
}

// checkCounts checks what the layout cannot: a text is not empty, a polyline
// has as many points as it says.
func checkCounts(c *checker, r walked, ts []tags.Tag) {
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
		c.add(problemValue, r.start, "the polyline claims %d points and has %d", said, points)
	}
}
