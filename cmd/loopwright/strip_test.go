package main

import (
	"os"

	"github.com/rogpeppe/go-internal/testscript"

	dxfedit "loopwright/takeoff/dxf/edit"
)

// strip runs "strip LABELED OUT": takes what we drew off a drawing.
func strip(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: strip LABELED OUT")
	}
	b, err := dxfedit.Strip(args[0], []byte(ts.ReadFile(args[0])))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b, 0o666))
}
