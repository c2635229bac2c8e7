package workbook

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/picture"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/takeoff/recognize"
)

// The columns of the account; figures stand from accountPlaced to accountOpen.
const (
	accountPlaced = 4 + iota
	accountCounted
	accountOut
	accountMarks
	accountIs
	accountOpen
	accountCheck
	accountWhy
	accountX
	accountY
	accountLayer
	accountPicture
)

const (
	pictureShown = 52.0 // pixels of a sheet: side of the picture of one figure
	pictureRow   = 42.0 // points of a row that holds one
)

// accountSheet says what became of every figure of every drawing, those that nothing
// explains first, with a picture of each.
func accountSheet(b *book, o *outcome.Outcome) (*xlsx.Sheet, error) {
	s := b.NewSheet("Account", 18, 8, 30, 8, 9, 9, 9, 10, 13, 9, 34, 11, 11, 18, 9)
	s.Title("Account of the drawings",
		"Every block, every loose figure and every short text that repeats, once: what is placed is counted, left out for a reason, a panel or riser, explained as something else, or unexplained. "+
			"Look at what is unexplained: if it is a device, give it a rule under types. Places are in drawing units.")
	s.Head = s.Header("drawing", "drawn as", "name", "placed", "counted", "left out", "panels, risers", "explained", "UNEXPLAINED", "sum less placed", "why", "x", "y", "layer", "picture").Row
	s.Freeze = 3
	rows := slices.Clone(o.Take.Account)
	slices.SortStableFunc(rows, func(a, b recognize.AccountRow) int {
		switch {
		case a.Unexplained() == b.Unexplained():
			return 0
		case a.Unexplained():
			return -1
		}
		return 1
	})
	painter, err := picture.NewPainter()
	if err != nil {
		return nil, err
	}
	first := s.Next()
	for i := range rows {
		a := &rows[i]
		r := s.Add(accountRow(s, a)...)
		s.Fit(r.Row, accountWhy, why(a))
		if a.Sketch == nil {
			continue
		}
		data, err := sketch(painter, a.Sketch)
		if err != nil {
			return nil, fmt.Errorf("picture of %s: %w", a.Name, err)
		}
		s.Height(r.Row, pictureRow)
		s.Pictures = append(s.Pictures, xlsx.Picture{At: xlsx.At(accountPicture, r.Row), PNG: data, Scale: pictureShown / picture.DetailSide,
			Alt: fmt.Sprintf("%s %s on %s", a.Form, a.Name, a.Drawing)})
	}
	if len(rows) == 0 {
		s.Add(xlsx.Text("no drawings"))
		return s, nil
	}
	last := s.Next() - 1
	total := []xlsx.Cell{xlsx.Text("in all").As(xlsx.RoleTotal), xlsx.Text("").As(xlsx.RoleTotal), xlsx.Text("").As(xlsx.RoleTotal)}
	for col := accountPlaced; col <= accountCheck; col++ {
		sum := 0
		for r := first; r <= last; r++ {
			n, _ := s.Ref(r, col).Num()
			sum += int(n)
		}
		total = append(total, xlsx.Calc(fmt.Sprintf("SUM(%s)", s.Span(col, first, last)), sum, xlsx.FormCount).As(xlsx.RoleTotal))
	}
	s.Add(total...)
	return s, nil
}

func accountRow(s *xlsx.Sheet, a *recognize.AccountRow) []xlsx.Cell {
	out := 0
	for _, n := range a.Out {
		out += n
	}
	explained, open := a.Rest, 0
	if a.Unexplained() {
		explained, open = 0, a.Rest
	}
	row := s.Next()
	cells := []xlsx.Cell{xlsx.Text(a.Drawing), xlsx.Text(a.Form), xlsx.Text(a.Name)}
	for _, n := range []int{a.Placed, a.Counted, out, a.Landmark, explained, open} {
		cells = append(cells, xlsx.Number(float64(n), xlsx.FormCount))
	}
	if open > 0 {
		cells[accountOpen-1] = cells[accountOpen-1].As(xlsx.RoleFlag)
	}
	check := fmt.Sprintf("SUM(%s:%s)-%s", xlsx.At(accountCounted, row), xlsx.At(accountOpen, row), xlsx.At(accountPlaced, row))
	return append(cells, xlsx.Calc(check, a.Counted+out+a.Landmark+explained+open-a.Placed, xlsx.FormCount), xlsx.Text(why(a)).Wrapped(),
		xlsx.Number(rounded(a.X, 4), xlsx.FormFine), xlsx.Number(rounded(a.Y, 4), xlsx.FormFine), xlsx.Text(a.Layer))
}

// why says in words why what does not count of a row does not.
func why(a *recognize.AccountRow) string {
	var parts []string
	for _, k := range slices.Sorted(maps.Keys(a.Out)) {
		parts = append(parts, fmt.Sprintf("%s %d", k, a.Out[k]))
	}
	if a.Hidden > 0 {
		parts = append(parts, fmt.Sprintf("%d of all on layers that are off or frozen, or invisible", a.Hidden))
	}
	if a.Rest > 0 && a.Is != "" {
		parts = append(parts, a.Is)
	}
	return strings.Join(parts, ", ")
}

func sketch(p *picture.Painter, k *recognize.Sketch) ([]byte, error) {
	var labels []picture.Label
	for _, l := range k.Letters {
		labels = append(labels, picture.Label{Words: l.Text, At: l.At, Height: l.Height})
	}
	return p.Detail(k.Window, k.Lines, labels)
}
