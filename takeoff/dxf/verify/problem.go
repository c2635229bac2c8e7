package verify

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
)

// problem is something wrong in a written drawing.
type problem struct {
	code    string // what is wrong, such as "handle-twice"; see the constants
	offset  int    // in the written bytes, -1 if it is about no place
	message string
}

func (p problem) String() string {
	if p.offset < 0 {
		return p.code + ": " + p.message
	}
	return fmt.Sprintf("%s at byte %d: %s", p.code, p.offset, p.message)
}

// Codes of problems.
const (
	problemUnreadable  = "unreadable"     // tags out of step, sections not closed
	problemChanged     = "changed"        // something of the original is not as it was
	problemLost        = "lost"           // something of the original is missing
	problemForeign     = "foreign"        // a new record that is not marked as ours
	problemPlace       = "wrong-place"    // a new record outside its table or section
	problemLayout      = "layout"         // tags of a new record missing, too many or out of order
	problemValue       = "value"          // a value that its group code does not allow
	problemEncoding    = "encoding"       // bytes that are not text in the drawing's encoding
	problemLineEnd     = "line-end"       // a line that ends otherwise than line 1
	problemHandleTwice = "handle-twice"   // a new handle that something else has
	problemHandleTaken = "handle-awaited" // a new handle that the original already refers to
	problemOwner       = "owner"          // a new record that belongs to the wrong thing
	problemOwnHandle   = "own-handle"     // extended data that name another handle than the record's
	problemDangling    = "dangling"       // a reference to a handle that nothing has
	problemUndefined   = "undefined"      // a layer, text style or application that no table lists
	problemSeed        = "handseed"       // $HANDSEED too low, or changed without need
	problemStrip       = "strip"          // Strip does not give the original back
)

// faulty is a drawing that must not be written.
type faulty struct {
	name     string
	problems []problem
}

func (e *faulty) Error() string {
	var lines []string
	for _, p := range e.problems[:min(3, len(e.problems))] {
		lines = append(lines, p.String())
	}
	return fmt.Sprintf("%s: not written, %d problems in the result: %s", e.name, len(e.problems), strings.Join(lines, "; "))
}

// maxProblems ends the list where more of the same would not help.
const maxProblems = 200

func sortProblems(ps []problem) {
	slices.SortStableFunc(ps, func(a, b problem) int {
		return cmp.Or(cmp.Compare(a.offset, b.offset), cmp.Compare(a.code, b.code), cmp.Compare(a.message, b.message))
	})
}

// checker holds what the checks share.
type checker struct {
	base, src            *tags.Source // the original without ours, and the written drawing
	baseOutline, outline *edit.Outline
	problems             []problem

	handles    bool // records carry handles
	modelSpace tags.Handle
	enc        tags.Encoder

	ours     map[tags.Handle]int // handles of new records -> their offset
	marked   map[int]bool        // starts of records with our extended data
	wanted   map[tags.Handle]int // handles that new records refer to -> offset
	polyline tags.Handle         // the POLYLINE that VERTEX records belong to
	spans    [][2]int            // what is new, in order
}

func (c *checker) add(code string, offset int, format string, args ...any) []problem {
	if len(c.problems) < maxProblems {
		c.problems = append(c.problems, problem{code, offset, fmt.Sprintf(format, args...)})
	}
	return c.problems
}
