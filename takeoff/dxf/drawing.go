package dxf

// Record is one group code 0 with everything up to the next one.
type Record struct {
	Type       string // as stored, without blanks, in capitals
	Start, End int    // byte span
}

// Drawing is a drawing that has been read: its source and an index of it.
type Drawing struct {
	Source
	unmap func() error
}

// Parse reads a drawing from bytes, which must not change while it is in use.
// The name is for messages.
func Parse(name string, b []byte) (*Drawing, error) {
	d := &Drawing{Source: Source{Name: name, Bytes: b}}
	d.sniff()
	return d, nil
}
