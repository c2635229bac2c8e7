package dxf

import (
	"fmt"
	"slices"

	"loopwright/takeoff/dxf/tags"
)

// Severity says how much a finding matters.
type Severity int

// The severities, mildest first.
const (
	Note Severity = iota
	Warning
	Error
)

var severityNames = [...]string{"note", "warning", "error"}

// String returns the word used in reports: note, warning or error.
func (s Severity) String() string {
	if s < Note || s > Error {
		return fmt.Sprintf("Severity(%d)", int(s))
	}
	return severityNames[s]
}

// MarshalText writes the severity as its word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads one of the words note, warning, error.
func (s *Severity) UnmarshalText(b []byte) error {
	i := slices.Index(severityNames[:], string(b))
	if i < 0 {
		return fmt.Errorf("severity %q: want note, warning or error", b)
	}
	*s = Severity(i)
	return nil
}

// Finding is something that a person must know about a drawing: what, how bad,
// and where.
type Finding struct {
	Code     string // key of Registry
	Severity Severity
	Message  string
	Line     int    // line of the file, 1-based; 0 in binary drawings, and if the finding is about no place
	Handle   string // of the record that is meant, "" if it has none
	X, Y     float64
	HasPlace bool // X and Y hold a place, in drawing units
}

// Kind is an entry of the registry of findings.
type Kind struct {
	Code     string
	Severity Severity
	Title    string // what it means
	Advice   string // what to do about it
}

// Codes of findings.
const (
	CodeOutOfStep    = "D101"
	CodeTruncated    = "D102"
	CodeNoEOF        = "D103"
	CodeAfterEOF     = "D104"
	CodeSection      = "D105"
	CodeDupHandle    = "D106"
	CodeCodePage     = "D107"
	CodeBadNumber    = "D108"
	CodeStray        = "D109"
	CodeMissingBlock = "D110"
	CodeXref         = "D111"
	CodeCycle        = "D112"
	CodeZeroScale    = "D113"
	CodeClip         = "D114"
	CodeAnonymous    = "D115"
	CodeDupBlock     = "D116"
	CodeNoName       = "D117"
	CodeTooDeep      = "D118"
)

// Registry lists every finding that this package can report, in order of code.
var Registry = []Kind{
	{CodeOutOfStep, Error, "group codes and values are out of step", "open the drawing in a CAD program, audit it and save it again"},
	{CodeTruncated, Error, "the drawing is cut off", "what came after is missing; get the file again"},
	{CodeNoEOF, Warning, "there is no EOF at the end, though the entities are complete", "check that the copy is complete"},
	{CodeAfterEOF, Note, "there are bytes after EOF", "they are ignored and kept"},
	{CodeSection, Error, "a section, table or block is missing, or not opened or closed as it should be", "part of it may be missing or not read; audit the drawing in a CAD program"},
	{CodeDupHandle, Warning, "records share a handle", "audit the drawing in a CAD program"},
	{CodeCodePage, Warning, "the code page is not known", "texts outside ASCII may be wrong"},
	{CodeBadNumber, Error, "a value that must be a number is none", "the record is left out or read in part; audit the drawing"},
	{CodeStray, Warning, "a section is closed twice", "nothing is lost by it; audit the drawing in a CAD program"},
	{CodeMissingBlock, Error, "an insert names a block that is not defined", "its content is missing; get the complete drawing"},
	{CodeXref, Error, "an external reference is not part of this file", "devices drawn in it are missing here; bind it or survey its file too"},
	{CodeCycle, Error, "blocks contain each other", "expansion stops there; repair the block"},
	{CodeZeroScale, Warning, "an insert has a scale of zero", "it draws nothing in that direction"},
	{CodeClip, Note, "an insert is clipped", "what lies outside its clip boundary counts as not visible"},
	{CodeAnonymous, Note, "an anonymous block cannot be traced to its source block", "it is reported under its anonymous name"},
	{CodeDupBlock, Warning, "a block is defined twice", "the first definition is used"},
	{CodeNoName, Warning, "a block or insert has no name", "it cannot be counted"},
	{CodeTooDeep, Error, "blocks are nested too deep", "expansion stops there"},
}

// Advice says what to do about a finding, "" for a code that is not registered.
func Advice(code string) string {
	for _, k := range Registry {
		if k.Code == code {
			return k.Advice
		}
	}
	return ""
}

// severityOf returns the registered severity of a code.
func severityOf(code string) Severity {
	for _, k := range Registry {
		if k.Code == code {
			return k.Severity
		}
	}
	return Error
}

// newFinding makes a located finding. Lines are counted only here, since findings
// are few and files are long.
func newFinding(s *tags.Source, code string, offset int, handle tags.Handle, format string, args ...any) Finding {
	f := Finding{Code: code, Severity: severityOf(code), Message: fmt.Sprintf(format, args...),
		Handle: handle.String()}
	if offset >= 0 {
		f.Line = s.Line(offset)
	}
	return f
}
