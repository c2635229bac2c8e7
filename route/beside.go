package route

import (
	"fmt"
	"math"
	"slices"

	"loopwright/route/fault"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// Alongside is where two stretches of a class A or X circuit lie side by side:
// along a level, and in a shaft.
type Alongside struct {
	Length float64   // metres of the loop on all levels; 0 for nowhere
	Places []Meeting // by level, in the order of the building

	Rise  float64 // metres of shaft that both ways share
	Riser string  // the shaft in which that is longest
}

// Meeting is what of a loop lies side by side on one level.
type Meeting struct {
	Level   string
	Length  float64    // metres
	Devices int        // that stand between two of the stretches, at most: one event at both loses them
	At      geom.Point // in the middle of the longest stretch with that many
}

// OneRaceway names the rooms in which the job lets one raceway hold both ways.
type OneRaceway []string

// fits returns the outlines of the rooms of a level that are named and not too large.
func (o OneRaceway) fits(b Building, level string) []geom.Ring {
	return slices.DeleteFunc(b.outlines(level, o), func(r geom.Ring) bool { return math.Abs(r.Area()) > fault.RoomLimit })
}

// Beside works out how far any two stretches of a class A or X loop lie closer to
// each other than the annex of the code recommends: one event there cuts the loop
// twice, and what stands between is lost. What the code lets lie together does not
// count (NFPA 72-2013 12.3.7, 2016 and later 12.3.8):
//
//   - 10 ft around the enclosures that both stretches enter: the panel, and a device
//     between two legs. Where several stand so close that the place is within 10 ft
//     of all that lie between the two stretches, it is at all of them. A device that
//     one of the two only passes does not count.
//   - a drop to one device: the vertical cable of legs is in no run here.
//   - what stands inside one room of those that the job names, if the room has
//     an outline of no more than 1000 ft2.
//
// Around a shaft both ways must come together; within the recommended distance
// of it they do not count, but the shaft itself does, unless the job says that
// they are separated in it.
func Beside(b Building, c Circuit, devices []takeoff.Device, one OneRaceway) (Alongside, error) {
	var a Alongside
	if !c.Pathway.Looped() {
		return a, nil
	}
	l := newRing(b, c, devices)
	for _, level := range b.Levels {
		m, err := l.meeting(level.Name, one.fits(b, level.Name))
		if err != nil {
			return a, err
		}
		if m.Length > 0 {
			a.Places = append(a.Places, m)
			a.Length += m.Length
		}
	}
	a.Riser, a.Rise = b.sharedShaft(c)
	return a, nil
}

// ring is a loop as its legs lie: leg k leads from node k to node k+1, the last back to node 0.
type ring struct {
	legs  []Leg
	nodes []ringNode // the panel, then what each leg leads to
}

type ringNode struct {
	level  string
	at     geom.Point
	known  bool
	device bool
}

func newRing(b Building, c Circuit, devices []takeoff.Device) ring {
	at := make(map[string]ringNode, len(devices)+1)
	for _, d := range devices {
		at[d.ID] = ringNode{d.Level, d.Pos, true, true}
	}
	if p, err := b.panel(c.Panel); err == nil {
		at[c.Panel] = ringNode{p.Level, p.Pos, true, false}
	}
	r := ring{legs: c.Legs}
	for _, l := range c.Legs {
		r.nodes = append(r.nodes, at[l.From])
	}
	return r
}

// meeting is what lies side by side on a level, rooms being those in which it may.
func (r ring) meeting(level string, rooms []geom.Ring) (Meeting, error) {
	m := Meeting{Level: level}
	runs, boxes := make([][][]geom.Point, len(r.legs)), make([]geom.Box, len(r.legs))
	for i := range r.legs {
		runs[i] = r.runs(i, level)
		boxes[i] = boxOf(runs[i])
	}
	longest := 0.0
	for i := range r.legs {
		if runs[i] == nil {
			continue
		}
		around := boxes[i].Grow(fault.AdvisedHorizontal)
		var near []int
		for j := i + 1; j < len(r.legs); j++ {
			if runs[j] != nil && around.Overlaps(boxes[j]) {
				near = append(near, j)
			}
		}
		for room := -1; room < len(rooms) && len(near) > 0; room++ {
			// What lies in a room may lie beside what lies in the same room.
			var others []fault.Other
			for _, j := range near {
				o := fault.Other{Runs: runs[j], Free: r.free(i, j, level), Loses: r.between(i, j)}
				if room >= 0 {
					o.Runs = inRoom(o.Runs, rooms, room, false)
				}
				others = append(others, o)
			}
			for _, run := range inRoom(runs[i], rooms, room, true) {
				length, places, err := fault.Together(run, fault.AdvisedHorizontal, others...)
				if err != nil {
					return m, err
				}
				m.Length += length
				for _, s := range places {
					if s.Loses > m.Devices || s.Loses == m.Devices && s.Length > longest {
						m.Devices, longest, m.At = s.Loses, s.Length, s.From.Lerp(s.To, .5)
					}
				}
			}
		}
	}
	return m, nil
}

// runs are the pieces of a leg on a level.
func (r ring) runs(i int, level string) (out [][]geom.Point) {
	for _, s := range r.legs[i].Stretches {
		if s.Level == level && len(s.Points) > 1 {
			out = append(out, s.Points)
		}
	}
	return out
}

func boxOf(runs [][]geom.Point) geom.Box {
	box := geom.EmptyBox()
	for _, run := range runs {
		box = box.Union(geom.BoxOf(run...))
	}
	return box
}

// between counts the devices from the end of leg i to the beginning of leg j.
func (r ring) between(i, j int) int {
	n := 0
	for k := i + 1; k <= j; k++ {
		if r.nodes[k].device {
			n++
		}
	}
	return n
}

// free are the places where two legs of a loop may lie together, i before j: around
// all nodes from one to the other, either way round the loop, and around a shaft that both take.
func (r ring) free(i, j int, level string) [][]fault.Disc {
	n := len(r.legs)
	sets := [][]fault.Disc{r.around(i+1, j-i, level), r.around(j+1, n-(j-i), level)}
	for _, p := range r.shafts(i) {
		for _, q := range r.shafts(j) {
			if p.Dist(q) < 1e-6 {
				sets = append(sets, []fault.Disc{{At: p, Radius: fault.AdvisedHorizontal}})
			}
		}
	}
	return slices.DeleteFunc(sets, func(s []fault.Disc) bool { return len(s) == 0 })
}

// around are the discs of 10 ft about count nodes from the first; none where no place is in all of them.
func (r ring) around(first, count int, level string) []fault.Disc {
	var discs []fault.Disc
	box := geom.EmptyBox()
	for k := first; k < first+count; k++ {
		n := r.nodes[k%len(r.nodes)]
		box = box.Union(geom.BoxOf(n.at))
		if !n.known || n.level != level || max(box.Width(), box.Height()) > 2*fault.EnclosureFree {
			return nil
		}
		discs = append(discs, fault.Disc{At: n.at, Radius: fault.EnclosureFree})
	}
	return discs
}

// shafts are the places in plan where a leg changes level.
func (r ring) shafts(i int) []geom.Point {
	var at []geom.Point
	for k, s := range r.legs[i].Stretches {
		if len(s.Points) > 0 && k > 0 {
			at = append(at, s.Points[0])
		}
		if len(s.Points) > 0 && k+1 < len(r.legs[i].Stretches) {
			at = append(at, s.Points[len(s.Points)-1])
		}
	}
	return at
}

// inRoom returns the pieces of runs in the first room that holds them, -1 for
// those in none; or with in false all pieces that are not.
func inRoom(runs [][]geom.Point, rooms []geom.Ring, room int, in bool) [][]geom.Point {
	if len(rooms) == 0 {
		return runs
	}
	var out [][]geom.Point
	for _, run := range runs {
		for i := 1; i < len(run); i++ {
			s := geom.Segment{A: run[i-1], B: run[i]}
			cuts := cutsAt(s, rooms)
			for k := 1; k < len(cuts); k++ {
				p, q := s.A.Lerp(s.B, cuts[k-1]), s.A.Lerp(s.B, cuts[k])
				middle := p.Lerp(q, .5)
				holds := slices.IndexFunc(rooms, func(r geom.Ring) bool { return r.Contains(middle) })
				if (holds == room) == in {
					out = append(out, []geom.Point{p, q})
				}
			}
		}
	}
	return out
}

// cutsAt returns where a segment meets outlines, as fractions of its length, with both ends.
func cutsAt(s geom.Segment, rooms []geom.Ring) []float64 {
	cuts := []float64{0, 1}
	for _, ring := range rooms {
		for i, p := range ring {
			if at, ok := s.Meet(geom.Segment{A: p, B: ring[(i+1)%len(ring)]}); ok {
				cuts = append(cuts, s.A.Dist(at)/s.Len())
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}

// told is the length in metres above which runs side by side are reported: below it
// they only meet at a corner. Ours, no source; results give every length.
const told = 0.5

// Findings reports stretches that lie together along a level, in words and with a
// place among them.
func (a Alongside) Findings(b Building, c Circuit) []takeoff.Finding {
	var fs []takeoff.Finding
	for _, m := range a.Places {
		if m.Length < told {
			continue
		}
		fs = append(fs, onLevel(takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning,
			Message: fmt.Sprintf("circuit %s: its loop runs within %s of itself for %s on %s, and one event there takes up to %d of its %s: move one of the two runs",
				c.Name, b.Units.Length(fault.AdvisedHorizontal, 2), b.Units.Length(m.Length, 1), m.Level, m.Devices, measure.Count(len(c.Devices), "device"))}, b, m.Level, m.At))
	}
	return fs
}

// BesideFindings says once for a job what concerns many circuits: shafts that
// hold both ways, rooms too large to count, and the rule itself.
func BesideFindings(b Building, circuits []Circuit, found []Alongside, one OneRaceway) []takeoff.Finding {
	var fs []takeoff.Finding
	names, rises, shafts := map[string][]string{}, map[string]float64{}, []string(nil)
	choice := map[string]bool{} // shafts that the program took with another riser given
	any := false
	for i, a := range found {
		any = any || len(a.Findings(b, circuits[i])) > 0 || a.Rise > 0
		if a.Rise == 0 {
			continue
		}
		if names[a.Riser] == nil {
			shafts = append(shafts, a.Riser)
		}
		names[a.Riser] = append(names[a.Riser], circuits[i].Name)
		rises[a.Riser] = max(rises[a.Riser], a.Rise)
		choice[a.Riser] = choice[a.Riser] || b.otherRiser(circuits[i], a.Riser)
	}
	for _, s := range shafts {
		ours := ""
		if choice[s] {
			ours = fmt.Sprintf("; the program chose it over another riser, which costs more than %.0f %% more cable", 100*apartShare)
		}
		fs = append(fs, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning,
			Message: fmt.Sprintf("%s carries both the outgoing run and the return of %s, for up to %s: give the return its own riser, or separate the two in it and write separated: true on the riser%s",
				s, counted(names[s], "circuit"), b.Units.Length(rises[s], 1), ours)})
	}
	for _, r := range b.Rooms {
		if area := math.Abs(r.Outline.Area()); area > fault.RoomLimit && named(r, one) {
			fs = append(fs, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning, Drawing: r.Drawing, Handle: r.Handle,
				Message: fmt.Sprintf("room %s on %s is %s, over the %s in which one raceway may carry both runs of a circuit: judged like any other room", r.Label(), r.Level, b.Units.Area(area), b.Units.Area(fault.RoomLimit))})
		}
	}
	if any {
		fs = append(fs, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Note, Message: fault.SeparationAdvice(b.Units)})
	}
	return fs
}
