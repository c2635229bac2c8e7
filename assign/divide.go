package assign

import (
	"fmt"
	"slices"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// Row is one circuit of the job file, as far as deciding what hangs on it goes.
type Row struct {
	Circuit string
	Kind    takeoff.CircuitKind
	Panel   string
	Levels  []string // empty for all
	Auto    bool     // as many circuits as are needed; Circuit is the prefix of their names
}

// Serves reports whether the row takes devices of a level.
func (r Row) Serves(level string) bool {
	return len(r.Levels) == 0 || slices.Contains(r.Levels, level)
}

// Group is a set of devices and the circuit rows that may take them. With one
// row that is not Auto they all hang on it; otherwise they are to be split.
type Group struct {
	Kind    takeoff.CircuitKind
	Rows    []Row
	Devices []takeoff.Device
}

// Divide puts every device that counts with the circuit rows of each kind that
// its type is wired to and that serve its level. Devices that the same rows may
// take form one group; groups come in the order of the rows. A device that no
// row serves is a finding and in no group of that kind.
func Divide(devices []takeoff.Device, types []takeoff.DeviceType, rows []Row) ([]Group, []takeoff.Finding) {
	byType := indexTypes(types)
	groups := map[string]*Group{}
	var order []string
	var missing unserved
	for _, d := range devices {
		t, ok := byType[d.Type]
		if d.Status != takeoff.Counted || !ok {
			continue
		}
		for _, kind := range t.WiredTo {
			key, fit := rowsFor(rows, kind, d.Level)
			if len(fit) == 0 {
				missing.add(kind, d)
				continue
			}
			if groups[key] == nil {
				groups[key] = &Group{Kind: kind, Rows: fit}
				order = append(order, key)
			}
			groups[key].Devices = append(groups[key].Devices, d)
		}
	}
	slices.Sort(order) // keys sort by the position of their rows
	out := make([]Group, 0, len(order))
	for _, key := range order {
		out = append(out, *groups[key])
	}
	return out, missing.findings()
}

// rowsFor returns the rows of a kind that serve a level, and a key that sorts as the rows stand.
func rowsFor(rows []Row, kind takeoff.CircuitKind, level string) (key string, fit []Row) {
	for i, r := range rows {
		if r.Kind == kind && r.Serves(level) {
			key += fmt.Sprintf("%06d ", i)
			fit = append(fit, r)
		}
	}
	return key, fit
}

func indexTypes(types []takeoff.DeviceType) map[string]takeoff.DeviceType {
	m := make(map[string]takeoff.DeviceType, len(types))
	for _, t := range types {
		m[t.Type] = t
	}
	return m
}

// unserved collects the devices that no circuit takes, one finding for a kind and level.
type unserved struct {
	order []string
	first map[string]takeoff.Device
	kind  map[string]takeoff.CircuitKind
	n     map[string]int
}

func (u *unserved) add(kind takeoff.CircuitKind, d takeoff.Device) {
	key := string(kind) + "\x00" + d.Level
	if u.n == nil {
		u.first, u.kind, u.n = map[string]takeoff.Device{}, map[string]takeoff.CircuitKind{}, map[string]int{}
	}
	if u.n[key] == 0 {
		u.order = append(u.order, key)
		u.first[key], u.kind[key] = d, kind
	}
	u.n[key]++
}

func (u *unserved) findings() []takeoff.Finding {
	var fs []takeoff.Finding
	for _, key := range u.order {
		d := u.first[key]
		fs = append(fs, takeoff.Finding{
			Code: CodeNoCircuit, Severity: takeoff.Error,
			Message: fmt.Sprintf("%s: no circuit of kind %s for %s, first %s (%s): add a circuit, or leave %s out of wired_to",
				d.Level, u.kind[key], measure.Count(u.n[key], "device"), d.ID, d.Type, u.kind[key]),
			Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: d.Drawing != "",
		})
	}
	return fs
}
