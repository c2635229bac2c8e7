// Package back reads what people wrote into the last columns of a takeoff workbook.
// Tables are found by the heads of their columns, so that sheets may have been
// renamed and rows sorted. A crafted file costs no more than the limits allow.
package back

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"loopwright/cmd/internal/returned"
	"loopwright/cmd/internal/workbook/xlsx"
)

// Limits on a workbook that comes back, so that a crafted file cannot fill memory or disk.
const (
	maxFileBytes     = 128 << 20
	maxUnzippedBytes = 512 << 20
	maxSheetBytes    = 64 << 20 // above this a sheet is unpacked to disk, not to memory
	maxRows          = 500_000
)

// Read reads the as-built columns of a workbook that this program made and people
// filled in, also after its rows were sorted and columns added. A file that is
// no such workbook, or is damaged, is an error that says so.
func Read(path string) (returned.Source, error) {
	info, err := os.Stat(path)
	if err != nil {
		return returned.Source{}, err
	}
	if info.Size() > maxFileBytes {
		return returned.Source{}, fmt.Errorf("%s: %d MB is too large for a takeoff workbook (at most %d MB)", path, info.Size()>>20, maxFileBytes>>20)
	}
	rows, err := read(func() (*excelize.File, error) { return excelize.OpenFile(path, readOptions) })
	if err != nil {
		return returned.Source{}, fmt.Errorf("%s: %w", path, err)
	}
	return rows, nil
}

var readOptions = excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnzippedBytes, UnzipXMLSizeLimit: maxSheetBytes}

// read reads a workbook wherever it comes from.
func read(open func() (*excelize.File, error)) (rows returned.Source, err error) {
	defer func() {
		// The file comes from outside; what the library makes of a crafted one must not end the program.
		if r := recover(); r != nil {
			rows, err = returned.Source{}, fmt.Errorf("the workbook is damaged (%v): save it again from the spreadsheet program", r)
		}
	}()
	f, err := open()
	if err != nil {
		return returned.Source{}, fmt.Errorf("not a readable .xlsx workbook (%w): save it as .xlsx from the spreadsheet program", err)
	}
	defer f.Close()
	r := reader{f: f, rows: returned.Source{Kind: returned.Workbook}}
	if err := r.devices(); err != nil {
		return returned.Source{}, err
	}
	if err := r.circuits(); err != nil {
		return returned.Source{}, err
	}
	r.rows.Job = r.jobName()
	return r.rows, nil
}

type reader struct {
	f    *excelize.File
	rows returned.Source
}

func (r *reader) complain(cell, format string, args ...any) {
	r.rows.Remarks = append(r.rows.Remarks, returned.Remark{Where: cell, Text: fmt.Sprintf(format, args...)})
}

// jobName reads the cell that carries the job's name.
func (r *reader) jobName() string {
	for _, n := range r.f.GetDefinedName() {
		if n.Name == "JobName" {
			sheet, cell, _ := strings.Cut(n.RefersTo, "!")
			v, err := r.f.GetCellValue(strings.Trim(sheet, "'"), strings.ReplaceAll(cell, "$", ""))
			if err == nil {
				return v
			}
		}
	}
	return ""
}

// errNoTable means that no sheet has the column heads looked for.
var errNoTable = errors.New("no such table")

// table finds the sheet with all of the given column heads in one of its first
// rows, and calls f with each row below. Sheets may have been renamed and
// columns moved.
func (r *reader) table(heads []string, f func(sheet string, row int, get func(head string) (value, cell string))) error {
	for _, sheet := range r.f.GetSheetList() {
		found, err := r.scan(sheet, heads, f)
		if err != nil {
			return fmt.Errorf("sheet %s: %w", sheet, err)
		}
		if found {
			return nil
		}
	}
	return errNoTable
}

// headRows is how far down column heads are looked for.
const headRows = 60

