package main

import (
	"errors"
	"io/fs"
	"strconv"
	"strings"

	"loopwright/assign/ledger"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
	"loopwright/takeoff/where"
)

// failure is an error as programs read it: all keys are always there. Line and
// column count from 1 and are 0, the others "", where they do not apply.
type failure struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Handle  string `json:"handle"`
	Message string `json:"message"`
}

// failed is what --json prints on exit 1 and 2: the first mistake, and those after it.
type failed struct {
	Error failure   `json:"error"`
	More  []failure `json:"more,omitempty"`
	// Devices hold the addresses that a ledger has lost, or would lose.
	Devices []any `json:"devices,omitempty"`
}

// failures lists what an error holds, in its order: one for each mistake in a job
// file or each name that is no file.
func failures(err error) []failure {
	var located job.Errors
	if errors.As(err, &located) && len(located) > 0 {
		var out []failure
		for _, l := range located {
			out = append(out, failureOf(l))
		}
		return out
	}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var out []failure
		for _, e := range many.Unwrap() {
			out = append(out, failures(e)...)
		}
		return out
	}
	return []failure{failureOf(err)}
}

func failureOf(err error) failure {
	var l job.Located
	var place *where.Error
	var damage *ledger.Damage
	var path *fs.PathError
	switch {
	case errors.As(err, &l):
		return failure{File: l.File, Line: l.Line, Column: l.Col, Message: l.Message}
	case errors.As(err, &damage):
		return failure{File: damage.File, Line: damage.Line, Message: damage.Message}
	case errors.As(err, &place):
		return failure{File: place.File, Line: place.Line, Column: place.Column, Handle: place.Handle, Message: err.Error()}
	case errors.As(err, &path):
		return failure{File: path.Path, Message: err.Error()}
	}
	return failure{Message: err.Error()}
}

// tell prints an error as JSON where that was asked for, unless part of the
// results has been printed already: one object is all that a reader takes.
func (a *app) tell(err error) {
	if !a.json || a.out.begun() {
		return
	}
	fs := failures(err)
	f := failed{Error: fs[0], More: fs[1:]}
	var lost *outcome.Lost
	if errors.As(err, &lost) {
		f.Devices = lost.Devices
	}
	_ = result.WriteJSON(a.out, f) // there is nobody left to tell
}

// asksJSON reports whether a command line asks for JSON, before or without its being understood.
func asksJSON(args []string) bool {
	asked := false
	for _, w := range args {
		switch value, is := strings.CutPrefix(w, "--json="); {
		case w == "--":
			return asked
		case w == "--json":
			asked = true
		case is:
			asked, _ = strconv.ParseBool(value)
		}
	}
	return asked
}
