package route

import (
	"fmt"
	"math"
	"slices"

	"loopwright/route/fault"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Alongside is where the way out and the way back of a class A or X circuit lie
// side by side: along a level, and in a shaft.
type Alongside struct {
	Length float64    // metres on the level where it is longest; 0 for nowhere
	Level  string     // that level
	At     geom.Point // in the middle of the longest stretch there

	Rise  float64 // metres of shaft that both ways share
	Riser string  // the shaft in which that is longest
}

// OneRaceway names the rooms in which the job lets one raceway hold both ways.
type OneRaceway []string

// fits returns the outlines of the rooms of a level that are named and not too large.
func (o OneRaceway) fits(b Building, level string) []geom.Ring {
	return slices.DeleteFunc(b.outlines(level, o), func(r geom.Ring) bool { return math.Abs(r.Area()) > fault.RoomLimit })
}

// Beside works out how far the return of a class A or X circuit lies closer to
// the outgoing run than the annex of the code recommends. What the code lets lie
// together does not count (NFPA 72-2013 12.3.7, 2016 and later 12.3.8):
//
//   - 10 ft around the enclosures that both ways enter: the panel, and the
//     device from which the circuit turns back. A device in the middle of the way
//     out that the return only passes does not count.
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
	err := b.eachBeside(c, devices, one, func(level string, length float64, at geom.Point) {
		if length > a.Length {
			a.Length, a.Level, a.At = length, level, at
		}
	})
	a.Riser, a.Rise = b.sharedShaft(c)
	return a, err
}

// eachBeside reports for every level over how many metres both ways lie together.
func (b Building) eachBeside(c Circuit, devices []takeoff.Device, one OneRaceway, tell func(level string, length float64, at geom.Point)) error {
	out, back := runsByLevel(c, false), runsByLevel(c, true)
	for _, l := range b.Levels {
		if out[l.Name] == nil || back[l.Name] == nil {
			continue
		}
		free := fault.Beside{Separation: fault.AdvisedHorizontal, Free: b.meetings(c, devices, l.Name)}
		length, at, err := together(out[l.Name], back[l.Name], free, one.fits(b, l.Name))
		if err != nil {
			return err
		}
		tell(l.Name, length, at)
	}
	return nil
}

// meetings are the places on a level where both ways of a circuit must meet.
func (b Building) meetings(c Circuit, devices []takeoff.Device, level string) []fault.Disc {
	var ds []fault.Disc
	add := func(p geom.Point, r float64) { ds = append(ds, fault.Disc{At: p, Radius: r}) }
	if p, err := b.panel(c.Panel); err == nil && p.Level == level {
		add(p.Pos, fault.EnclosureFree)
	}
	for _, l := range c.Legs {
		if at, _, _, ok := l.shaft(b); ok && l.Return {
			add(at, fault.AdvisedHorizontal)
		}
		if !l.Return || l.From == c.Panel {
			continue
		}
		for _, d := range devices {
			if d.ID == l.From && d.Level == level {
				add(d.Pos, fault.EnclosureFree)
			}
		}
	}
	return ds
}

// together adds up the metres of the way out beside the way back on one level.
func together(out, back [][]geom.Point, b fault.Beside, rooms []geom.Ring) (length float64, at geom.Point, err error) {
	longest := 0.0
	for room := -1; room < len(rooms); room++ {
		// What lies in a room may lie beside what lies in the same room.
		ours, theirs := inRoom(out, rooms, room, true), back
		if room >= 0 {
			theirs = inRoom(back, rooms, room, false)
		}
		for _, o := range ours {
			n, stretches, err := fault.Together(o, b, theirs...)
			if err != nil {
				return 0, at, err
			}
			length += n
			for _, st := range stretches {
				if st.Length > longest {
					longest = st.Length
					at = st.From.Lerp(st.To, .5)
				}
			}
		}
	}
	return length, at, nil
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

// runsByLevel gathers the drawn runs of the way out or of the way back.
func runsByLevel(c Circuit, back bool) map[string][][]geom.Point {
	runs := map[string][][]geom.Point{}
	for _, l := range c.Legs {
		if l.Return != back {
			continue
		}
		for _, s := range l.Stretches {
			runs[s.Level] = append(runs[s.Level], s.Points)
		}
	}
	return runs
}

// told is the length in metres above which runs side by side are reported: below it
// they only meet at a corner. Ours, no source; results give every length.
const told = 0.5

// Finding reports runs that lie together along a level, in words and with a
// place among them; ok is false where there are none to speak of.
func (a Alongside) Finding(b Building, c Circuit) (f takeoff.Finding, ok bool) {
	if a.Length < told {
		return f, false
	}
	return onLevel(takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning,
		Message: fmt.Sprintf("circuit %s: its return runs within %s of the outgoing run for %s on %s: reroute one of them",
			c.Name, b.Units.Length(fault.AdvisedHorizontal, 2), b.Units.Length(a.Length, 1), a.Level)}, b, a.Level, a.At), true
}

// BesideFindings says once for a job what concerns many circuits: shafts that
// hold both ways, rooms too large to count, and the rule itself.
func BesideFindings(b Building, circuits []Circuit, found []Alongside, one OneRaceway) []takeoff.Finding {
	var fs []takeoff.Finding
	names, rises, shafts := map[string][]string{}, map[string]float64{}, []string(nil)
	any := false
	for i, a := range found {
		any = any || a.Length >= told || a.Rise > 0
		if a.Rise == 0 {
			continue
		}
		if names[a.Riser] == nil {
			shafts = append(shafts, a.Riser)
		}
		names[a.Riser] = append(names[a.Riser], circuits[i].Name)
		rises[a.Riser] = max(rises[a.Riser], a.Rise)
	}
	for _, s := range shafts {
		fs = append(fs, takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning,
			Message: fmt.Sprintf("%s carries both the outgoing run and the return of %s, for up to %s: give the return its own riser, or separate the two in it and write separated: true on the riser",
				s, counted(names[s], "circuit"), b.Units.Length(rises[s], 1))})
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
