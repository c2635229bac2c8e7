package route

// Step is one thing that an installer meets along a circuit: a device, or an
// isolator that is to be added.
type Step struct {
	Device string   // id; "" for an isolator to add
	Add    Isolator // where Device is ""
}

// Walk lists what stands along a circuit in walking order, the isolators to be
// added among the devices: each where its leg is walked, first the one beside
// the leg's start. A branch is walked from where it hangs.
func (c Circuit) Walk(added []Isolator) []Step {
	device := make(map[string]bool, len(c.Devices))
	for _, id := range c.Devices {
		device[id] = true
	}
	var steps []Step
	for _, l := range c.Legs {
		for _, end := range []string{l.From, l.To} {
			for _, a := range added {
				if a.From == l.From && a.To == l.To && a.Beside == end {
					steps = append(steps, Step{Add: a})
				}
			}
		}
		if device[l.To] {
			steps = append(steps, Step{Device: l.To})
			delete(device, l.To)
		}
	}
	return steps
}
