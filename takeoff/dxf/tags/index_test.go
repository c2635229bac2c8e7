package tags

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// lines is a drawing of n lines: ASCII where width is 0, otherwise binary with
// group codes of width bytes.
func lines(n, width int) []byte {
	var b []byte
	if width > 0 {
		b = append(b, binarySentinel...)
	}
	tag := func(code int, value any) {
		switch {
		case width == 0:
			b = fmt.Appendf(b, "%3d\n%v\n", code, value)
			return
		case width == 1:
			b = append(b, byte(code))
		default:
			b = binary.LittleEndian.AppendUint16(b, uint16(code))
		}
		if f, ok := value.(float64); ok {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(f))
			return
		}
		b = append(append(b, value.(string)...), 0)
	}
	tag(0, "SECTION")
	tag(2, "ENTITIES")
	for i := range n {
		tag(0, "LINE")
		tag(5, strconv.FormatInt(int64(i+1), 16))
		tag(8, strings.Repeat("A-WALL-", 16))
		tag(10, float64(i)+0.125)
		tag(20, -1.5)
	}
	tag(0, "ENDSEC")
	tag(0, "EOF")
	return b
}

// TestChunks indexes files that are large enough to be mapped and cut into chunks
// that are read side by side, and compares with one walk over the same bytes.
func TestChunks(t *testing.T) {
	const n = 120_000
	for name, width := range map[string]int{"ASCII": 0, "binary R12": 1, "binary": 2} {
		t.Run(name, func(t *testing.T) {
			b := lines(n, width)
			if len(b) < 2*chunkSize {
				t.Fatalf("%d bytes make no two chunks", len(b))
			}
			path := filepath.Join(t.TempDir(), "big.dxf")
			if err := os.WriteFile(path, b, 0o600); err != nil {
				t.Fatal(err)
			}
			s, err := Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer s.Close()
			if s.unmap == nil {
				t.Log("not mapped on this system")
			}
			x := buildIndex(s, chunkSize)
			var one Index
			one.scan(s, s.Body, len(s.Bytes))
			if !slices.Equal(x.at, one.at) || x.end != one.end || x.Len() != n+3 {
				t.Errorf("%d records, one walk finds %d, there are %d", x.Len(), one.Len(), n+3)
			}
		})
	}
}

// FuzzIndex: the index tiles the file and is the same however the file is cut.
func FuzzIndex(f *testing.F) {
	for width := range 3 {
		b := lines(3, width)
		f.Add(b)
		f.Add(b[:len(b)*2/3])
		f.Add(slices.Concat(b[:len(b)/3], []byte("oops\n"), b[len(b)/3:]))
	}
	f.Add(bytes.ReplaceAll(lines(3, 0), []byte("\n"), []byte("\r\n")))
	f.Add(bytes.ReplaceAll(lines(3, 0), []byte("\n"), []byte("\r")))
	f.Add([]byte("999\n0\n  0\t\nSection \n     2\n ENTITIES\n0\ninsert\n-1\nx\n0\nEOF\nmore"))
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) > 1<<20 {
			return
		}
		s := NewSource("fuzz.dxf", b)
		x := buildIndex(s, chunkSize)
		checkTiling(t, s, &x)
		checkCuts(t, s, &x)
	})
}

// checkTiling: records follow each other without gap, and the tags of a record
// without faults, put together, are its bytes.
func checkTiling(t *testing.T, d *Source, x *Index) {
	last := -1
	for i := range x.Len() {
		start, end := x.Start(i), x.Stop(i)
		if last >= 0 && start != last || end < start {
			t.Fatalf("record at %d after one that ends at %d", start, last)
		}
		last = end
		at := start
		sc := d.Scanner(start, end)
		for {
			tag, ok := sc.Next()
			if !ok {
				break
			}
			if tag.Start != at || tag.ValStart < tag.Start || tag.ValEnd < tag.ValStart || tag.End < tag.ValEnd || tag.End > end {
				t.Fatalf("tag %+v at %d", tag, at)
			}
			at = tag.End
			d.Text(tag)
			d.Float(tag)
			d.Int(tag)
		}
		if len(sc.Faults) == 0 && at != end && len(bytes.Trim(d.Bytes[at:end], " \t\r\n\x00\x1a")) > 0 {
			t.Fatalf("tags end at %d, the record at %d", at, end)
		}
		if x.Kind(i) == EOF {
			return // what comes after it may be anything
		}
	}
}

// checkCuts: reading in small chunks gives what one walk gives.
func checkCuts(t *testing.T, s *Source, whole *Index) {
	for _, size := range []int{7, 64, 301} {
		x := buildIndex(s, size)
		if !slices.Equal(x.at, whole.at) || x.end != whole.end {
			t.Fatalf("chunks of %d: %d records end %d, want %d end %d", size, x.Len(), x.end, whole.Len(), whole.end)
		}
	}
}
