package takeoff

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// Severity says how much a finding matters. An Error that stands makes the
// program exit with 3.
type Severity = dxf.Severity

// The severities, mildest first.
const (
	Note    = dxf.Note
	Warning = dxf.Warning
	Error   = dxf.Error
)

// Finding is something that a person must know: a numbered code, how much it
// matters, what is wrong and what to do, and the place on the drawing.
//
// Codes are grouped by stage: F0xx the job file, F1xx reading a drawing, F2xx takeoff, F3xx
// routes, F4xx proofs, F5xx addresses, F6xx labels and files written, F7xx
// what came back from the site.
type Finding struct {
	Code     string
	Severity Severity
	Message  string
	Drawing  string     // file as named in the job; "" where no drawing is concerned
	Handle   string     // handle of the entity, upper case hexadecimal; "" if none
	At       geom.Point // in drawing units; valid if Placed
	Placed   bool

	Key  string // what in the job file it is about, as in plans[0].units; "" if nothing there
	Line int    // of the job file on which Key stands, from 1; 0 until the job has told
}

// MarshalJSON implements json.Marshaler: x and y stand there for a finding with a place.
func (f Finding) MarshalJSON() ([]byte, error) {
	row := struct {
		Code     string   `json:"code"`
		Severity Severity `json:"severity"`
		Message  string   `json:"message"`
		Drawing  string   `json:"drawing,omitempty"`
		Handle   string   `json:"handle,omitempty"`
		X        *float64 `json:"x,omitempty"`
		Y        *float64 `json:"y,omitempty"`
		Key      string   `json:"key,omitempty"`  // of the job file
		Line     int      `json:"line,omitempty"` // of the job file
	}{Code: f.Code, Severity: f.Severity, Message: f.Message, Drawing: f.Drawing, Handle: f.Handle}
	if f.Placed {
		row.X, row.Y = &f.At.X, &f.At.Y
	}
	if f.Line > 0 {
		row.Key, row.Line = f.Key, f.Line
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false) // whoever asks decides on that
	err := enc.Encode(row)
	return b.Bytes(), err
}

// String returns one line: code, severity, message, and the place if known.
func (f Finding) String() string {
	s := f.Code + " " + f.Severity.String() + ": " + f.Message
	if f.Drawing != "" {
		s += " [" + f.Drawing
		if f.Handle != "" {
			s += " #" + f.Handle
		}
		if f.Placed {
			s += fmt.Sprintf(" at %.6g, %.6g", f.At.X, f.At.Y)
		}
		s += "]"
	}
	return s
}

// SortFindings orders findings gravest first, among equals a type that is mostly
// hidden before all others, as it spoils every figure after it; then by code, drawing, place and
// text, so that reports read the same on every run.
func SortFindings(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(b.Severity, a.Severity),
			first(a.Code == codeMostlyHidden, b.Code == codeMostlyHidden),
			cmp.Compare(a.Code, b.Code),
			cmp.Compare(a.Drawing, b.Drawing),
			cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X),
			cmp.Compare(a.Handle, b.Handle),
			cmp.Compare(a.Message, b.Message),
		)
	})
}

// The codes of findings about the takeoff.
const (
	codeUnexplained  = "F201" // a symbol on a layer that the rules look at, which no rule explains
	codeUnusedRule   = "F202" // a rule that matched nothing
	codeExcluded     = "F203" // symbols left out, by reason
	codeNoRoom       = "F204" // a device in no room
	codeNearby       = "F205" // two of a type closer than a symbol's size
	codeLandmark     = "F206" // a panel or riser that was not found, or found more than once
	codeMostlyHidden = "F207" // most of a type's symbols are on hidden layers
	codeUnits        = "F208" // units that do not fit what is drawn
	codeTurned       = "F209" // a plan that was found to be turned
	codeSeveral      = "F210" // a plan that seems to show more than one level
	codeRegion       = "F211" // symbols that seem to stand in a key plan or detail
	codeFigure       = "F212" // a figure that resembles a sample, or a sample where nothing is drawn
	codeStatus       = "F213" // symbols left out as demolition, existing or by others
	codeLegend       = "F214" // symbols that count and may be the samples of a legend
	codeUnseen       = "F215" // symbols that count and show nothing
	codeNothing      = "F216" // nothing counts at all
	codeRepeats      = "F217" // figures that repeat where devices stand, and that nothing explains
	codeDoor         = "F218" // doors or windows that count as devices
	codeSameDrawing  = "F219" // one drawing for several levels
	codeNoLayer      = "F220" // a layer that the job names and nothing is drawn on
	codeElevation    = "F221" // levels that cannot be that far above each other
	codeNotAbove     = "F222" // plans that do not stand above each other
)

// Caution stands under everything that the program prints and draws.
const Caution = "An aid, not an approval: the adopted code, the equipment's listing, the authority having jurisdiction and licensed practice govern."

// CautionLong stands in the workbook, which people estimate and order from.
const CautionLong = "Counts, lengths, addresses and checks are computed from the drawings as read and from the settings listed in this workbook. " +
	"They are an aid to estimating and drafting, not an engineered design and not an approval. The adopted code edition, the equipment's listing " +
	"and instructions, and the authority having jurisdiction govern. A qualified person must verify quantities, pathway class, isolation, " +
	"resistance, voltage drop, batteries and addresses before anything is ordered, submitted or installed. " +
	"Acceptance tests and records remain required. There is no warranty."

