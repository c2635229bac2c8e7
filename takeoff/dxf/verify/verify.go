package verify

import (
	"bytes"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// Check compares a written drawing with the one it was made from and checks
// everything that is new in it against the layouts of the published DXF reference,
// far more strictly than any reader does. No error means: the original is all
// there in its order, what was added is well formed, refers only to what exists,
// and [edit.Strip] takes it out again. The name is for the error.
func Check(name string, original, written []byte) error {
	if ps := compare(original, written); len(ps) > 0 {
		return &faulty{name, ps}
	}
	return nil
}

// compare lists what is wrong with a written drawing.
func compare(original, written []byte) []problem {
	c := &checker{base: tags.NewSource("original", original), src: tags.NewSource("written", written)}
	if err := readBase(c); err != nil {
		return c.add(problemUnreadable, -1, "the original: %v", err)
	}
	if bytes.Equal(c.base.Bytes, written) {
		return nil // nothing of ours is in it
	}
	var err error
	if c.outline, err = edit.ReadOutline(c.src); err != nil {
		return c.add(problemUnreadable, -1, "%v", err)
	}
	if c.src.Binary != c.base.Binary || c.src.CodeWidth != c.base.CodeWidth || c.src.EOL != c.base.EOL ||
		c.src.Version != c.base.Version || c.src.CodePage != c.base.CodePage {
		return c.add(problemChanged, -1, "the file differs from the original in kind (binary, line ends, version or code page)")
	}
	prepare(c)
	diff(c)
	checkHandles(c)
	checkSeed(c)
	checkApp(c)
	if len(c.problems) == 0 {
		checkStrip(c)
	}
	return c.problems
}

// readBase reads the original, without what an earlier edit put into it.
func readBase(c *checker) (err error) {
	if c.baseOutline, err = edit.ReadOutline(c.base); err != nil || !c.baseOutline.HasOurs() {
		return err
	}
	c.base = tags.NewSource("original", edit.Stripped(c.baseOutline))
	c.baseOutline, err = edit.ReadOutline(c.base)
	return err
}

// prepare finds what new records have to refer to.
func prepare(c *checker) {
	o := c.baseOutline
	c.handles = o.Handles()
	c.enc = c.base.Encoder()
	c.ours, c.wanted, c.marked = map[tags.Handle]int{}, map[tags.Handle]int{}, map[int]bool{}
	for _, start := range c.outline.Marked() {
		c.marked[start] = true
	}
	if o.Owned() {
		var err error
		if c.modelSpace, err = o.ModelSpace(); err != nil {
			c.add(problemOwner, -1, "%v", err)
		}
	}
}

// checkHandles looks at every handle of the written drawing once: a new one
// must be there once and unknown to the original, one that a new record refers
// to must be there.
func checkHandles(c *checker) {
	defined := map[tags.Handle]int{}
	next, typ, first := 0, "", false
	sc := c.src.Scanner(c.src.Body, len(c.src.Bytes))
	for {
		t, ok := sc.Next()
		if !ok {
			break
		}
		if t.Code == 0 {
			typ, first = c.src.Word(t), true
			continue
		}
		for next < len(c.spans) && t.Start >= c.spans[next][1] {
			next++
		}
		inNew := next < len(c.spans) && t.Start >= c.spans[next][0]
		isHandle := (t.Code == 5 && typ != "DIMSTYLE" && typ != "SECTION" || t.Code == 105) && first
		if !isHandle && !tags.RefersByHandle(t.Code) {
			continue
		}
		h, ok := c.src.Handle(t)
		if !ok || h == 0 {
			continue
		}
		if isHandle {
			first = false
			defines(c, tags.Handle(h), t.Start, defined)
			continue
		}
		if _, isOurs := c.ours[tags.Handle(h)]; isOurs && !inNew {
			c.add(problemHandleTaken, t.Start, "the original refers to %s, which a new record now has", tags.Handle(h))
		}
	}
	for h, at := range c.wanted {
		if defined[h] == 0 {
			c.add(problemDangling, at, "no record has the handle %s", h)
		}
	}
	sortProblems(c.problems)
}

// defines notes that a record has the handle h, if that is of interest.
func defines(c *checker, h tags.Handle, at int, defined map[tags.Handle]int) {
	_, isOurs := c.ours[h]
	if _, isWanted := c.wanted[h]; !isOurs && !isWanted {
		return
	}
	defined[h]++
	if isOurs && defined[h] > 1 {
		c.add(problemHandleTwice, at, "the handle %s of a new record occurs twice", h)
	}
}

// checkSeed wants $HANDSEED above every new handle, and untouched where it was
// high enough already.
func checkSeed(c *checker) {
	before, had := c.baseOutline.Seed()
	seed, has := c.outline.Seed()
	if !c.handles || !had || len(c.ours) == 0 {
		return
	}
	now, ok := c.src.Handle(seed)
	was, _ := c.base.Handle(before)
	top := tags.Handle(0)
	for h := range c.ours {
		top = max(top, h)
	}
	switch {
	case !ok || !has:
		c.add(problemSeed, -1, "$HANDSEED is not a handle")
	case now <= uint64(top):
		c.add(problemSeed, seed.ValStart, "$HANDSEED %X is not above the new handle %s", now, top)
	case now != was && was > uint64(top):
		c.add(problemSeed, seed.ValStart, "$HANDSEED %X was high enough and is now %X", was, now)
	case now != was && now != uint64(top)+1:
		c.add(problemSeed, seed.ValStart, "$HANDSEED is %X and not one above the last new handle %s", now, top)
	}
}

// checkApp wants our application registered: extended data of an unknown
// application make a CAD program refuse the drawing.
func checkApp(c *checker) {
	if _, ok := c.outline.Record("APPID", edit.AppID); !ok && len(c.marked) > 0 {
		c.add(problemUndefined, -1, "the APPID table does not list %s, whose extended data the new records carry", edit.AppID)
	}
}

func checkStrip(c *checker) {
	if !bytes.Equal(edit.Stripped(c.outline), c.base.Bytes) {
		c.add(problemStrip, -1, "stripping the additions does not restore the original")
	}
}
