// Package legend finds what on a page shows symbols but is not a plan: tables of
// samples, key plans and details.
//
// A legend is symbols, blocks or loose figures, beside texts that begin on one
// line, in rows of even pitch and mostly different: two rows under a heading, four
// without one. Two or three rows without a heading are one only if all differ, no
// text stands elsewhere or names a room, and two of these hold: a frame around
// them, words of devices in every row, a place out of the building with all symbols
// in use. With less evidence they may be one.
//
// Key plans and details are found by their titles: what hangs together with the
// title and not with the plan.
package legend
