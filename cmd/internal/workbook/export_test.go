package workbook

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// Sheet is one sheet as composed, for tests.
type Sheet struct {
	Name string
	s    *xlsx.Sheet
}

// Compose builds the sheets without making a file.
func Compose(in *outcome.Outcome) ([]Sheet, error) {
	b, err := compose(in)
	if err != nil {
		return nil, err
	}
	var out []Sheet
	for _, s := range b.Sheets {
		out = append(out, Sheet{s.Name, s})
	}
	return out, nil
}

// Cell is a cell as composed.
type Cell struct {
	At      string
	Formula string
	Value   any
}

// Formulas lists the cells that hold a formula.
func (s Sheet) Formulas() []Cell {
	var out []Cell
	s.each(func(c Cell) {
		if c.Formula != "" {
			out = append(out, c)
		}
	})
	return out
}

// Value is what a cell holds.
func (s Sheet) Value(where string) any {
	var v any
	s.each(func(c Cell) {
		if c.At == where {
			v = c.Value
		}
	})
	return v
}

func (s Sheet) each(f func(Cell)) {
	for r := 1; r < s.s.Next(); r++ {
		for k, c := range s.s.Row(r) {
			f(Cell{xlsx.At(k+1, r), c.Formula, c.Value})
		}
	}
}

// WriteCSV writes the values of a sheet, with those of formulas marked by a leading =.
func (s Sheet) WriteCSV(w io.Writer) error {
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
func (s Sheet) WriteFormulas(w io.Writer) error {
	var b strings.Builder
	for _, c := range s.Formulas() {
		fmt.Fprintf(&b, "%s\t=%s\n", c.At, c.Formula)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Cells lists every cell.
func (s Sheet) Cells() []Cell {
	var out []Cell
	s.each(func(c Cell) { out = append(out, c) })
	return out
}
