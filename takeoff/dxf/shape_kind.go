package dxf

// ShapeKind is the kind of entity that a shape was made from.
type ShapeKind uint8
type Shape struct{}
type extent struct{}
