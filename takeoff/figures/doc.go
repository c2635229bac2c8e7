// Package figures finds symbols that are drawn loosely rather than as blocks: lines,
// circles and letters.
//
// A figure is learnt from one sample: the smallest linework that hangs together
// around a place, or an outline close around that. Wires and leaders that end on its
// ring are left out. It is found again moved, turned, mirrored and within 2 % of its
// size. Strokes may lie 2.5 % of its size off, in small figures 7.5 mm: hands draw to
// 5 mm.
package figures
