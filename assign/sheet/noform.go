//go:build !forms

package sheet

// withForm leaves a document as it is: built without the tag forms, sheets have
// boxes to write in with a pen and no fields.
func withForm(pdf []byte, _ []field) ([]byte, error) { return pdf, nil }
