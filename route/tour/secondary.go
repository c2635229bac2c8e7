package tour

// Secondary is what makes one of two near-equal tours the better one to install.
type Secondary struct {
	// Turns is the cost of passing from prev through at to next; it must not depend on the direction.
	Turns func(prev, at, next int) float64
	// Crossing is the cost of each pair of legs that cross in plan; it needs Points.
	Crossing float64
}
