package outcome

import (
	"strconv"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
)

// Walked returns the devices on circuits, circuit by circuit in walking order.
func (o *Outcome) Walked() []assign.Numbered {
	at := make(map[string]int, len(o.Devices))
	for i, d := range o.Devices {
		at[d.ID] = i
	}
	var out []assign.Numbered
	for _, c := range o.Circuits {
		for _, id := range c.Circuit.Devices {
			if d := o.Devices[at[id]]; d.Circuit == c.Name {
				out = append(out, d)
			}
		}
	}
	return out
}

// Locations are the texts that the panel shows for the devices with points, by
// id: as the job's pattern makes them, short enough and all different.
func (o *Outcome) Locations() map[string]string {
	var rows []assign.Location
	for _, d := range o.Walked() {
		if len(d.Points) == 0 {
			continue
		}
		words := map[string]string{"level": d.Level, "room": d.Room, "id": d.ID, "type": d.Type,
			"circuit": d.Circuit, "address": strconv.Itoa(d.Address), "order": strconv.Itoa(d.Order)}
		rows = append(rows, assign.Location{Key: d.ID, Text: assign.Expand(o.Job.Points.Location, words), Mark: strconv.Itoa(d.Address)})
	}
	out := map[string]string{}
	for i, s := range assign.Locations(rows, o.Job.Points.Length) {
		out[rows[i].Key] = s
	}
	return out
}

// setOptions sets the extra switches of every device that has an address.
func (o *Outcome) setOptions() {
	types := map[string]job.Type{}
	for _, t := range o.Job.Types {
		types[t.Type] = t
	}
	for i := range o.Devices {
		if d := &o.Devices[i]; d.Circuit != "" {
			d.Options = assign.OptionSettings(types[d.Type].DeviceType, types[d.Type].Inputs)
		}
	}
}
