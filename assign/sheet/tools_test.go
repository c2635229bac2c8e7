package sheet

import (
	"encoding/xml"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// saved writes a PDF into the test's folder.
func saved(t testing.TB, pdf []byte) string {
	t.Helper()
	f := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(f, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return f
}

// output returns what a program prints, and skips the test where none are asked for.
func output(t testing.TB, tool string, args ...string) string {
	t.Helper()
	tool = against.Program(t, tool)
	out, err := exec.Command(tool, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", tool, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// word is a word on a page as poppler sees it, in points from the top left.
type word struct {
	XMin float64 `xml:"xMin,attr"`
	YMin float64 `xml:"yMin,attr"`
	XMax float64 `xml:"xMax,attr"`
	YMax float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

func (w word) x() float64      { return (w.XMin + w.XMax) / 2 }
func (w word) y() float64      { return (w.YMin + w.YMax) / 2 }
func (w word) height() float64 { return w.YMax - w.YMin }

// words returns the words of every page.
func words(t testing.TB, pdf string) [][]word {
	t.Helper()
	out := strings.TrimSuffix(pdf, ".pdf") + ".html"
	output(t, "pdftotext", "-bbox", pdf, out)
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Pages []struct {
			Words []word `xml:"word"`
		} `xml:"body>doc>page"`
	}
	d := xml.NewDecoder(strings.NewReader(string(data)))
	d.Strict = false
	d.Entity = xml.HTMLEntity
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	var pages [][]word
	for _, p := range doc.Pages {
		pages = append(pages, p.Words)
	}
	return pages
}

// scan is one rendered page: shades from 0 black to 255 white.
type scan struct {
	dpi  int
	w, h int
	pix  []byte
}

// scans renders every page to gray pixels.
func scans(t testing.TB, pdf string, dpi int) []scan {
	t.Helper()
	against.Program(t, "pdftoppm")
	data, err := exec.Command("pdftoppm", "-gray", "-r", fmt.Sprint(dpi), pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	var out []scan
	for len(data) > 0 {
		s := scan{dpi: dpi}
		var most int
		if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &s.w, &s.h, &most); err != nil || most != 255 {
			t.Fatalf("no gray page: %v", err)
		}
		head := len(fmt.Sprintf("P5\n%d %d\n%d\n", s.w, s.h, most))
		s.pix, data = data[head:head+s.w*s.h], data[head+s.w*s.h:]
		out = append(out, s)
	}
	return out
}

// gray returns the mean shade of the pixels around a place in points.
func (s scan) gray(x, y float64) float64 {
	cx, cy := int(x*float64(s.dpi)/72), int(y*float64(s.dpi)/72)
	sum := 0.0
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			sum += float64(s.pix[(cy+dy)*s.w+cx+dx])
		}
	}
	return sum / 9
}
