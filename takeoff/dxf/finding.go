package dxf

import (
	"fmt"
	"maps"
	"slices"
	"strings"

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

// Finding is something that a person must know about a drawing: what, how bad,
// and where.
type Finding struct {
	Code     string // key of registry
	Severity Severity
	Message  string
	Line     int    // line of the file, 1-based; 0 in binary drawings, and if the finding is about no place
	Handle   string // of the record that is meant, "" if it has none
	X, Y     float64
	HasPlace bool // X and Y hold a place, in drawing units
}

// Codes of findings.
const (
	codeOutOfStep    = "D101" // group codes and values are out of step
	codeTruncated    = "D102" // the drawing is cut off
	codeNoEOF        = "D103" // there is no EOF at the end, though the entities are complete
	codeAfterEOF     = "D104" // there are bytes after EOF
	codeSection      = "D105" // a section, table or block is missing, or not opened or closed as it should be
	codeDupHandle    = "D106" // records share a handle
	codeCodePage     = "D107" // the code page is not known
	codeBadNumber    = "D108" // a value is not the number it should be
	codeStray        = "D109" // a section is closed twice
	codeMissingBlock = "D110" // an insert names a block that is not defined
	codeXref         = "D111" // an external reference is not part of this file
	codeCycle        = "D112" // blocks contain each other
	codeZeroScale    = "D113" // an insert has a scale of zero
	codeClip         = "D114" // an insert is clipped
	codeAnonymous    = "D115" // an anonymous block cannot be traced to its source block
	codeDupBlock     = "D116" // a block is defined twice
	codeNoName       = "D117" // a block or insert has no name
	codeTooDeep      = "D118" // blocks are nested too deeply
	codeOurs         = "D119" // things on layers that are called like those of a labeled drawing
)

// Code is what the findings of one code tell and what to do about them.
type Code struct {
	Code, Meaning, Remedy string
}

// registry says of every finding that this package can report how bad it is, what
// it tells and what to do about it.
var registry = map[string]struct {
	severity        Severity
	meaning, advice string
}{
	codeOutOfStep:    {Error, "group codes and values are out of step", "open the drawing in a CAD program, audit it and save it again"},
	codeTruncated:    {Error, "the drawing is cut off", "the rest is missing; get the file again"},
	codeNoEOF:        {Warning, "the file has no EOF record at its end, though the entities are complete", "check that the copy is complete"},
	codeAfterEOF:     {Note, "there are bytes after the EOF record", "they are ignored"},
	codeSection:      {Error, "a section, table or block is missing, or not opened or closed as it should be", "part of the drawing may be missing; audit it in a CAD program"},
	codeDupHandle:    {Warning, "records share a handle", "audit the drawing in a CAD program"},
	codeCodePage:     {Warning, "the code page is not known", "text outside ASCII may be wrong"},
	codeBadNumber:    {Error, "a value is not the number it should be", "the record is left out or read in part; audit the drawing"},
	codeStray:        {Warning, "a section is closed twice", "nothing is lost; audit the drawing in a CAD program"},
	codeMissingBlock: {Error, "an insert names a block that is not defined", "its contents are missing; get the complete drawing"},
	codeXref:         {Error, "an external reference is not part of the file", "devices drawn in it are missing here; bind it or survey its file too"},
	codeCycle:        {Error, "blocks contain each other", "expansion stops there; repair the block"},
	codeZeroScale:    {Warning, "an insert has a scale of zero", "it draws nothing in that direction"},
	codeClip:         {Note, "an insert is clipped", "anything outside its clip boundary counts as hidden"},
	codeAnonymous:    {Note, "an anonymous block cannot be traced to its source block", "it is reported under its anonymous name"},
	codeDupBlock:     {Warning, "a block is defined twice", "the first definition is used"},
	codeNoName:       {Warning, "a block or insert has no name", "it cannot be counted"},
	codeTooDeep:      {Error, "blocks are nested too deeply", "expansion stops there"},
	codeOurs:         {Warning, "layers are called like those of a labeled drawing, and nothing on them is marked", "if they are somebody's own, rename them"},
}

// Codes lists the findings that this package can report.
func Codes() []Code {
	var out []Code
	for _, c := range slices.Sorted(maps.Keys(registry)) {
		out = append(out, Code{c, registry[c].meaning, registry[c].advice})
	}
	return out
}

// Advice says what to do about a finding, "" for a code that is not registered.
func Advice(code string) string { return registry[code].advice }

// OursByLayer is the finding that what stands on the named layers is taken for what a
// labeled drawing adds, by these names alone, and left out.
func OursByLayer(layers []string) Finding {
	return Finding{Code: codeOurs, Severity: registry[codeOurs].severity,
		Message: "lines and texts on " + strings.Join(layers, ", ") + " are left out: the layers are called like those that a labeled drawing adds, but a program has dropped the marks; if they are somebody's own, rename the layers"}
}

// newFinding makes a located finding. Lines are counted only here, since findings
// are few and files are long.
func newFinding(s *tags.Source, code string, offset int, handle tags.Handle, format string, args ...any) Finding {
	f := Finding{Code: code, Severity: registry[code].severity, Message: fmt.Sprintf(format, args...),
		Handle: handle.String()}
	if offset >= 0 {
		f.Line = s.Line(offset)
	}
	return f
}
