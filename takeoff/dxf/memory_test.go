package dxf

import (
	"os"
	"regexp"
	"strconv"
	"testing"
)

// TestBigDrawing surveys the drawing that LOOPWRIGHT_BIG_DXF names, once, as a
// whole process would, and reports peak memory.
func TestBigDrawing(t *testing.T) {
	name := os.Getenv("LOOPWRIGHT_BIG_DXF")
	if name == "" {
		t.Skip("LOOPWRIGHT_BIG_DXF names no drawing")
	}
	info, err := os.Stat(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Open(name)
	if err != nil {
		t.Fatal(err)
	}
	inserts, _, err := d.Inserts(Options{})
	if err != nil {
		t.Fatal(err)
	}
	texts, _, err := d.Texts(Options{})
	if err != nil {
		t.Fatal(err)
	}
	attribs := 0
	for i := range inserts {
		attribs += len(inserts[i].Attribs)
	}
	peak := peakMemory()
	t.Logf("%d inserts, %d attributes, %d texts, %d records; peak %d MB = %.2f of the file",
		len(inserts), attribs, len(texts), d.idx.Len(), peak>>20, float64(peak)/float64(info.Size()))
	if peak > 0 && float64(peak) > 1.4*float64(info.Size())+30e6 {
		t.Errorf("peak memory is more than 1.4 times the file")
	}
}

// peakMemory returns the largest resident size of the process, 0 if the system
// does not tell.
func peakMemory() int64 {
	raw, _ := os.ReadFile("/proc/self/status")
	m := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(raw)
	if m == nil {
		return 0
	}
	n, _ := strconv.ParseInt(string(m[1]), 10, 64)
	return n << 10
}
