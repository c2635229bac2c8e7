// Package testdata carries the demo job inside the program: two levels of an
// invented building. The drawings are made by demo/draw.py with a general CAD
// library, never by this project's own writer.
package testdata

import "embed"

// Demo holds the folder demo: the job file and its drawings.
//
//go:embed demo/job.yaml demo/*.dxf
var Demo embed.FS
