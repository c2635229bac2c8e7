package verify

import (
	"bytes"
	"math"
	"unicode/utf8"

	"loopwright/takeoff/dxf/tags"
)

// maxText is the longest text that every release reads.
const maxText = 255

// checkNumber checks the number of a tag, if its group code holds one.
func checkNumber(c *checker, t tags.Tag, want byte) {
	isNumber := t.Code >= 10 && t.Code < 100 || t.Code >= 370 && t.Code < 380
	if !isNumber {
		return
	}
	f, ok := c.src.Float(t)
	switch {
	case !ok || math.IsNaN(f) || math.IsInf(f, 0):
		c.add(problemValue, t.Start, "group code %d is not a finite number", t.Code)
	case want == '>' && f <= 0:
		c.add(problemValue, t.Start, "group code %d is %v, must be above 0", t.Code, f)
	case want == 'z' && f != 0:
		c.add(problemValue, t.Start, "group code %d is %v, must be 0", t.Code, f)
	}
}

// checkBytes checks new bytes as such: line ends, encoding, control characters.
func checkBytes(c *checker, from, to int) {
	b := c.src.Bytes[from:to]
	if !c.src.Binary {
		checkLines(c, from, b)
	}
	sc := c.src.Scanner(from, to)
	for {
		t, ok := sc.Next()
		if !ok {
			return
		}
		if c.src.IsText(t.Code) {
			checkText(c, t)
		}
	}
}

// checkText wants a string in the drawing's encoding, without control characters.
func checkText(c *checker, t tags.Tag) {
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
func checkLines(c *checker, from int, b []byte) {
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
