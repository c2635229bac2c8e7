package workbook_test

import (
	"testing"

	"github.com/xuri/excelize/v2"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/recognize"
)

// account has a row of each sort.
func account() []recognize.AccountRow {
	return []recognize.AccountRow{
		{Drawing: "level-1.dxf", Form: "block", Name: "SMK", Placed: 9, Hidden: 2, Counted: 5, Out: map[string]int{"hidden": 2, "legend": 1}, Landmark: 1, X: 12.5, Y: 30, Layer: "E-FIRE"},
		{Drawing: "level-1.dxf", Form: "block", Name: "DESK", Placed: 4, Rest: 4, Is: "furniture", X: 1, Y: 2, Layer: "A-FURN"},
		{Drawing: "level-1.dxf", Form: "figure", Name: `circle with "X"`, Placed: 3, Rest: 3, X: 7, Y: 8, Layer: "0", Sketch: &recognize.Sketch{
			Window: geom.BoxOf(geom.Pt(0, 0), geom.Pt(10, 10)), Lines: [][]geom.Point{{{X: 1, Y: 5}, {X: 9, Y: 5}}}, Letters: []recognize.Letters{{Text: "X", At: geom.Pt(5, 7), Height: 3}}}},
	}
}

// What is unexplained stands first, with its picture beside it, and nothing else has one.
func TestPicturesOfTheUnexplained(t *testing.T) {
	in := small(t)
	in.Take.Account = account()
	f, err := excelize.OpenFile(file(t, in))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("Account")
	if err != nil {
		t.Fatal(err)
	}
	cells, err := f.GetPictureCells("Account")
	if err != nil || len(cells) != 1 {
		t.Fatalf("pictures at %v, %v", cells, err)
	}
	_, row, err := excelize.CellNameToCoordinates(cells[0])
	if err != nil || rows[row-1][2] != `circle with "X"` || rows[row-2][2] != "name" {
		t.Errorf("the picture stands beside %q", rows[row-1])
	}
}