// Code is what the findings of one code tell and what to do about them.
type Code = dxf.Code

// Codes lists the findings about drawings and the takeoff: those of the reader, as
// FromDrawing names them, and those of this package.
func Codes() []Code {
	var out []Code
	for _, c := range dxf.Codes() {
		c.Code = fromDrawing(c.Code)
		out = append(out, c)
	}
	return append(out,
		Code{Code: codeUnexplained, Meaning: "symbols on a layer that the rules look at fit no rule", Remedy: "add a rule, or leave the layer or block out if they are no devices"},
		Code{Code: codeUnusedRule, Meaning: "a rule under types matches nothing", Remedy: "check its spelling, move it before the rule that takes its symbols, or delete it"},
		Code{Code: codeExcluded, Meaning: "symbols are left out of the count, with the reason", Remedy: "check that the reason holds; the message names the key that counts them"},
		Code{Code: codeNoRoom, Meaning: "a device stands in no named room", Remedy: "name the room on the drawing, or leave it if the room does not matter"},
		Code{Code: codeNearby, Meaning: "two devices stand closer together than a symbol is wide", Remedy: "erase the copy, or leave both if both are meant"},
		Code{Code: codeLandmark, Meaning: "a panel or riser is not where the job says, or in several places", Remedy: "correct its match rule, or give its place with at"},
		Code{Code: codeMostlyHidden, Meaning: "most symbols of a type are on layers that are off or frozen", Remedy: "turn the layers on, or write hidden: count in the row of the plan"},
		Code{Code: codeUnits, Meaning: "the units do not fit what is drawn", Remedy: "measure something on the drawing and correct units in the row of the plan"},
		Code{Code: codeTurned, Meaning: "a plan is turned against the others by its walls", Remedy: "write turned in the row of the plan to settle it"},
		Code{Code: codeSeveral, Meaning: "a drawing shows more than the one level that it stands for", Remedy: "give each level its own row under plans, with its region"},
		Code{Code: codeRegion, Meaning: "symbols stand in what looks like a key plan, detail or table", Remedy: "give the level's region, or ignore the part that is no plan"},
		Code{Code: codeFigure, Meaning: "a loose figure resembles a sample of a type, or nothing is drawn at the sample", Remedy: "pick the sample on one clean symbol"},
		Code{Code: codeStatus, Meaning: "symbols are left out as demolition, existing or by others", Remedy: "check the layers that demolition, existing and others name"},
		Code{Code: codeLegend, Meaning: "symbols that count may be the samples of a legend", Remedy: "ignore the legend in the row of the plan"},
		Code{Code: codeUnseen, Meaning: "symbols that count draw nothing", Remedy: "check in a CAD program whether they are meant"},
		Code{Code: codeNothing, Meaning: "nothing is counted at all", Remedy: "check the rules under types against the blocks that survey lists"},
		Code{Code: codeRepeats, Meaning: "figures that repeat where devices stand are no blocks and fit no rule", Remedy: "match them by text or by sample, if they are devices"},
		Code{Code: codeDoor, Meaning: "doors or windows count as devices", Remedy: "narrow the rule that matches them"},
		Code{Code: codeSameDrawing, Meaning: "one drawing stands for several levels", Remedy: "name each level's own drawing, or give each its region"},
		Code{Code: codeNoLayer, Meaning: "nothing is drawn on a layer that the job names", Remedy: "correct its name in the row of the plan"},
		Code{Code: codeElevation, Meaning: "two levels cannot be that far apart in height", Remedy: "correct elevation in the row of the plan"},
		Code{Code: codeNotAbove, Meaning: "a plan does not stand above those of the other levels", Remedy: "give the datum, or turned, that the message names in the row of the plan"},
	)
}

// fileFindings passes on what reading the drawings reported, once for each
// drawing, in the job's order.
func (t *taker) fileFindings() {
	told := map[string]bool{}
	for _, p := range t.req.Plans {
		if p.Drawing == "" || told[p.Drawing] {
			continue
		}
		told[p.Drawing] = true
		for _, f := range t.files.byName[p.Drawing].Notes {
			t.find(FromDrawing(p.Drawing, f))
		}
	}
}

// FromDrawing turns a finding of the reader into a Finding: code D101 becomes
// F101. What is more than a note says what to do.
func FromDrawing(name string, f dxf.Finding) Finding {
	g := Finding{Code: fromDrawing(f.Code), Severity: f.Severity, Message: f.Message, Drawing: name, Handle: f.Handle, At: geom.Pt(f.X, f.Y), Placed: f.HasPlace}
	if do := dxf.Advice(f.Code); f.Severity != Note && !strings.Contains(f.Message, do) {
		g.Message += ": " + do
	}
	if f.Line > 0 {
		g.Message += fmt.Sprintf(" (line %d)", f.Line)
	}
	return g
}

// fromDrawing is the code under which a finding of the reader is told.
func fromDrawing(code string) string { return "F" + code[1:] }
