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

// FaultKind says how tags and bytes are out of step.
type FaultKind uint8

// The kinds of faults.
const (
	FaultNone      FaultKind = iota
	FaultCode                // a group code was expected and something else stands there
	FaultTruncated           // the file ends inside a tag
	FaultLong                // a value longer than any drawing holds
)

// Fault is a place where reading tags one after the other had to stop.
type Fault struct {
	Kind   FaultKind
	Offset int // where the tag was expected
	Resume int // where reading went on; the end of the span if it did not
}

// MaxValue bounds one value. The longest values that programs write (texts,
// embedded data) are some kilobytes; a longer one means a file that is not DXF,
// or a lost line end.
const MaxValue = 16 << 20