func (r *reader) scan(sheet string, heads []string, f func(string, int, func(string) (string, string))) (bool, error) {
	rows, err := r.f.Rows(sheet)
	if err != nil {
		return false, err
	}
	defer rows.Close()
	var at map[string]int
	for n := 1; rows.Next(); n++ {
		if n > maxRows {
			return false, fmt.Errorf("more than %d rows", maxRows)
		}
		cells, err := rows.Columns()
		if err != nil {
			return false, err
		}
		if at == nil {
			if n > headRows {
				return false, nil
			}
			at = headsAt(cells, heads)
			continue
		}
		f(sheet, n, func(head string) (string, string) {
			i := at[head]
			v := ""
			if i < len(cells) {
				v = strings.TrimSpace(cells[i])
			}
			return v, fmt.Sprintf("%s!%s", sheet, cellName(i+1, n))
		})
	}
	return at != nil, rows.Error()
}

// cellName is the name of a cell whose column comes from a file.
func cellName(col, row int) string {
	n, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		return fmt.Sprintf("row %d", row)
	}
	return n
}

// headsAt returns where in a row the heads stand, nil if one is missing.
func headsAt(cells, heads []string) map[string]int {
	at := map[string]int{}
	for i, c := range cells {
		c = strings.ToLower(strings.TrimSpace(c))
		if _, twice := at[c]; !twice {
			at[c] = i
		}
	}
	for _, h := range heads {
		if _, ok := at[h]; !ok {
			return nil
		}
	}
	return at
}

func (r *reader) devices() error {
	seen := map[string]string{}
	heads := []string{"key", "id", "type", "level", "circuit", "address", "found address", "done", "serial", "remark"}
	err := r.table(heads, func(_ string, _ int, get func(string) (string, string)) {
		value := func(head string) string { v, _ := get(head); return v }
		key, cell := get("key")
		d := returned.Entry{Where: cell, ID: key, Circuit: value("circuit"), Serial: value("serial"), Note: value("remark")}
		filled := value("found address")+value("done")+d.Serial+d.Note != ""
		if key == "" {
			if filled {
				r.complain(cell, "something is written in a row without a key: the row was added by hand or its hidden first column was cleared")
			}
			return
		}
		if first, twice := seen[key]; twice {
			r.complain(cell, "device %s is already at %s: keep one of the two rows", key, first)
			return
		}
		seen[key] = cell
		d.Planned, _ = r.whole(get("address"))
		if n, found := r.whole(get("found address")); found {
			d.Found = strconv.Itoa(n)
		}
		if r.yes(get("done")) {
			d.Ticks = []string{returned.Done}
		}
		r.rows.Entries = append(r.rows.Entries, d)
	})
	if errors.Is(err, errNoTable) {
		return fmt.Errorf("no sheet has the column heads of the device list (%s): this is not a takeoff workbook, or its "+
			"column heads were changed", strings.Join(heads, ", "))
	}
	return err
}

func (r *reader) circuits() error {
	err := r.table([]string{"circuit", "loop, ohm", "found, ohm"}, func(_ string, _ int, get func(string) (string, string)) {
		name, _ := get("circuit")
		v, cell := get("found, ohm")
		if name == "" || v == "" {
			return
		}
		ohm, err := strconv.ParseFloat(v, 64)
		if err != nil || !(ohm >= 0) || math.IsInf(ohm, 0) {
			r.complain(cell, "%q is not a resistance: write ohms as a plain number", short(v))
			return
		}
		r.rows.Readings = append(r.rows.Readings, returned.Reading{Where: cell, Circuit: name, Ohm: strconv.FormatFloat(ohm, 'f', -1, 64)})
	})
	if errors.Is(err, errNoTable) {
		return nil // the device list alone is enough
	}
	return err
}

// whole reads a whole number; blank is none.
func (r *reader) whole(v, cell string) (int, bool) {
	if v == "" {
		return 0, false
	}
	n, err := strconv.ParseFloat(v, 64)
	if err != nil || n != math.Trunc(n) || n < 0 || n > 99999999 {
		r.complain(cell, "%q is not an address: write a whole number", short(v))
		return 0, false
	}
	return int(n), true
}

// yes reads a tick.
func (r *reader) yes(v, cell string) bool {
	switch strings.ToLower(v) {
	case "", "no", "n", "0", "false", "-", "–", "open":
		return false
	case "yes", "y", "x", "1", "true", "ok", "done", "✓", "✔":
		return true
	}
	r.complain(cell, "%q is neither yes nor no", short(v))
	return false
}

// short keeps a message about a cell readable whatever the cell holds.
func short(v string) string {
	if s := xlsx.Cut(v, 40); s != v {
		return s + "..."
	}
	return v
}
