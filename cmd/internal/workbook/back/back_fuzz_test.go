package back

import (
	"archive/zip"
	"bytes"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/returned"
)

// readBytes is Read of a file in memory.
func readBytes(data []byte) (returned.Source, error) {
	return read(func() (*excelize.File, error) { return excelize.OpenReader(bytes.NewReader(data), readOptions) })
}

// The least of a workbook that spreadsheet programs open: ECMA-376 part 1, 12.3 (packages).
const (
	contentTypes = `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>` +
		`<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>` +
		`<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`
	rootRels = `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" ` +
		`Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookRels = `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" ` +
		`Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" ` +
		`Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`
	leastBook = `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">` +
		`<sheets><sheet name="Devices" sheetId="1" r:id="rId1"/></sheets><definedNames><definedName name="JobName">Devices!$A$1</definedName></definedNames></workbook>`
)

// packed makes a workbook of its parts, unpacked so that little stands between a seed and what is read.
func packed(book, sheet, shared string) []byte {
	var b bytes.Buffer
	zw := zip.NewWriter(&b)
	for _, p := range [][2]string{{"[Content_Types].xml", contentTypes}, {"_rels/.rels", rootRels}, {"xl/_rels/workbook.xml.rels", bookRels},
		{"xl/workbook.xml", book}, {"xl/sharedStrings.xml", shared}, {"xl/worksheets/sheet1.xml", sheet}} {
		w, err := zw.CreateHeader(&zip.FileHeader{Name: p[0], Method: zip.Store})
		if err != nil {
			panic(err) // a buffer refuses nothing
		}
		w.Write([]byte(p[1]))
	}
	zw.Close()
	return b.Bytes()
}

// sheetOf writes rows of cells, parted by tabs, as the XML of a sheet.
func sheetOf(rows ...string) string {
	var b strings.Builder
	b.WriteString(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>`)
	for _, row := range rows {
		b.WriteString("<row>")
		for _, c := range strings.Split(row, "\t") {
			b.WriteString(`<c t="inlineStr"><is><t>` + c + `</t></is></c>`)
		}
		b.WriteString("</row>")
	}
	return b.String() + "</sheetData></worksheet>"
}

const (
	deviceHead = "key\tid\ttype\tlevel\tcircuit\taddress\tfound address\tdone\tserial\tremark"
	noShared   = `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>`
	loopHead   = "circuit\tloop, ohm\tfound, ohm"
)

// TestReadBackLeast reads the least of workbooks, so that the seeds below are known to be read whole.
func TestReadBackLeast(t *testing.T) {
	sheet := sheetOf("Library", deviceHead, "D1\tD1\tsmoke\tLevel 1\tSLC-1\t1\t7\tyes\t0A1\tmoved", "D2\tD2\tsmoke\tLevel 1\tSLC-1\t2", loopHead, "SLC-1\t3.1\t3.2")
	rows, err := readBytes(packed(leastBook, sheet, noShared))
	if err != nil {
		t.Fatal(err)
	}
	if rows.Job != "Library" || len(rows.Entries) < 2 || len(rows.Readings) != 1 || rows.Readings[0].Ohm != "3.2" {
		t.Fatalf("%+v", rows)
	}
	if d := rows.Entries[0]; d.ID != "D1" || d.Found != "7" || len(d.Ticks) != 1 || d.Serial != "0A1" || d.Note != "moved" {
		t.Errorf("%+v", d)
	}
}

// FuzzReadBack: no workbook makes it panic, and what it returns is within its
// own rules. The parts are given unpacked: within a zip a changed byte only
// breaks the checksum, and nothing behind it is reached.
func FuzzReadBack(f *testing.F) {
	device := "D1\tD1\tsmoke\tLevel 1\tSLC-1\t1\t7\tyes\t0A1\tmoved"
	f.Add(leastBook, sheetOf("Library", deviceHead, device, device, loopHead, "SLC-1\t3.1\t3.2"), noShared)
	f.Add(leastBook, sheetOf("x\t"+deviceHead, "\tD1", "y\tD2\t\t\t\t\t1e3\t7.5\tperhaps"), noShared)
	f.Add(leastBook, sheetOf(loopHead, "A\t1\topen", "A\t1\t-1", "A\t1\tNaN"), noShared)
	f.Add(leastBook, `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c><c r="XFD1" t="s"><v>1</v></c></row><row r="1048576"><c t="b"><v>1</v></c></row></sheetData></worksheet>`,
		`<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" count="2"><si><t>key</t></si><si><r><t>i</t></r><r><t>d</t></r></si></sst>`)
	f.Add(strings.Replace(leastBook, "Devices!$A$1", "'As ''built'!$B$2:$C$3", 1), "<worksheet/>", "")
	f.Fuzz(func(t *testing.T, book, sheet, shared string) {
		data := packed(book, sheet, shared)
		rows, err := readBytes(data)
		if err != nil {
			return
		}
		seen := map[string]bool{}
		for _, d := range rows.Entries {
			if d.ID == "" || seen[d.ID] || strings.HasPrefix(d.Found, "-") || d.Planned < 0 {
				t.Errorf("%+v", d)
			}
			seen[d.ID] = true
		}
		for _, c := range rows.Readings {
			if ohm, err := strconv.ParseFloat(c.Ohm, 64); c.Circuit == "" || err != nil || !(ohm >= 0) {
				t.Errorf("%+v", c)
			}
		}
		for _, p := range rows.Remarks {
			if p.Where == "" || p.Text == "" {
				t.Errorf("%+v", p)
			}
		}
	})
}

// FuzzReadBackFile: no bytes make it panic, as a whole file.
func FuzzReadBackFile(f *testing.F) {
	f.Add(packed(leastBook, sheetOf("Library", deviceHead), noShared))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if rows, err := readBytes(data); err != nil && len(rows.Entries) > 0 {
			t.Errorf("rows beside an error: %v", err)
		}
	})
}
