package tags

// Tag is one group code with its value, as offsets into the bytes of the
// source. Nothing is decoded until it is asked for.
type Tag struct {
	Code int
	// Start is where the group code begins (in ASCII: the first byte of its line,
	// padding included), ValStart and ValEnd enclose the value without its line
	// end, terminating NUL or length byte, End is the first byte after the tag.
	Start, ValStart, ValEnd, End int
}
