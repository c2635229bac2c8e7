// Package where says of an error which file and place it is about, for programs
// that read errors. People read the error's own text, which names the place too.
package where

import "errors"

// Error is an error with its place: the file, the line and column from 1 (0 where
// there is none) and the handle of the entity, "" if none.
type Error struct {
	File         string
	Line, Column int
	Handle       string
	Err          error
}

// Error returns the text of the error alone.
func (e *Error) Error() string { return e.Err.Error() }

// Unwrap returns the error without its place.
func (e *Error) Unwrap() error { return e.Err }

// In returns an error about a file, at the place in it that the error has already;
// nil stays nil. An error that names a file keeps it.
func In(file string, err error) error {
	var e *Error
	switch {
	case err == nil:
		return nil
	case !errors.As(err, &e):
		return &Error{File: file, Err: err}
	case e.File != "":
		return err
	}
	return &Error{File: file, Line: e.Line, Column: e.Column, Handle: e.Handle, Err: err}
}

// Line returns an error about a line, from 1, of a file that a caller knows; nil stays nil.
func Line(line int, err error) error {
	if err == nil {
		return nil
	}
	return &Error{Line: line, Err: err}
}
