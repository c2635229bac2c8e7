package begin

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Heights as drawings of several offices write them.
func TestHeightIn(t *testing.T) {
	for _, tt := range []struct {
		text   string
		metric bool
		want   string
	}{
		{"PULL STATION, +48 in AFF", false, "48 in"},
		{`HORN STROBE, 80" A.F.F.`, false, "80 in"},
		{`SPEAKER MTD. AT 7'-6" AFF`, false, "90 in"},
		{"STROBE +80 AFF", false, "80 in"},
		{"Manual call point (h=1.40 m)", true, "1.4 m"},
		{"Handfeuermelder, h = 1,40", true, "1.4 m"},
		{"Handfeuermelder 140 cm ü. OKFF", true, "140 cm"},
		{"Sounder, mounted 2300 mm AFFL", true, "2300 mm"},
		{"Sounder +230", true, "230 cm"},
		{"Sounder 100 dB", true, ""},
		{"Heat detector 57 °C", true, ""},
		{"Horn, +5 dB", true, ""},
		{"Duct detector, 24 V, mounted on the duct", false, ""},
		{"Smoke detector mounted under a raised floor", true, ""},
		{"+0.05", true, ""},
		{`MANUAL STATIONS: OPERABLE PART 46" ABOVE FINISHED FLOOR, WITHIN 5'-0" OF EXIT DOORS`, false, "46 in"},
		{`HORNS 90" AFF AND 6" BELOW CEILING`, false, "90 in"},
		{"Mounted between 100 cm and 140 cm", true, ""},
	} {
		if got := heightIn(tt.text, tt.metric); got != tt.want {
			t.Errorf("%q: %q, want %q", tt.text, got, tt.want)
		}
	}
}

// The legend's words come before an attribute's, and those before a note's; each with its reason.
func TestMountingOfDrafts(t *testing.T) {
	var blocks, body strings.Builder
	insert := func(block string, x, y int, attribs ...string) {
		fmt.Fprintf(&body, "0\nINSERT\n8\nFIRE\n66\n1\n2\n%s\n10\n%d\n20\n%d\n", block, x, y)
		for _, a := range attribs {
			tag, value, _ := strings.Cut(a, "=")
			fmt.Fprintf(&body, "0\nATTRIB\n8\nFIRE\n10\n%d\n20\n%d\n40\n6\n2\n%s\n1\n%s\n", x, y, tag, value)
		}
		body.WriteString("0\nSEQEND\n")
	}
	text := func(x, y int, s string) {
		fmt.Fprintf(&body, "0\nTEXT\n8\nTEXT\n10\n%d\n20\n%d\n40\n8\n1\n%s\n", x, y, s)
	}
	for i, row := range []string{"PULL STATION, +48 in AFF", "HORN STROBE", "SMOKE DETECTOR", "SPEAKER"} {
		fmt.Fprintf(&blocks, "0\nBLOCK\n8\n0\n2\nB%d\n70\n2\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n6\n0\nENDBLK\n", i)
		text(1100, 400-20*i, row)
		insert(fmt.Sprint("B", i), 1080, 404-20*i)
	}
	for i := range 8 {
		x, y := 120*(i%4), 100*(i/4)
		fmt.Fprintf(&body, "0\nLWPOLYLINE\n8\nWALL\n90\n4\n70\n1\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n10\n%d\n20\n%d\n", x, y, x+120, y, x+120, y+100, x, y+100)
		text(x+10, y+80, "OFFICE")
		insert([]string{"B0", "B1", "B2", "B3"}[i%4], x+60, y+40, []string{"MTG=60", "MTG=W80", "MTG=", "X=1"}[i%4])
	}
	text(1100, 200, `SPEAKERS: 7'-6" A.F.F., 100 dB`)
	dir := t.TempDir()
	file := filepath.Join(dir, "plan.dxf")
	dxf := "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n" + blocks.String() + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + body.String() + "0\nENDSEC\n0\nEOF\n"
	if err := os.WriteFile(file, []byte(dxf), 0o600); err != nil {
		t.Fatal(err)
	}
	draft, err := draftText(dir, []string{file})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for line := range strings.Lines(draft) {
		if strings.HasPrefix(line, "    mounting: ") {
			got = append(got, strings.Join(strings.Fields(line), " "))
		}
	}
	want := []string{
		"mounting: ceiling",
		`mounting: 48 in # the legend says "PULL STATION, +48 in AFF"`,
		"mounting: 80 in # MTG=W80 on 2 of 2",
		`mounting: 90 in # a note says "SPEAKERS: 7'-6\" A.F.F., 100 dB"`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q\n%s", got, want, draft)
	}
}
