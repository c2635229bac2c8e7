// Package dxf reads DXF drawings: sections, layers and blocks, inserts with
// nesting and arrays expanded, texts, and geometry with curves flattened.
//
// [Open] and [Parse] read the tags of a file once (package tags) and keep only the
// bytes and an index of where records start, so a file of 250 MB costs little more
// than its own size. Everything else reads the tags of its records again when it
// is asked for. Results are copies: a drawing may be closed while they live on.
//
// Damage inside a drawing becomes findings. A record with a fault inside is left
// out, never read in part. A file that ends inside a section or before ENTITIES is
// cut off (D102). A section, table or block that is not closed, and records outside
// sections, may hide devices (D105), so both are errors. A missing EOF after
// complete ENTITIES (D103) and an extra ENDSEC (D109) hide nothing.
//
// What every block expands to, arrays and nesting included, is counted before
// anything is expanded, and a drawing beyond the limit is refused at once. An
// insert that closes a loop of blocks is marked there and never entered. A frozen
// layer or the invisible flag hides what an insert contains; a layer that is off
// hides only what is on it. Entities on layer 0 take the layer of the insert
// around them. Columns or rows spaced zero apart count as one element.
//
// Group codes and their meaning follow the published DXF reference; where a
// comment says "DXF reference, X" it means the section of that name. Coordinates
// are in drawing units, angles in degrees. The package knows nothing about
// devices, levels or circuits; package edit writes into drawings, and package
// verify holds the result against the original.
package dxf
