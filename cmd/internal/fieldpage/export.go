package fieldpage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// The name and version of the file that the page gives out.
const (
	ExportFormat  = "loopwright field page"
	ExportVersion = 1
)

// Export is what the page gives out: everything that was entered on one device.
type Export struct {
	Format   string    `json:"format"`
	Version  int       `json:"version"`
	Job      string    `json:"job"`
	Revision string    `json:"revision"`
	Exported string    `json:"exported,omitempty"` // by the clock of the device that wrote the file
	Entries  []Entry   `json:"entries"`
	Readings []Reading `json:"readings,omitempty"`
}

// Entry is what was entered about one device on one circuit.
type Entry struct {
	ID      string `json:"id"`
	Circuit string `json:"circuit"`         // "" for a device on none
	Address int    `json:"address"`         // planned, as the page showed it; 0 for none
	Found   *int   `json:"found,omitempty"` // nil: nothing entered
	Done    bool   `json:"done"`
	Problem bool   `json:"problem"`
	Note    string `json:"note,omitempty"`
	At      string `json:"at,omitempty"` // when, by the clock of the device
}

// Reading is a meter reading at one end of a circuit.
type Reading struct {
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

// ParseExport reads a file that the page gave out. It refuses what is not of
// this format or of a later version, keys that it does not know (they would be
// lost), more than one value, and values that cannot be: the error says which.
func ParseExport(r io.Reader) (Export, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxExport+1))
	if err != nil {
		return Export{}, err
	}
	if len(data) > maxExport {
		return Export{}, fmt.Errorf("the file is larger than %d MB: this is no export of the field page", maxExport>>20)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some mail programs put one in front
	if !utf8.Valid(data) {
		return Export{}, errors.New("the file is damaged: it is no UTF-8 text; export it again")
	}
	var head struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return Export{}, fmt.Errorf("the file is no export of the field page, or damaged: %w", located(data, err))
	}
	if head.Format != ExportFormat {
		return Export{}, fmt.Errorf("the file is JSON but no export of the field page: its format is %q and %q was expected", clip(head.Format), ExportFormat)
	}
	if head.Version != ExportVersion {
		return Export{}, fmt.Errorf("the export has version %d and this program reads version %d: use the program that made the page", head.Version, ExportVersion)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	var e Export
	if err := dec.Decode(&e); err != nil {
		return Export{}, fmt.Errorf("the export is damaged: %w", located(data, err))
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
	return fmt.Errorf("line %d: %w", 1+bytes.Count(data[:max(at-1, 0)], []byte("\n")), err)
}

// check refuses values that no page gives out.
func (e Export) check() error {
	if len(e.Entries) > maxEntries || len(e.Readings) > maxEntries {
		return fmt.Errorf("the export has %d entries and %d readings: more than %d belong to no job", len(e.Entries), len(e.Readings), maxEntries)
	}
	seen := map[[2]string]bool{}
	for i, x := range e.Entries {
		key := [2]string{x.Circuit, x.ID}
		switch {
		case x.ID == "":
			return fmt.Errorf("entry %d of the export names no device", i+1)
		case seen[key]:
			return fmt.Errorf("entry %d of the export: %s stands twice on circuit %q", i+1, clip(x.ID), clip(x.Circuit))
		case x.Address < 0:
			return fmt.Errorf("entry %d of the export: address %d of %s cannot be", i+1, x.Address, clip(x.ID))
		case utf8.RuneCountInString(x.Note) > maxNote || len(x.ID) > maxName || len(x.Circuit) > maxName || len(x.At) > maxName:
			return fmt.Errorf("entry %d of the export holds a text that is too long to be one of the page's", i+1)
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
			return fmt.Errorf("reading %d of the export: end %s of circuit %s stands twice", i+1, clip(x.End), clip(x.Circuit))
		case len(x.End) > maxName || len(x.Circuit) > maxName || len(x.Initials) > maxName || len(x.At) > maxName:
			return fmt.Errorf("reading %d of the export holds a text that is too long to be one of the page's", i+1)
		}
		ends[key] = true
	}
	return nil
}

// Write writes the export as the page does: two blanks in, a line end at the end.
func (e Export) Write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(e)
}

// clip keeps a foreign text short in a message.
func clip(s string) string {
	s = strings.ToValidUTF8(s, "?")
	if utf8.RuneCountInString(s) <= 60 {
		return s
	}
	return string([]rune(s)[:60]) + "..."
}
