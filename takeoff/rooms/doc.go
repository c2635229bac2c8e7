// Package rooms finds the names of rooms on a page and tells which of them a place
// belongs to: that of the smallest closed outline with one name around it; else the
// one that reaches it on a grid of 0.1 m between the walls.
//
// Doorways, gaps to 1.35 m, or to 2.7 m if a door or window stands there, are walls.
// Gaps to 10 m between two ends of one wall let a name through only into space
// without one. Numbered rooms spread first. What the outside reaches is not a room; if
// the outer walls leak, names hold there within 12 m only.
package rooms
