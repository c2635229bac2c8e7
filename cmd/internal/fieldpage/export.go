package fieldpage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"loopwright/cmd/internal/returned"
	"loopwright/takeoff/where"
)

// The name and version of the file that the page gives out.
const (
	exportFormat  = "loopwright field page"
	exportVersion = 1
)

// export is what the page gives out: everything that was entered on one device.
type export struct {
	Format   string    `json:"format"`
	Version  int       `json:"version"`
	Job      string    `json:"job"`
	Revision string    `json:"revision"`
	Exported string    `json:"exported,omitempty"` // by the clock of the device that wrote the file
	Entries  []entry   `json:"entries"`
	Readings []reading `json:"readings,omitempty"`
}

// entry is what was entered about one device on one circuit.
type entry struct {
	ID      string `json:"id"`
	Circuit string `json:"circuit"`         // "" for a device on none
	Address int    `json:"address"`         // planned, as the page showed it; 0 for none
	Found   *int   `json:"found,omitempty"` // nil: nothing entered
	Done    bool   `json:"done"`
	Problem bool   `json:"problem"`
	Note    string `json:"note,omitempty"`
	At      string `json:"at,omitempty"` // when, by the clock of the device
}

// reading is a meter reading at one end of a circuit.
type reading struct {
	Circuit  string   `json:"circuit"`
	End      string   `json:"end"`
	Ohm      *float64 `json:"ohm,omitempty"`
	Initials string   `json:"initials,omitempty"`
	At       string   `json:"at,omitempty"`
}

// Bounds of an export: far beyond any job, and small enough to refuse a file
// that is something else.
const (
	maxExport  = 64 << 20 // bytes
	maxEntries = 200_000
	maxNote    = 10_000 // characters
	maxName    = 1_000
)

// ReadExport reads a file that the page gave out. What is damaged or of another
// kind is an error that says what is wrong.
func ReadExport(r io.Reader) (returned.Source, error) {
	e, err := parseExport(r)
	if err != nil {
		return returned.Source{}, err
	}
	s := returned.Source{Kind: returned.Page, Job: e.Job, Revision: e.Revision}
	for i, x := range e.Entries {
		p := returned.Entry{Where: fmt.Sprintf("entry %d", i+1), ID: x.ID, Circuit: x.Circuit, OnNone: x.Circuit == "", Planned: x.Address, Problem: x.Problem,
			Note: x.Note, Date: returned.Day(x.At)}
		if x.Found != nil {
			p.Found = strconv.Itoa(*x.Found)
		}
		if x.Done {
			p.Ticks = []string{returned.Done}
		}
		s.Entries = append(s.Entries, p)
	}
	for i, x := range e.Readings {
		p := returned.Reading{Where: fmt.Sprintf("reading %d", i+1), Circuit: x.Circuit, End: x.End, Initials: x.Initials, Date: returned.Day(x.At)}
		if x.Ohm != nil {
			p.Ohm = strconv.FormatFloat(*x.Ohm, 'f', -1, 64)
		}
		s.Readings = append(s.Readings, p)
	}
	return s, nil
}

// parseExport reads a file that the page gave out. It refuses what is not of
// this format or of a later version, keys that it does not know (they would be
// lost), more than one value, and values that cannot be: the error says which.
func parseExport(r io.Reader) (export, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxExport+1))
	if err != nil {
		return export{}, err
	}
	if len(data) > maxExport {
		return export{}, fmt.Errorf("the file is larger than %d MB: this is not an export of the field page", maxExport>>20)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some mail programs put one in front
	if !utf8.Valid(data) {
		return export{}, errors.New("the file is damaged: it is not UTF-8 text; export it again")
	}
	var head struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return export{}, fmt.Errorf("the file is not an export of the field page, or is damaged: %w", located(data, err))
	}
	if head.Format != exportFormat {
		return export{}, fmt.Errorf("the file is JSON but not an export of the field page: its format is %q, expected %q", clip(head.Format), exportFormat)
	}
	if head.Version != exportVersion {
		return export{}, fmt.Errorf("the export has version %d, but this program reads version %d: use the program that made the page", head.Version, exportVersion)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	var e export
	if err := dec.Decode(&e); err != nil {
		return export{}, fmt.Errorf("the export is damaged: %w", located(data, err))
	}
	return e, e.check()
}

// located adds the line to an error of the JSON reader.
func located(data []byte, err error) error {
	var syntax *json.SyntaxError
	var typ *json.UnmarshalTypeError
	at := int64(-1)
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &typ):
		at = typ.Offset
	}
	if at < 0 || at > int64(len(data)) {
		return err
	}
	line := 1 + bytes.Count(data[:max(at-1, 0)], []byte("\n"))
	return where.Line(line, fmt.Errorf("line %d: %w", line, err))
}

// check refuses values that no page gives out.
func (e export) check() error {
	if len(e.Entries) > maxEntries || len(e.Readings) > maxEntries {
		return fmt.Errorf("the export has %d entries and %d readings: no job has more than %d", len(e.Entries), len(e.Readings), maxEntries)
	}
	seen := map[[2]string]bool{}
	for i, x := range e.Entries {
		key := [2]string{x.Circuit, x.ID}
		switch {
		case x.ID == "":
			return fmt.Errorf("entry %d of the export names no device", i+1)
		case seen[key]:
			return fmt.Errorf("entry %d of the export: %s is listed twice on circuit %q", i+1, clip(x.ID), clip(x.Circuit))
		case x.Address < 0:
			return fmt.Errorf("entry %d of the export: address %d of %s is impossible", i+1, x.Address, clip(x.ID))
		case utf8.RuneCountInString(x.Note) > maxNote || len(x.ID) > maxName || len(x.Circuit) > maxName || len(x.At) > maxName:
			return fmt.Errorf("entry %d of the export has a text longer than the page allows", i+1)
		}
		seen[key] = true
	}
	ends := map[[2]string]bool{}
	for i, x := range e.Readings {
		key := [2]string{x.Circuit, x.End}
		switch {
		case x.Circuit == "" || x.End == "":
			return fmt.Errorf("reading %d of the export names no circuit or no end", i+1)
		case ends[key]:
			return fmt.Errorf("reading %d of the export: end %s of circuit %s is listed twice", i+1, clip(x.End), clip(x.Circuit))
		case len(x.End) > maxName || len(x.Circuit) > maxName || len(x.Initials) > maxName || len(x.At) > maxName:
			return fmt.Errorf("reading %d of the export has a text longer than the page allows", i+1)
		}
		ends[key] = true
	}
	return nil
}

// clip keeps a foreign text short in a message.
func clip(s string) string {
	s = strings.ToValidUTF8(s, "?")
	if utf8.RuneCountInString(s) <= 60 {
		return s
	}
	return string([]rune(s)[:60]) + "..."
}
