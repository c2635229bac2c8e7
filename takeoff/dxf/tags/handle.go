package tags

import "bytes"

// Handle is a handle of a record; 0 means that it has none.
type Handle uint64

// String writes a handle as DXF does: upper-case hexadecimal, no leading zeros,
// and nothing at all for "no handle".
func (h Handle) String() string {
	if h == 0 {
		return ""
	}
	var buf [16]byte
	i := len(buf)
	for ; h > 0; h >>= 4 {
		i--
		buf[i] = "0123456789ABCDEF"[h&15]
	}
	return string(buf[i:])
}

// ParseHandle reads a handle as people and files write it.
func ParseHandle(s string) (Handle, bool) {
	h, ok := handleValue([]byte(s))
	return Handle(h), ok
}

func handleValue(raw []byte) (uint64, bool) {
	raw = bytes.TrimSpace(raw)
	if len(raw) == 0 || len(raw) > 16 {
		return 0, false
	}
	var h uint64
	for _, c := range raw {
		switch {
		case c >= '0' && c <= '9':
			c -= '0'
		case c >= 'A' && c <= 'F':
			c -= 'A' - 10
		case c >= 'a' && c <= 'f':
			c -= 'a' - 10
		default:
			return 0, false
		}
		h = h<<4 | uint64(c)
	}
	return h, true
}

// RefersByHandle reports whether a group code holds a reference to a handle
// (DXF reference, "Group Codes in Numerical Order").
func RefersByHandle(code int) bool {
	return code >= 320 && code <= 369 || code >= 390 && code <= 399 || code == 480 || code == 481 || code == 1005
}
