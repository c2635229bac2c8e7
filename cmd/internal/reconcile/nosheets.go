//go:build !forms

package reconcile

import (
	"errors"
	"io"
)

// readSheets refuses: built without the tag forms, the program cannot read PDF forms.
func readSheets(io.Reader) (Source, error) {
	return Source{}, errors.New("this program was built without PDF forms (tag forms): read the sheet with a full build")
}
