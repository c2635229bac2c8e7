package dxf

// refersByHandle reports whether a group code holds a reference to a handle
// (DXF reference, "Group Codes in Numerical Order").
func refersByHandle(code int) bool {
	return code >= 320 && code <= 369 || code >= 390 && code <= 399 || code == 480 || code == 481 || code == 1005
}

// cleanHandle reports whether a value is a handle and nothing but blanks
// around it, so that it can be copied elsewhere as it stands.
func cleanHandle(src *Source, t Tag) bool {
	w := word(src, t)
	for i := range len(w) {
		if c := w[i]; (c < '0' || c > '9') && (c < 'A' || c > 'F') && (c < 'a' || c > 'f') {
			return false
		}
	}
	_, ok := src.Handle(t)
	return ok
}
