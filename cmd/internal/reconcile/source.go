// Package reconcile takes what came back from site (filled sheets, an edited
// workbook, exports of the field page), holds it against the job, and writes
// the as-built state: the ledger, the found addresses on the drawings, the
// workbook with its last columns filled, and a list of differences.
//
// It asks nothing and loses nothing. Two sources that contradict one another
// are a finding, and both values are kept.
package reconcile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/workbook"
)

// Kind says what kind of file a source is.
type Kind string

// The kinds of file that are read back.
const (
	Sheets   Kind = "filled sheets"
	Workbook Kind = "workbook"
	Page     Kind = "field page"
)

// Source is one file as read.
type Source struct {
	File     string
	Kind     Kind
	Job      string // "" where the file does not say
	Revision string
	Reports  []Report
	Readings []Reading
	Remarks  []Remark // what the file holds and nobody can understand
}

// Report is what one source says about one device on one circuit.
type Report struct {
	Where   string // cell or entry, for messages
	ID      string
	Circuit string // "" where the source does not say
	OnNone  bool   // the source says that it is on no circuit
	Planned int    // address that the source was made with; 0 for none or unknown
	Found   string // as entered
	Ticks   []string
	Date    string // of the ticks; "" if not known
	Problem bool
	Serial  string
	Note    string
}

// says reports whether anybody has entered anything.
func (r Report) says() bool {
	return r.Found != "" || len(r.Ticks) > 0 || r.Problem || r.Serial != "" || r.Note != ""
}

// Reading is what one source says about one end of a circuit.
type Reading struct {
	Where    string
	Circuit  string
	End      string // "" for the worst end
	Ohm      string // as entered
	Volt     string // as entered
	Initials string
	Date     string
}

func (r Reading) says() bool { return r.Ohm != "" || r.Volt != "" || r.Initials != "" }

// Remark is a place of a source that cannot be understood.
type Remark struct{ Where, Text string }

// maxFile bounds what is read: far beyond any sheet, workbook or export.
const maxFile = 128 << 20

// Read reads a file that came back from site, whatever kind it is. A foreign or
// damaged file is an error that names it and says what is wrong.
func Read(file string) (Source, error) {
	s, err := read(file)
	s.File = filepath.Base(file)
	if err != nil && !strings.Contains(err.Error(), file) {
		err = fmt.Errorf("%s: %w", file, err)
	}
	return s, err
}

func read(file string) (Source, error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return Source{}, err
	case !info.Mode().IsRegular():
		return Source{}, errors.New("is no file that can be read: name the filled sheets, workbook or export")
	case info.Size() == 0:
		return Source{}, errors.New("the file is empty: hand it over again")
	case info.Size() > maxFile:
		return Source{}, fmt.Errorf("%d MB are more than anything that comes back from site has (%d MB)", info.Size()>>20, maxFile>>20)
	}
	f, err := os.Open(file)
	if err != nil {
		return Source{}, err
	}
	defer f.Close()
	head := make([]byte, 1024)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return Source{}, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return Source{}, err
	}
	switch head = head[:n]; {
	case bytes.Contains(head, []byte("%PDF-")): // viewers take a header within the first 1024 bytes (ISO 32000-1, annex H.3.4.1)
		return readSheets(f)
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return readWorkbook(file)
	case bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n"), []byte("{")):
		return readPage(f)
	}
	return Source{}, errors.New("this is neither a filled PDF sheet nor a takeoff workbook (.xlsx) nor an export of the field page (.json)")
}

func readPage(r io.Reader) (Source, error) {
	e, err := fieldpage.ParseExport(r)
	if err != nil {
		return Source{}, err
	}
	s := Source{Kind: Page, Job: e.Job, Revision: e.Revision}
	for i, x := range e.Entries {
		p := Report{Where: fmt.Sprintf("entry %d", i+1), ID: x.ID, Circuit: x.Circuit, OnNone: x.Circuit == "", Planned: x.Address, Problem: x.Problem, Note: x.Note, Date: day(x.At)}
		if x.Found != nil {
			p.Found = strconv.Itoa(*x.Found)
		}
		if x.Done {
			p.Ticks = []string{tickDone}
		}
		s.Reports = append(s.Reports, p)
	}
	for i, x := range e.Readings {
		p := Reading{Where: fmt.Sprintf("reading %d", i+1), Circuit: x.Circuit, End: x.End, Initials: x.Initials, Date: day(x.At)}
		if x.Ohm != nil {
			p.Ohm = strconv.FormatFloat(*x.Ohm, 'f', -1, 64)
		}
		s.Readings = append(s.Readings, p)
	}
	return s, nil
}

// day is the date of a time as the page writes it; "" if it is none.
func day(at string) string {
	d, _, ok := strings.Cut(at, "T")
	if !ok || len(d) != len("2026-03-31") || strings.Trim(d, "0123456789-") != "" {
		return ""
	}
	return d
}

func readWorkbook(file string) (Source, error) {
	rows, err := workbook.ReadBack(file)
	if err != nil {
		return Source{}, err
	}
	s := Source{Kind: Workbook, Job: rows.Job}
	for _, d := range rows.Devices {
		p := Report{Where: d.Cell, ID: d.Key, Circuit: d.Circuit, Planned: d.Address, Serial: d.Serial, Note: d.Remark}
		if d.HasFound {
			p.Found = strconv.Itoa(d.Found)
		}
		if d.Done {
			p.Ticks = []string{tickDone}
		}
		s.Reports = append(s.Reports, p)
	}
	for _, c := range rows.Circuits {
		if c.HasFound {
			s.Readings = append(s.Readings, Reading{Where: c.Cell, Circuit: c.Circuit, Ohm: strconv.FormatFloat(c.FoundOhm, 'f', -1, 64)})
		}
	}
	for _, p := range rows.Problems {
		s.Remarks = append(s.Remarks, Remark{p.Cell, p.Message})
	}
	return s, nil
}
