package assign

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff"
)

// EventClass says what kind of message an event code is.
type EventClass string

// The classes of events.
const (
	ClassAlarm       EventClass = "alarm"
	ClassPrealarm    EventClass = "prealarm"
	ClassGas         EventClass = "gas" // carbon monoxide and other gases: an alarm with a signal of its own
	ClassSupervisory EventClass = "supervisory"
	ClassTrouble     EventClass = "trouble"
	ClassOutput      EventClass = "output" // a sounder, bell or relay that the panel works
	ClassDisable     EventClass = "disable"
	ClassTest        EventClass = "test"
	ClassRestore     EventClass = "restore"
)

// Event is one code of the public lists.
type Event struct {
	Code    string // three digits (Contact ID, ANSI/SIA DC-05) or two letters (SIA DC-03)
	Meaning string
	Class   EventClass
}

var eventByCode = func() map[string]Event {
	m := make(map[string]Event, len(eventTable))
	for _, e := range eventTable {
		m[e.Code] = e
	}
	return m
}()

// EventOf looks an event code up in the public lists.
func EventOf(code string) (Event, bool) {
	e, ok := eventByCode[strings.ToUpper(strings.TrimSpace(code))]
	return e, ok
}

// CheckEvents reports the event codes of the types in use that are in no public
// list: a monitoring station would not know what they mean.
func CheckEvents(types []takeoff.DeviceType) []takeoff.Finding {
	var order []string
	users := map[string][]string{}
	for _, t := range types {
		for _, p := range t.Points {
			if _, known := EventOf(p.Event); known || p.Event == "" {
				continue
			}
			if users[p.Event] == nil {
				order = append(order, p.Event)
			}
			if who := fmt.Sprintf("%s (%s)", t.Type, p.Function); !slices.Contains(users[p.Event], who) {
				users[p.Event] = append(users[p.Event], who)
			}
		}
	}
	var fs []takeoff.Finding
	for _, code := range order {
		fs = append(fs, takeoff.Finding{Code: CodeEvent, Severity: takeoff.Warning,
			Message: fmt.Sprintf("event code %q of %s is not in the program's list of public codes (three digits, or two letters): check it with the monitoring station", code, strings.Join(users[code], ", "))})
	}
	return fs
}
