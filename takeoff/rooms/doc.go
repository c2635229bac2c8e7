// Package rooms finds the names of rooms on the sheets of a level and tells which of
// them a place belongs to.
//
// Walls are the lines on the layers that are named for them; where none is, what bounds rooms by its shape: long
// lines, outlines and filled bands that hang together, but not furniture, stairs, ceilings, doors, leaders, wiring, the
// axes of a grid and frames of sheets. Where the lines of some layers part the rooms as well as all together, these
// are the walls.
//
// A level is cut into squares of 0.1 m between its walls, doorways closed, the hull of the walls around it.
// Labels are what stands in the style that most spaces share, one in each; words come second: numbers and
// names of rooms in any language speak for a style, and for what is lettered otherwise.
//
// A place belongs to the label from which the widest way leads to it, of equal ways the nearest; or to the
// closed outline around it that holds one label. Wide openings part two names; a room without a name has none.
package rooms
