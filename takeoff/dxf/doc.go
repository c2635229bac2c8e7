// Package dxf reads and edits DXF drawings as text editors edit text.
//
// A drawing is a byte slice that is never changed and never copied. Every tag
// (group code and value) is a span of those bytes, every record is a span of
// tags, and every value that the package hands out says at which offset it was
// found. Tags are not kept: a drawing holds an index of where records start and
// scans their tags again when they are asked for, so a file of 250 MB costs
// little more than its own size.
//
// Group codes and their meaning follow the published DXF reference; where a
// comment says "DXF reference, X" it means the section of that name.
//
// Coordinates are in drawing units, angles in degrees. The package knows
// nothing about devices, levels or circuits.
package dxf
