package label

// String returns the side in words.
func (s Side) String() string {
	return [...]string{"upper right", "lower right", "upper left", "lower left", "right", "above", "below", "left", "?"}[min(s, sideCount)]
}
