package outcome

import (
	"path/filepath"
	"slices"

	"loopwright/assign"
	"loopwright/cmd/internal/job"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// What the job asks of each stage, in that stage's own values.

// request is the takeoff that a job asks for.
func request(j *job.Job) takeoff.Request {
	r := takeoff.Request{Folder: filepath.Dir(j.File), Plans: j.Plans, Types: j.DeviceTypes(), Units: j.Report, Words: j.Words}
	mark := func(name string, match []words.Match, at *job.Place) takeoff.Landmark {
		l := takeoff.Landmark{Name: name, Match: match}
		if at != nil {
			l.Level, l.At = at.Level, &at.Point
		}
		return l
	}
	for _, p := range j.Panels {
		r.Panels = append(r.Panels, mark(p.Panel, p.Match, p.At))
	}
	for _, s := range j.Risers {
		r.Risers = append(r.Risers, mark(s.Riser, s.Match, s.At))
	}
	return r
}

func rows(j *job.Job) []assign.Row {
	rs := make([]assign.Row, len(j.Circuits))
	for i, c := range j.Circuits {
		rs[i] = assign.Row{Circuit: c.Circuit, Kind: c.Kind, Panel: c.Panel, Levels: c.Levels, Auto: c.Auto}
	}
	return rs
}

// building is the place as routes need it.
func (o *Outcome) building() route.Building {
	b := route.Building{Levels: o.Take.Levels, Types: o.Job.DeviceTypes(), Units: o.Job.Report}
	for _, p := range o.Take.Panels {
		b.Panels = append(b.Panels, route.Panel{Name: p.Name, Level: p.Level, Pos: p.Pos, Drop: o.PanelDrop(p.Name, p.Level)})
	}
	b.Risers, b.Rooms = risers(o.Take.Risers, o.Job.Risers), o.Take.Rooms
	return b
}

// PanelDrop is the vertical cable of one cable end at a panel on a level, in metres:
// from cable height to where the panel is mounted.
func (o *Outcome) PanelDrop(panel, level string) float64 {
	for _, p := range o.Job.Panels {
		for _, l := range o.Take.Levels {
			if p.Panel == panel && l.Name == level {
				return l.CableHeight - p.Mounting.HeightIn(l.Ceiling)
			}
		}
	}
	return 0
}

// risers joins the symbols of one shaft on several levels: those of one name are one riser.
func risers(spots []takeoff.Spot, given []job.Riser) []route.Riser {
	var rs []route.Riser
	at := map[string]int{}
	for _, s := range spots {
		i, ok := at[s.Name]
		if !ok {
			i = len(rs)
			at[s.Name] = i
			separated := slices.ContainsFunc(given, func(r job.Riser) bool { return r.Riser == s.Name && r.Separated })
			rs = append(rs, route.Riser{Name: s.Name, Pos: s.Pos, Separated: separated})
		}
		rs[i].Levels = append(rs[i].Levels, s.Level)
	}
	return rs
}

// specs are the circuits that a group's rows ask for.
func (o *Outcome) specs(g assign.Group) []route.Spec {
	var specs []route.Spec
	for _, r := range g.Rows {
		for i, c := range o.Job.Circuits {
			if c.Circuit != r.Circuit {
				continue
			}
			specs = append(specs, spec(o.Job, i))
		}
	}
	return specs
}

// spec is row i of the job's circuits.
func spec(j *job.Job, i int) route.Spec {
	c := j.Circuits[i]
	s := route.Spec{
		Name: c.Circuit, Row: i, Kind: c.Kind, Panel: c.Panel, Pathway: c.Pathway, Taps: c.Taps, Levels: c.Levels, Auto: c.Auto,
		MaxResistance: c.MaxResistance, MaxCapacitance: c.MaxCapacitance, MaxLostDevices: c.MaxLostDevices, SpareShare: c.Spare,
		MaxCurrent: c.MaxCurrent.A, StartVolts: c.Start, EndVolts: c.End, LoadFactor: c.LoadFactor,
	}
	if c.Kind == takeoff.SLC {
		s.Capacity, s.SpareShare = c.Addresses.Usable(), c.Addresses.Spare
	}
	for _, k := range j.Cables {
		if k.Cable != c.Cable {
			continue
		}
		s.Cable = route.Cable{Name: k.Cable, Conductor: k.Conductor, Temperature: k.Temperature, Reel: k.Reel, Capacitance: k.Capacitance}
	}
	return s
}

func addressing(j *job.Job, row int) assign.Addressing {
	a := j.Circuits[row].Addresses
	return assign.Addressing{Scheme: a.Scheme, First: a.First, Last: a.Last, Reserved: a.Reserved, Spare: a.Spare,
		Order: a.Order, Ranges: a.Ranges, LevelStart: a.LevelStart}
}
