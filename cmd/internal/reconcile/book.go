package reconcile

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/workbook"
)

// workbook makes the takeoff workbook anew and writes what the site says into
// its last columns, so that it can be read back again.
func (m *merger) workbook() ([]byte, error) {
	var b bytes.Buffer
	o := *m.outcome
	o.Findings = slices.Concat(m.located(), o.Findings)
	if err := workbook.Write(&b, &o); err != nil {
		return nil, err
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		return nil, fmt.Errorf("takeoff.xlsx: %w", err)
	}
	defer f.Close()
	if err := m.fillDevices(f); err != nil {
		return nil, fmt.Errorf("takeoff.xlsx: %w", err)
	}
	if err := m.fillReadings(f); err != nil {
		return nil, fmt.Errorf("takeoff.xlsx: %w", err)
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		return nil, fmt.Errorf("takeoff.xlsx: %w", err)
	}
	return out.Bytes(), nil
}

// fillDevices fills the last columns of the device list.
func (m *merger) fillDevices(f *excelize.File) error {
	t, err := tableOf(f, "key", "found address", "done", "serial", "remark")
	if err != nil {
		return err
	}
	for row, cells := range t.rows {
		s := m.at[t.get(cells, "key")]
		if s == nil {
			continue
		}
		n, single := s.address()
		values := map[string]any{"done": s.done(), "serial": values(s.serial), "remark": strings.Join(s.notes, "\n")}
		if s.installed() {
			values["done"] = "yes"
		}
		switch {
		case single:
			values["found address"] = n
		case len(s.found) > 1: // a cell for one address cannot hold two
			values["remark"] = strings.TrimSpace("found: " + quote(s.found) + "\n" + values["remark"].(string))
		}
		for _, head := range slices.Sorted(maps.Keys(values)) { // the order decides the file's table of strings
			v := values[head]
			if v == "" {
				continue
			}
			if err := f.SetCellValue(t.sheet, t.cell(head, row), v); err != nil {
				return err
			}
		}
	}
	return nil
}

// fillReadings fills the column found of the loop sheet: the reading at the
// circuit's worst end, which is the one computed there.
func (m *merger) fillReadings(f *excelize.File) error {
	t, err := tableOf(f, "circuit", "loop, ohm", "found, ohm")
	if err != nil {
		return err
	}
	for row, cells := range t.rows {
		for _, x := range slices.Backward(m.readings) {
			if x.known && x.worst && x.Circuit == t.get(cells, "circuit") {
				if err := f.SetCellValue(t.sheet, t.cell("found, ohm", row), x.ohm); err != nil {
					return err
				}
				break
			}
		}
	}
	return nil
}

// sheetTable is a table of a workbook by its column heads.
type sheetTable struct {
	sheet string
	at    map[string]int
	first int // row of rows[0], from 1
	rows  [][]string
}

// tableOf finds the sheet with the given column heads.
func tableOf(f *excelize.File, heads ...string) (sheetTable, error) {
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			return sheetTable{}, err
		}
		for i, cells := range rows {
			at := map[string]int{}
			for k, c := range cells {
				at[c] = k
			}
			if !slices.ContainsFunc(heads, func(h string) bool { _, ok := at[h]; return !ok }) {
				return sheetTable{sheet, at, i + 2, rows[i+1:]}, nil
			}
		}
	}
	return sheetTable{}, fmt.Errorf("no sheet has the columns %s: %w", strings.Join(heads, ", "), os.ErrNotExist)
}

func (t sheetTable) get(cells []string, head string) string {
	if i := t.at[head]; i < len(cells) {
		return cells[i]
	}
	return ""
}

func (t sheetTable) cell(head string, row int) string {
	name, err := excelize.CoordinatesToCellName(t.at[head]+1, t.first+row)
	if err != nil {
		return "A1" // cannot be: the sheet was just made
	}
	return name
}
