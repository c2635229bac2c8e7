package verify

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
)

// mutation damages a written drawing; the checker has to see it.
type mutation struct {
	name, old, new string
	want           string // code of a problem
}

// mutate applies it to the last place where old stands, which is where our
// entities are.
func (m mutation) mutate(t *testing.T, b []byte) []byte {
	t.Helper()
	i := bytes.LastIndex(b, []byte(m.old))
	if i < 0 {
		t.Fatalf("%q is not in the drawing", m.old)
	}
	return slices.Concat(b[:i], []byte(m.new), b[i+len(m.old):])
}

// TestCheckSeesMutations damages what was added to a R2018 drawing in the ways
// that other readers let pass, and in more.
func TestCheckSeesMutations(t *testing.T) {
	in := fixture("AC1032", true)
	const head = "TEXT\n  5\n2B\n330\n1F\n100\nAcDbEntity\n  8\nFA-LABEL\n100\nAcDbText\n 10\n"
	appid := "  0\nAPPID\n  5\n28\n330\n9\n100\nAcDbSymbolTableRecord\n100\nAcDbRegAppTableRecord\n  2\nLOOPWRIGHT\n 70\n0\n"
	for _, m := range []mutation{
		// the sixteen
		{"duplicate handle", "TEXT\n  5\n2B\n", "TEXT\n  5\n23\n", problemHandleTwice},
		{"undefined text style", "  7\nLOOPWRIGHT\n", "  7\nNOSUCH\n", problemUndefined},
		{"HANDSEED not raised", "  5\n2C\n", "  5\n2B\n", problemSeed},
		{"missing APPID record", appid, "", problemUndefined},
		{"wrong owner", "2B\n330\n1F\n", "2B\n330\n1B\n", problemOwner},
		{"dangling owner", "2B\n330\n1F\n", "2B\n330\n7FFF\n", problemOwner},
		{"missing owner", "2B\n330\n1F\n", "2B\n", problemLayout},
		{"missing own handle", "TEXT\n  5\n2B\n", "TEXT\n", problemLayout},
		{"missing AcDbEntity", "1F\n100\nAcDbEntity\n  8\nFA-LABEL\n", "1F\n  8\nFA-LABEL\n", problemLayout},
		{"missing first AcDbText", "FA-LABEL\n100\nAcDbText\n 10", "FA-LABEL\n 10", problemLayout},
		{"undefined layer", "  8\nFA-LABEL\n", "  8\nNOSUCH\n", problemUndefined},
		{"dangling 390", "390\nF\n", "390\n7FFF\n", problemDangling},
		{"invalid UTF-8", "1-023", "1-0\xff23", problemEncoding},
		{"mixed line ends", "  8\nFA-LABEL\n", "  8\nFA-LABEL\r\n", problemLineEnd},
		{"height 0", " 40\n2.5\n  1\n", " 40\n0.0\n  1\n", problemValue},
		{"own handle in extended data", "1005\n2B\n", "1005\n2A\n", problemOwnHandle},
		// and more
		{"missing second AcDbText", "LOOPWRIGHT\n100\nAcDbText\n1001", "LOOPWRIGHT\n1001", problemLayout},
		{"second AcDbText too early", head, strings.Replace(head, "AcDbText\n", "AcDbText\n100\nAcDbText\n", 1), problemLayout},
		{"no own handle in extended data", "1005\n2B\n1005\n24\n", "", problemOwnHandle},
		{"no extended data", "1001\nLOOPWRIGHT\n1000\nlabel\n1005\n2B\n1005\n24\n", "", problemForeign},
		{"dangling device", "1005\n2B\n1005\n24\n", "1005\n2B\n1005\n7FFF\n", problemDangling},
		{"lower case handle", "TEXT\n  5\n2B\n", "TEXT\n  5\n2b\n", problemValue},
		{"leading zero in handle", "TEXT\n  5\n2B\n", "TEXT\n  5\n02B\n", problemValue},
		{"height not a number", " 40\n2.5\n  1\n", " 40\nnan\n  1\n", problemValue},
		{"elevation", "33.25\n 30\n0.0\n", "33.25\n 30\n1.0\n", problemValue},
		{"missing coordinate", " 20\n33.25\n", "", problemLayout},
		{"empty text", "1-023", "", problemValue},
		{"control character", "1-023", "1\t023", problemEncoding},
		{"our layer off", " 62\n1\n", " 62\n-1\n", problemValue},
		{"our layer frozen", "FA-LABEL\n 70\n0\n", "FA-LABEL\n 70\n1\n", problemValue},
		{"foreign layer", "  8\nFA-LABEL\n", "  8\n0\n", problemUndefined},
		{"layer record belongs to another table", "2A\n330\n2\n", "2A\n330\n3\n", problemOwner},
		{"HANDSEED much too high", "  5\n2C\n", "  5\nFFFF\n", problemSeed},
		{"HANDSEED no handle", "  5\n2C\n", "  5\nzz\n", problemSeed},
		{"a digit of the original", " 11\n100.0\n", " 11\n101.0\n", problemChanged},
		{"a record of the original lost", "  0\nACDBPLACEHOLDER\n  5\nF\n330\nC\n", "", problemChanged},
		{"an attribute of the original", "\nS-1\n", "\nS-2\n", problemChanged},
		{"EOF lost", "  0\nEOF\n", "", problemLost},
		{"bytes after EOF", "  0\nEOF\n", "  0\nEOF\nmore\n", problemChanged},
		{"cut off", "  0\nENDSEC\n  0\nEOF\n", "", problemUnreadable},
		{"out of step", "1-023\n", "1-023\n1-024\n", problemUnreadable},
		{"old seed not kept", "1000\nHANDSEED=2B\n1000\nRAISED=2C\n", "", problemStrip},
		{"old seed kept wrong", "HANDSEED=2B", "HANDSEED=2A", problemStrip},
	} {
		t.Run(m.name, func(t *testing.T) {
			out := mustEdit(t, in, additions(0x24)["label"])
			ps := compare(in, m.mutate(t, out))
			if !slices.ContainsFunc(ps, func(p problem) bool { return p.code == m.want }) {
				t.Errorf("want a problem %q, got %v", m.want, ps)
			}
		})
	}
}

