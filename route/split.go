package route

import (
	"fmt"

	"loopwright/takeoff"
)

// Part is a set of devices and the circuit that takes them.
type Part struct {
	Spec
	Devices []takeoff.Device
}

// Split divides the devices of a group among the circuits that may take them.
// With one row that is not to be split they all go to it.
func Split(b Building, specs []Spec, devices []takeoff.Device, opt Options) ([]Part, []takeoff.Finding, error) {
	if len(specs) == 0 {
		return nil, nil, fmt.Errorf("no circuit takes these %d devices", len(devices))
	}
	if len(specs) == 1 && !specs[0].Auto {
		return []Part{{specs[0], devices}}, nil, nil
	}
	return b.splitByCapacity(specs, devices, opt)
}

// splitByCapacity cuts the walk through all devices into circuits as capacity asks for.
func (b Building) splitByCapacity(specs []Spec, devices []takeoff.Device, opt Options) ([]Part, []takeoff.Finding, error) {
	whole, _, err := Lay(b, specs[0], devices, nil, opt)
	if err != nil {
		return nil, nil, err
	}
	byID := map[string]takeoff.Device{}
	for _, d := range devices {
		byID[d.ID] = d
	}
	types := map[string]takeoff.DeviceType{}
	for _, t := range b.Types {
		types[t.Type] = t
	}
	var parts []Part
	used := 0.0
	for _, id := range whole.Devices {
		d := byID[id]
		need, limit := demand(specs[0], types[d.Type])
		if len(parts) == 0 || limit > 0 && used+need > limit {
			s := specs[min(len(parts), len(specs)-1)]
			if specs[0].Auto {
				s.Name = fmt.Sprintf("%s-%d", specs[0].Name, len(parts)+1)
			}
			parts = append(parts, Part{Spec: s})
			used = 0
		}
		used += need
		parts[len(parts)-1].Devices = append(parts[len(parts)-1].Devices, d)
	}
	return parts, nil, nil
}

// demand is what a device takes of its circuit's capacity, and that capacity less its spare.
func demand(s Spec, t takeoff.DeviceType) (need, limit float64) {
	if s.Kind == takeoff.SLC {
		return float64(t.Addresses), float64(s.Capacity) * (1 - s.SpareShare)
	}
	return t.Alarm.A, s.MaxCurrent * (1 - s.SpareShare)
}
