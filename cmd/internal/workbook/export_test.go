package workbook

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/returned"

	"loopwright/cmd/internal/outcome"
)

// ReadBytes is ReadBack of a file in memory.
func ReadBytes(data []byte) (returned.Source, error) {
	return readBack(func() (*excelize.File, error) { return excelize.OpenReader(bytes.NewReader(data), readOptions) })
}

// TSheet is one sheet as composed, for tests.
type TSheet struct {
	Name string
	s    *Sheet
}

// Compose builds the sheets without making a file.
func Compose(in *outcome.Outcome) ([]TSheet, error) {
	b, err := compose(in)
	if err != nil {
		return nil, err
	}
	var out []TSheet
	for _, s := range b.Sheets {
		out = append(out, TSheet{s.Name, s})
	}
	return out, nil
}

// TCell is a cell as composed.
type TCell struct {
	At      string
	Formula string
	Value   any
}

// Formulas lists the cells that hold a formula.
func (s TSheet) Formulas() []TCell {
	var out []TCell
	s.each(func(c TCell) {
		if c.Formula != "" {
			out = append(out, c)
		}
	})
	return out
}

// Value is what a cell holds.
func (s TSheet) Value(where string) any {
	var v any
	s.each(func(c TCell) {
		if c.At == where {
			v = c.Value
		}
	})
	return v
}

func (s TSheet) each(f func(TCell)) {
	for r := 1; r < s.s.Next(); r++ {
		for k, c := range s.s.Row(r) {
			f(TCell{At(k+1, r), c.Formula, c.Value})
		}
	}
}

// WriteCSV writes the values of a sheet, with those of formulas marked by a leading =.
func (s TSheet) WriteCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	for r := 1; r < s.s.Next(); r++ {
		cells := s.s.Row(r)
		row := make([]string, len(cells))
		for i, x := range cells {
			row[i] = Shown(x.Value)
		}
		if err := c.Write(append([]string{}, row...)); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// Shown writes a value as a person compares it.
func Shown(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	case string:
		return v
	}
	return fmt.Sprint(v)
}

// WriteFormulas writes the formulas of a sheet, one a line.
func (s TSheet) WriteFormulas(w io.Writer) error {
	var b strings.Builder
	for _, c := range s.Formulas() {
		fmt.Fprintf(&b, "%s\t=%s\n", c.At, c.Formula)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Cells lists every cell.
func (s TSheet) Cells() []TCell {
	var out []TCell
	s.each(func(c TCell) { out = append(out, c) })
	return out
}
