package fieldpage

import (
	"strings"
	"time"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// contents is what the page's script works on.
type content struct {
	Format   string      `json:"format"`
	Version  int         `json:"version"`
	Job      string      `json:"job"`
	Revision string      `json:"revision"`
	Far      float64     `json:"far"`     // share by which a reading may lie outside what was computed
	FarOhm   float64     `json:"far_ohm"` // and ohms
	Types    []kind      `json:"types"`
	Levels   []view      `json:"levels"`
	Circuits []circuit   `json:"circuits"`
	Rows     []row       `json:"rows"`  // devices along their circuits, in walking order
	Marks    []mark      `json:"marks"` // devices and symbols that were left out, on the plans
	Findings []pageFound `json:"findings"`
}

// kind is a device type.
type kind struct {
	Type    string `json:"type"`
	Name    string `json:"name"`
	Address bool   `json:"address"` // takes one
}

type circuit struct {
	Name    string `json:"circuit"`
	Detail  string `json:"detail"`
	Values  []int  `json:"values,omitempty"` // of the switches, switch 1 first
	OffSum  bool   `json:"off_counts,omitempty"`
	Dials   bool   `json:"dials,omitempty"`
	Ends    []end  `json:"ends,omitempty"`
	Lowest  int    `json:"lowest,omitempty"` // address that can be set
	Highest int    `json:"highest,omitempty"`
}

// row is one device at its place in one circuit.
type row struct {
	ID      string   `json:"id"`
	Circuit int      `json:"c"` // index; -1 for none
	Order   int      `json:"o"`
	Mark    int      `json:"m"` // index of its mark
	Address int      `json:"a,omitempty"`
	Span    int      `json:"span,omitempty"`
	Row     string   `json:"row,omitempty"`
	Scheme  string   `json:"scheme,omitempty"`
	Sum     string   `json:"sum,omitempty"`
	Options []option `json:"options,omitempty"`
	Facts   []string `json:"facts,omitempty"` // points, cable and all else to know, a line each
}

type option struct {
	Switch string `json:"switch"`
	On     bool   `json:"on"`
}

// markOf is a place on a plan.
type mark struct {
	ID     string `json:"id"`
	Type   int    `json:"t"` // index; -1 where unknown
	Level  int    `json:"l"`
	X      int    `json:"x"`
	Y      int    `json:"y"`
	Room   string `json:"room,omitempty"`
	Reason string `json:"out,omitempty"` // why it does not count
}

type pageFound struct {
	Code     string `json:"code"`
	Severity string `json:"severity"`
	Message  string `json:"message"`
	Level    int    `json:"l"` // -1 without a place
	X        int    `json:"x"`
	Y        int    `json:"y"`
}

// stamp is revision and date as shown, "" where the job gives neither.
func stamp(o *outcome.Outcome) string {
	var parts []string
	if o.Job.Revision != "" {
		parts = append(parts, "revision "+o.Job.Revision)
	}
	if !o.Job.Date.IsZero() {
		parts = append(parts, o.Job.Date.Format(time.DateOnly))
	}
	return strings.Join(parts, " · ")
}

// length writes metres in the job's unit.
func length(o *outcome.Outcome, m float64) string {
	return o.Job.Report.Length(m, 1)
}

// contents gathers everything that the script needs.
func contents(o *outcome.Outcome, views []view) content {
	c := content{Format: exportFormat, Version: exportVersion, Job: o.Job.Name, Revision: o.Job.Revision,
		Far: outcome.FarShare, FarOhm: outcome.FarOhm,
		Levels: views, Types: []kind{}, Circuits: []circuit{}, Rows: []row{}, Marks: []mark{}, Findings: []pageFound{}}
	types := map[string]int{}
	for i, t := range o.Job.DeviceTypes() {
		types[t.Type] = i
		name := t.Name
		if name == "" {
			name = t.Type
		}
		c.Types = append(c.Types, kind{t.Type, name, t.Addresses > 0})
	}
	at := map[string]int{}
	for _, d := range o.Devices {
		if m, ok := markOf(o, d.Device, types, views); ok {
			if d.Status == takeoff.Counted {
				at[d.ID] = len(c.Marks)
			}
			c.Marks = append(c.Marks, m)
		}
	}
	c.Circuits, c.Rows = rowsOf(o, at)
	c.Findings = findingsOf(o, views)
	return c
}

// markOf puts a device on the plan of its level.
func markOf(o *outcome.Outcome, d takeoff.Device, types map[string]int, views []view) (mark, bool) {
	for i, v := range views {
		if v.Level != d.Level {
			continue
		}
		t, ok := types[d.Type]
		if !ok {
			t = -1
		}
		x, y := v.place(d.Pos)
		return mark{ID: d.ID, Type: t, Level: i, X: x, Y: y, Room: d.Place(), Reason: string(d.Reason)}, true
	}
	return mark{}, false
}

// rowsOf lists every device on every circuit, and at the end those on none.
func rowsOf(o *outcome.Outcome, marks map[string]int) ([]circuit, []row) {
	device := make(map[string]assign.Numbered, len(o.Devices))
	for _, d := range o.Devices {
		device[d.ID] = d
	}
	types := map[string]takeoff.DeviceType{}
	for _, t := range o.Job.DeviceTypes() {
		types[t.Type] = t
	}
	cs, rows := []circuit{}, []row{}
	for i, l := range o.Circuits {
		w := walker{o: o, circuit: l, device: device, types: types}
		w.neighbors()
		cs = append(cs, w.head())
		for k, id := range l.Devices {
			if m, ok := marks[id]; ok {
				r := w.row(id, k+1)
				r.Circuit, r.Mark = i, m
				rows = append(rows, r)
			}
		}
	}
	for _, d := range o.Devices {
		if m, ok := marks[d.ID]; ok && d.Circuit == "" {
			rows = append(rows, row{ID: d.ID, Circuit: -1, Mark: m, Facts: []string{"On no circuit."}})
		}
	}
	return cs, rows
}

// findingsOf are those of the job, with their place on a level where they have one.
func findingsOf(o *outcome.Outcome, views []view) []pageFound {
	out := []pageFound{}
	for _, f := range o.Findings {
		p := pageFound{Code: f.Code, Severity: f.Severity.String(), Message: f.Message, Level: -1}
		if f.Placed {
			p.Level, p.X, p.Y = locate(o, f.Drawing, f.At, views)
		}
		out = append(out, p)
	}
	return out
}

// locate finds a place of a drawing on the levels' plans.
func locate(o *outcome.Outcome, drawing string, at geom.Point, views []view) (level, x, y int) {
	for i, l := range o.Take.Levels {
		for _, s := range l.Sheets {
			if s.Plan.Drawing == drawing && (s.Plan.Region == nil || s.Plan.Region.Contains(at)) {
				x, y := views[i].place(s.ToBuilding.Apply(at))
				return i, x, y
			}
		}
	}
	return -1, 0, 0
}
