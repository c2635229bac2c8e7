// Package matrix drafts which inputs of a fire alarm system work which outputs:
// the general alarm, a level or zone, a room, or the device's own base.
//
// What must work what is the designer's to say, with the code and the authority
// having jurisdiction; a matrix here follows the rules of the job and shows what
// they leave out.
//
// Points whose event is of class output, and devices without points on an appliance
// or power circuit, are outputs; other points are inputs. Outputs that the same
// inputs work share a column; a rule of scope room or device has one column for each
// kind of output, whose cells name the outputs. The designer edits the rules, not
// the matrix: every build writes it anew.
package matrix

import (
	"slices"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// Scope says which of the outputs chosen an input works.
type Scope string

// The scopes.
const (
	Building Scope = "building" // all of them
	Level    Scope = "level"    // those on its level
	Zone     Scope = "zone"     // those in its zone
	Room     Scope = "room"     // those in its room or dwelling
	Device   Scope = "device"   // those on its own spot: a base under its detector, a relay in it
)

// Scopes lists the scopes that a job file may name.
var Scopes = []Scope{Building, Level, Zone, Room, Device}

// Select chooses points or devices. What is given must all fit; within one
// list, any may.
type Select struct {
	Functions []string
	Types     []string
	Levels    []string
	Rooms     []string // wildcards * and ?
}

// Empty reports whether nothing is asked for.
func (s Select) Empty() bool {
	return len(s.Functions)+len(s.Types)+len(s.Levels)+len(s.Rooms) == 0
}

// Rule says that some inputs work some outputs.
type Rule struct {
	Inputs, Outputs Select
	Scope           Scope
}

// terminal is an input or an output: a point of a device, or a device without
// points such as a notification appliance.
type terminal struct {
	Device   *assign.Numbered
	Point    string // "" for a device without points
	Function string // "" for a device without points
	Event    string
	Zone     string
}

func (t terminal) fits(s Select) bool {
	room := func(pattern string) bool { return words.NameFits(pattern, t.Device.Room) }
	return (len(s.Functions) == 0 || slices.Contains(s.Functions, t.Function)) &&
		(len(s.Types) == 0 || slices.Contains(s.Types, t.Device.Type)) &&
		(len(s.Levels) == 0 || slices.Contains(s.Levels, t.Device.Level)) &&
		(len(s.Rooms) == 0 || slices.ContainsFunc(s.Rooms, room))
}

// sameSpot is the distance in metres within which two devices are mounted on one another.
const sameSpot = 0.05

// within reports whether an output lies within the scope of an input.
func (s Scope) within(in, out terminal) bool {
	a, b := in.Device, out.Device
	switch s {
	case Level:
		return a.Level == b.Level
	case Zone:
		return in.Zone == out.Zone
	case Room:
		return a.Level == b.Level && a.Room == b.Room && a.Room != ""
	case Device:
		return a.Level == b.Level && a.Pos.Dist(b.Pos) <= sameSpot
	}
	return true
}

// Matrix is every input against the outputs that it works.
type Matrix struct {
	Draft   bool // no rule of the job stands behind it
	Inputs  []terminal
	Outputs []terminal
	Works   [][]int // by input: outputs, ascending
	by      [][]int // by input: for each of Works the rule, from 0
	rules   []Rule
	idle    []int // rules that fit nothing
}

// Make applies the rules to the devices, in the order given. Without rules it
// drafts: every alarm input works every notification appliance. zone names the
// zone of a device.
func Make(devices []assign.Numbered, types []takeoff.DeviceType, rules []Rule, zone func(takeoff.Device) string) Matrix {
	m := Matrix{rules: rules, Draft: len(rules) == 0}
	byType := map[string]takeoff.DeviceType{}
	for _, t := range types {
		byType[t.Type] = t
	}
	for i := range devices {
		m.sort(&devices[i], byType[devices[i].Type], zone)
	}
	if m.Draft {
		m.rules = []Rule{{Scope: Building}}
	}
	m.apply(byType)
	return m
}

// sort puts a device's points among inputs and outputs. An output is a point
// whose event is one of sounders and relays, and a device without points that a
// notification or power circuit feeds.
func (m *Matrix) sort(d *assign.Numbered, t takeoff.DeviceType, zone func(takeoff.Device) string) {
	if d.Status != takeoff.Counted {
		return
	}
	z := zone(d.Device)
	if len(t.Points) == 0 {
		if appliance(t) {
			m.Outputs = append(m.Outputs, terminal{Device: d, Zone: z})
		}
		return
	}
	for i, p := range t.Points {
		term := terminal{Device: d, Function: p.Function, Event: p.Event, Zone: z}
		if i < len(d.Points) {
			term.Point = d.Points[i].Point
		}
		if e, ok := assign.EventOf(p.Event); ok && e.Class == assign.ClassOutput {
			m.Outputs = append(m.Outputs, term)
			continue
		}
		m.Inputs = append(m.Inputs, term)
	}
}

// appliance reports a device that people hear or see.
func appliance(t takeoff.DeviceType) bool {
	return len(t.Points) == 0 && (t.On(takeoff.NAC) || t.On(takeoff.Power))
}

// alarm reports an alarm input, or one of unknown kind.
func (t terminal) alarm() bool {
	e, ok := assign.EventOf(t.Event)
	return !ok || e.Class == assign.ClassAlarm
}

// mustWork reports an input that is useless if it activates nothing. A prealarm,
// a supervisory signal or a trouble is shown at the panel and may do no more.
func (t terminal) mustWork() bool {
	e, ok := assign.EventOf(t.Event)
	return !ok || e.Class == assign.ClassAlarm || e.Class == assign.ClassGas
}

func (m *Matrix) apply(types map[string]takeoff.DeviceType) {
	fitted := make([]bool, len(m.rules))
	targets := make([][]int, len(m.rules))
	for r, rule := range m.rules {
		for j, out := range m.Outputs {
			if m.Draft && appliance(types[out.Device.Type]) || !m.Draft && out.fits(rule.Outputs) {
				targets[r] = append(targets[r], j)
			}
		}
	}
	m.Works, m.by = make([][]int, len(m.Inputs)), make([][]int, len(m.Inputs))
	for i, in := range m.Inputs {
		rule := map[int]int{}
		for r, ru := range m.rules {
			if m.Draft && !in.alarm() || !m.Draft && !in.fits(ru.Inputs) {
				continue
			}
			for _, j := range targets[r] {
				if !ru.Scope.within(in, m.Outputs[j]) {
					continue
				}
				fitted[r] = true
				first, again := rule[j]
				if !again {
					m.Works[i] = append(m.Works[i], j)
				}
				// The wider rule stands for both: its outputs then stay together in the table.
				if !again || narrow(m.rules[first].Scope) && !narrow(ru.Scope) {
					rule[j] = r
				}
			}
		}
		slices.Sort(m.Works[i])
		for _, j := range m.Works[i] {
			m.by[i] = append(m.by[i], rule[j])
		}
	}
	for r, ok := range fitted {
		if !ok && !m.Draft {
			m.idle = append(m.idle, r)
		}
	}
}
