package xlsx

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// emitter turns sheets into a file.
type emitter struct {
	f      *excelize.File
	b      *Book
	styles map[Style]int
}

// Write makes the file.
func (f *Book) Write(w io.Writer) error {
	e := emitter{f: excelize.NewFile(), b: f, styles: map[Style]int{}}
	defer e.f.Close()
	e.f.SetZipWriter(newSortedZip)
	if err := e.properties(); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	for i, s := range f.Sheets {
		if err := e.sheet(i, s); err != nil {
			return fmt.Errorf("workbook: sheet %s: %w", s.Name, err)
		}
		s.rows = nil // written: the memory serves the next sheet
	}
	for _, n := range f.names {
		if err := e.f.SetDefinedName(&excelize.DefinedName{Name: n.name, RefersTo: n.refersTo}); err != nil {
			return fmt.Errorf("workbook: name %s: %w", n.name, err)
		}
	}
	// The whole file is made in memory first: an error leaves w untouched.
	var buf bytes.Buffer
	if err := e.f.Write(&buf); err != nil {
		return fmt.Errorf("workbook: %w", err)
	}
	_, err := w.Write(buf.Bytes())
	return err
}

func (e *emitter) properties() error {
	date := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	if !e.b.Date.IsZero() {
		date = e.b.Date.UTC()
	}
	stamp := date.Format("2006-01-02T15:04:05Z")
	if err := e.f.SetDocProps(&excelize.DocProperties{Title: e.b.Title, Creator: "loopwright", LastModifiedBy: "loopwright",
		Created: stamp, Modified: stamp, Revision: "1", Version: "1"}); err != nil {
		return err
	}
	if err := e.f.SetAppProps(&excelize.AppProperties{Application: "loopwright"}); err != nil {
		return err
	}
	full := true
	return e.f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &full})
}

func (e *emitter) sheet(i int, s *Sheet) error {
	if i == 0 {
		if err := e.f.SetSheetName("Sheet1", s.Name); err != nil {
			return err
		}
	} else if _, err := e.f.NewSheet(s.Name); err != nil {
		return err
	}
	// All that stands around the cells must be set before streaming begins:
	// set afterwards it is lost without an error.
	if err := e.around(s); err != nil {
		return err
	}
	if err := e.objects(s); err != nil {
		return err
	}
	return e.stream(s)
}

func (e *emitter) stream(s *Sheet) error {
	sw, err := e.f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	for c, w := range s.widths {
		if err := sw.SetColWidth(c+1, c+1, w); err != nil {
			return err
		}
	}
	for _, c := range s.Hidden {
		if err := sw.SetColVisible(c, c, false); err != nil {
			return err
		}
	}
	if s.Head > 0 {
		if err := sw.SetPanes(panes(s)); err != nil {
			return err
		}
	}
	if err := e.cells(sw, s); err != nil {
		return err
	}
	for _, m := range s.merges {
		from, to, _ := strings.Cut(m, ":")
		if err := sw.MergeCell(from, to); err != nil {
			return err
		}
	}
	if s.Table != "" {
		stripes := false
		err := sw.AddTable(&excelize.Table{Name: s.Table, Range: At(1, s.Head) + ":" + s.TableTo.Here(),
			StyleName: "TableStyleLight1", ShowRowStripes: &stripes})
		if err != nil {
			return err
		}
	}
	return sw.Flush()
}

func (e *emitter) cells(sw *excelize.StreamWriter, s *Sheet) error {
	var row []any
	for i, cells := range s.rows {
		if len(cells) == 0 && s.heights[i+1] == 0 {
			continue
		}
		row = row[:0]
		for k, c := range cells {
			if c.Style.Role == RoleHead && s.numbersUnder(i, k) {
				c.Style.Form = FormWhole
			}
			if c == (Cell{}) {
				row = append(row, nil)
				continue
			}
			id, err := e.style(c.Style)
			if err != nil {
				return err
			}
			if c.Value == "" && c.Formula == "" {
				c.Value = nil // an empty text is no text
			}
			row = append(row, excelize.Cell{StyleID: id, Formula: c.Formula, Value: c.Value})
		}
		var opts []excelize.RowOpts
		if h := s.heights[i+1]; h > 0 {
			opts = []excelize.RowOpts{{Height: min(h, 400)}}
		}
		if err := sw.SetRow(At(1, i+1), row, opts...); err != nil {
			return err
		}
	}
	return nil
}

// numbersUnder reports whether the column under a head holds numbers, which the
// head then stands over at the right: the first cell with anything in it tells.
func (s *Sheet) numbersUnder(row, col int) bool {
	const far = 12 // rows; a title of a group may stand between
	for _, cells := range s.rows[row+1 : min(len(s.rows), row+1+far)] {
		if col >= len(cells) {
			continue
		}
		switch c := cells[col]; {
		case c.Style.Role == RoleHead:
			return false
		case c.Style.Role == roleSection || c == (Cell{}):
		default:
			return c.Style.Form != FormGeneral || c.Style.right
		}
	}
	return false
}

func (e *emitter) style(s Style) (int, error) {
	if id, ok := e.styles[s]; ok {
		return id, nil
	}
	id, err := e.f.NewStyle(s.sheetStyle())
	if err == nil {
		e.styles[s] = id
	}
	return id, err
}

func panes(s *Sheet) *excelize.Panes {
	return &excelize.Panes{Freeze: true, XSplit: s.Freeze, YSplit: s.Head,
		TopLeftCell: At(s.Freeze+1, s.Head+1), ActivePane: "bottomRight"}
}