// TestCheckSeesMutationsElsewhere does it to polylines, binary files, code
// pages and places.
func TestCheckSeesMutationsElsewhere(t *testing.T) {
	r13 := fixture("AC1012", true)
	r2000 := fixture("AC1015", true)
	everything, label := additions(0x24)["everything"], additions(0x24)["label"]
	out13, out2000 := mustEdit(t, r13, everything), mustEdit(t, r2000, everything)
	bin, outBin := binaryTwin(t, r2000, 2), mustEdit(t, binaryTwin(t, r2000, 2), label)
	moved := mustEdit(t, r2000, label)
	start := bytes.Index(moved, []byte("  0\nTEXT\n  5\n2B\n"))
	end := start + bytes.Index(moved[start:], []byte("  0\nENDSEC"))
	block := bytes.Index(moved, []byte("  0\nENDBLK"))
	inBlock := slices.Concat(moved[:block], moved[start:end], moved[block:start], moved[end:])
	for _, c := range []struct {
		name    string
		in, out []byte
		m       mutation
	}{
		{"vertex belongs to model space", r13, out13, mutation{old: "330\n2C\n100\nAcDbEntity\n  8\nFA-WIRE\n100\nAcDbVertex", new: "330\n1F\n100\nAcDbEntity\n  8\nFA-WIRE\n100\nAcDbVertex", want: problemOwner}},
		{"vertex without its marker", r13, out13, mutation{old: "100\nAcDbVertex\n", want: problemLayout}},
		{"polyline says too many points", r2000, out2000, mutation{old: " 90\n4\n", new: " 90\n5\n", want: problemValue}},
		{"radius 0", r2000, out2000, mutation{old: " 40\n2.5\n1001", new: " 40\n0.0\n1001", want: problemValue}},
		{"UTF-8 in a code page", dropCodePage(r2000), mustEdit(t, dropCodePage(r2000), label), mutation{old: "1-023", new: "1-0\xc3\xa923", want: problemEncoding}},
		{"binary: height 0", bin, outBin, mutation{old: "\x28\x00\x00\x00\x00\x00\x00\x00\x04\x40\x01\x001-023", new: "\x28\x00\x00\x00\x00\x00\x00\x00\x00\x00\x01\x001-023", want: problemValue}},
		{"binary: undefined layer", bin, outBin, mutation{old: "\x08\x00FA-LABEL\x00", new: "\x08\x00FA-LABEM\x00", want: problemUndefined}},
		{"binary: code page", bin, outBin, mutation{old: "1-023", new: "1\x0723", want: problemEncoding}},
		{"new text in a block", r2000, inBlock, mutation{want: problemPlace}},
		{"other line ends", r2000, toEOL(moved, "\r\n"), mutation{want: problemChanged}},
		{"another version", r2000, moved, mutation{old: "AC1015", new: "AC1018", want: problemChanged}},
		{"two records swapped", r2000, slices.Concat(moved[:start], []byte("  0\nTEXT\n"), moved[start:]), mutation{want: problemForeign}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if ps := compare(c.in, c.out); c.m.old != "" && len(ps) > 0 {
				t.Fatalf("before the damage: %v", ps)
			}
			ps := compare(c.in, c.m.mutate(t, c.out))
			if !slices.ContainsFunc(ps, func(p problem) bool { return p.code == c.m.want }) {
				t.Errorf("want a problem %q, got %v", c.m.want, ps)
			}
		})
	}
}

// TestCheckHandleAwaited: the original refers to a handle that nothing has; a
// new record that gets it would be taken for the missing thing.
func TestCheckHandleAwaited(t *testing.T) {
	in := fixture("AC1015", true)
	out := mustEdit(t, in, additions(0x24)["label"])
	dangling := func(b []byte) []byte { return replaceOnce(t, b, "390\nF\n", "390\nF\n1001\nACAD\n1005\n2B\n") }
	// The original's layer 0 is the first record with 390 in both.
	ps := compare(dangling(in), dangling(out))
	if !slices.ContainsFunc(ps, func(p problem) bool { return p.code == problemHandleTaken }) {
		t.Errorf("got %v", ps)
	}
}

func dropCodePage(b []byte) []byte {
	return bytes.Replace(b, []byte("  9\n$DWGCODEPAGE\n  3\nANSI_1252\n"), nil, 1)
}

func mustEdit(t *testing.T, in []byte, a edit.Addition) []byte {
	t.Helper()
	d, err := dxf.Parse("in.dxf", in)
	if err != nil {
		t.Fatal(err)
	}
	e, err := edit.Add(d, a)
	if err != nil {
		t.Fatal(err)
	}
	return e.Bytes
}
