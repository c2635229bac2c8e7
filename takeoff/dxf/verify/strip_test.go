package verify

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/dxf/edit"
)

// afterSave does to a drawing what a CAD program does when it saves one: other
// line ends and digits, a new $HANDSEED, and what more a test wants.
func afterSave(t *testing.T, b []byte, change func([]byte) []byte) []byte {
	t.Helper()
	b = replaceOnce(t, b, "$HANDSEED\n  5\n2C\n", "$HANDSEED\n  5\n100\n")
	b = bytes.ReplaceAll(b, []byte("100.0\n"), []byte("100.000000\n"))
	if change != nil {
		b = change(b)
	}
	return toEOL(b, "\r\n")
}

func TestStripAfterSave(t *testing.T) {
	in := fixture("AC1032", true)
	out := mustEdit(t, in, additions(0x24)["label"])
	start := bytes.Index(out, []byte("  0\nTEXT\n  5\n2B\n"))
	text := out[start : start+bytes.Index(out[start:], []byte("  0\nENDSEC"))]
	before := func(b []byte, record, what string) []byte {
		return replaceOnce(t, b, "  0\nENDSEC\n  0\nSECTION\n  2\n"+record, what+"  0\nENDSEC\n  0\nSECTION\n  2\n"+record)
	}
	userLine := "  0\nLINE\n  5\n50\n330\n1F\n100\nAcDbEntity\n  8\nFA-LABEL\n100\nAcDbLine\n 10\n0.0\n 20\n0.0\n 30\n0.0\n 11\n1.0\n 21\n1.0\n 31\n0.0\n"
	for _, c := range []struct {
		name      string
		change    func([]byte) []byte
		wantThere string
	}{
		{name: "saved only"},
		{name: "label copied", change: func(b []byte) []byte {
			return before(b, "OBJECTS", strings.Replace(string(text), "  5\n2B\n", "  5\n51\n", 1))
		}},
		{name: "label copied into a block", change: func(b []byte) []byte {
			return replaceOnce(t, b, "  0\nENDBLK", strings.Replace(string(text), "  5\n2B\n", "  5\n51\n", 1)+"  0\nENDBLK")
		}},
		{name: "a line drawn on our layer", change: func(b []byte) []byte { return before(b, "OBJECTS", userLine) },
			wantThere: "FA-LABEL"},
		{name: "our layer is current", change: func(b []byte) []byte {
			return replaceOnce(t, b, "  9\n$EXTMAX", "  9\n$CLAYER\n  8\nFA-LABEL\n  9\n$EXTMAX")
		}, wantThere: "FA-LABEL"},
		{name: "our layer frozen in a viewport", change: func(b []byte) []byte {
			return before(b, "OBJECTS", "  0\nVIEWPORT\n  5\n52\n330\n1B\n100\nAcDbEntity\n 67\n1\n  8\n0\n100\nAcDbViewport\n331\n2A\n")
		}, wantThere: "FA-LABEL"},
		{name: "our label in a group", change: func(b []byte) []byte {
			return replaceOnce(t, b, "  0\nACDBPLACEHOLDER", "  0\nGROUP\n  5\n53\n330\nC\n100\nAcDbGroup\n340\n2B\n  0\nACDBPLACEHOLDER")
		}},
		{name: "our data on somebody else's insert", change: func(b []byte) []byte {
			return replaceOnce(t, b, " 20\n30.0\n 30\n0.0\n", " 20\n30.0\n 30\n0.0\n1001\nLOOPWRIGHT\n1000\nlabel\n1001\nACAD\n1000\nkeep\n")
		}, wantThere: "keep"},
	} {
		t.Run(c.name, func(t *testing.T) {
			saved := afterSave(t, out, c.change)
			s, err := edit.Strip(c.name, saved)
			if err != nil {
				t.Fatal(err)
			}
			if bytes.Contains(s, []byte(edit.AppID)) || bytes.Contains(s, []byte("1-023")) || !bytes.Contains(s, []byte(c.wantThere)) {
				t.Errorf("want all of ours gone and %q there:\n%s", c.wantThere, s)
			}
			if bytes.Contains(s, []byte("FA-LABEL")) != (c.wantThere == "FA-LABEL") {
				t.Errorf("our layer must stay where it is in use, and only there:\n%s", s)
			}
			if !bytes.Contains(s, []byte("$HANDSEED\r\n  5\r\n100\r\n")) {
				t.Error("the seed that the CAD program set is gone")
			}
			// A layer that was ours and is in use is ours again on the next run.
			e := editLaws(t, c.name, saved, additions(0x24)["label"])
			if e == nil || e.Layers["FA-LABEL"] != "FA-LABEL" {
				t.Errorf("the next run writes to %v", e.Layers)
			}
		})
	}
}

// TestStripVerticesWithoutData: a CAD program may drop the extended data of
// vertices; they go with their polyline.
func TestStripVerticesWithoutData(t *testing.T) {
	in := fixture("AC1009", true)
	out := mustEdit(t, in, additions(0x24)["everything"])
	for _, kind := range []string{"vertex", "seqend"} {
		for {
			i := bytes.Index(out, []byte("1001\nLOOPWRIGHT\n1000\n"+kind+"\n1005\n"))
			if i < 0 {
				break
			}
			j := i + bytes.Index(out[i:], []byte("  0\n"))
			out = slices.Concat(out[:i], out[j:])
		}
	}
	back, err := edit.Strip("r12", out)
	if err != nil || !bytes.Equal(back, in) {
		t.Errorf("err %v, got\n%s", err, back)
	}
}
