package fault

import "fmt"

// String is "open" or "short".
func (k Kind) String() string {
	if k == Short {
		return "short"
	}
	return "open"
}

// String names kind and place by index.
func (f Fault) String() string {
	if f.Leg >= 0 {
		return fmt.Sprintf("%s on leg %d", f.Kind, f.Leg)
	}
	return fmt.Sprintf("%s at node %d", f.Kind, f.Node)
}
