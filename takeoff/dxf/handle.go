package dxf

// refersByHandle reports whether a group code holds a reference to a handle
// (DXF reference, "Group Codes in Numerical Order").
func refersByHandle(code int) bool {
	return code >= 320 && code <= 369 || code >= 390 && code <= 399 || code == 480 || code == 481 || code == 1005
}
