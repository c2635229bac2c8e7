// Package sheet draws what goes on site on paper or on a tablet: sheets that
// show how each device's switches are set, adhesive labels, test sheets and
// plans, all as PDF, and reads the filled forms back.
//
// It takes plain values and knows no routes. Lengths are metres and resistances
// ohms until they are printed. The same values give the same bytes: no clock
// and no chance enter a document.
//
// # How a document is made
//
// Every text goes through the pen, which picks a font for each run of letters
// (the built-in ones, then the job's), fits text by making it smaller, then by
// cutting it and saying so (F611), and draws hollow boxes for letters that no font
// has (F610). Rows grow with their text: nothing overlaps and nothing is dropped.
// What stands in many places is drawn once and used again as a stamp, whose name
// must say all that its look depends on. The finished file is taken apart and
// packed anew: form and fields are added, the clock is taken out, and its id
// is made from the content.
//
// Switches are drawn from the row of their setting alone, never from the address:
// the test reads the rendered pixels by the printed words and numbers, and compares
// with the address printed large.
//
// # What is a contract
//
// Form fields are named CIRCUIT/ID/WHAT (see FieldName), and a module's own circuit
// is the end "ID input N" (see InputEnd). Sheets issued last month must still read
// back. Reading counts bytes, objects, unpacked bytes and fields against limits,
// never seconds; put whatever a fuzzer finds into the table of hostile forms.
package sheet

import (
	"strings"
	"time"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// The codes of findings about what is printed.
const (
	codeNoGlyph   = "F610" // a letter that no font at hand has
	codeShortened = "F611" // a text cut to fit its place
	codeUnshaped  = "F612" // a script whose letters should join, printed letter by letter
	codeNoScale   = "F613" // a level too large for every sheet and scale
)

// Job is what every document says about the job it belongs to.
type Job struct {
	Name     string
	Revision string
	Date     time.Time      // zero: no date is printed
	Units    measure.System // of lengths; metric also means A4, otherwise letter
	Program  string         // that makes the document, with its version, as the file's properties name it
	Font     *Font          // for letters that the built-in font lacks; nil for none
}

// Font is a TrueType font.
type Font struct {
	Name string // for messages
	Data []byte // a TTF file with glyf outlines; collections and CFF outlines are refused
}

// Document is one PDF and what a person must know about it.
type Document struct {
	PDF      []byte
	Pages    int
	Findings []takeoff.Finding
}

// stamp is revision and date as printed, "" where the job gives neither.
func (j Job) stamp() string {
	var parts []string
	if j.Revision != "" {
		parts = append(parts, "rev. "+j.Revision)
	}
	if !j.Date.IsZero() {
		parts = append(parts, j.Date.Format(time.DateOnly))
	}
	return strings.Join(parts, " · ")
}

// length writes metres in the job's unit.
func (j Job) length(m float64) string { return j.Units.Length(m, 1) }

// paper is the page for sheets that people carry: letter or A4, in points.
func (j Job) paper() size {
	if j.Units == measure.Metric {
		return a4
	}
	return letter
}

// size is a page in points, upright.
type size struct{ w, h float64 }

// The pages used. A4 is 210 mm x 297 mm (ISO 216), letter 8.5 in x 11 in (ASME Y14.1).
var (
	letter = size{612, 792}
	a4     = size{210 * pointsPerMM, 297 * pointsPerMM}
)

const pointsPerMM = 72 / 25.4

// Codes lists the findings about what is printed.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: codeNoGlyph, Meaning: "a letter is in no font at hand, so a hollow box is printed", Remedy: "name a font that has it with font"},
		{Code: codeShortened, Meaning: "a text is cut to fit its place", Remedy: "shorten it in the job or on the drawing"},
		{Code: codeUnshaped, Meaning: "a script whose letters should join is printed letter by letter", Remedy: "check that the text can be read"},
		{Code: codeNoScale, Meaning: "a level is too large for every sheet and scale", Remedy: "divide it by regions"},
	}
}
