package route

import (
	"fmt"

	"loopwright/route/fault"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// Beside returns the metres over which the return of a class A or X circuit
// lies closer to the outgoing run than the annex of the code recommends, on
// the level where that is longest, with a place in the middle of the longest
// stretch. Runs near the panel and at devices do not count: there both must meet.
func Beside(c Circuit, places []geom.Point) (length float64, level string, at geom.Point, err error) {
	if !c.Pathway.Returns() {
		return 0, "", geom.Point{}, nil
	}
	b := fault.Beside{Separation: fault.AdvisedHorizontal, FreeRadius: fault.EnclosureFree}
	for _, p := range places {
		b.Free = append(b.Free, [2]float64{p.X, p.Y})
	}
	out, back := runsByLevel(c, false), runsByLevel(c, true)
	for _, l := range c.Legs {
		for _, s := range l.Stretches {
			sum, where, longest := 0.0, geom.Point{}, 0.0
			for _, o := range out[s.Level] {
				for _, r := range back[s.Level] {
					n, stretches, err := fault.Together(o, r, b)
					if err != nil {
						return 0, "", geom.Point{}, err
					}
					sum += n
					for _, st := range stretches {
						if st.Length > longest {
							longest = st.Length
							where = geom.Pt(st.From[0], st.From[1]).Lerp(geom.Pt(st.To[0], st.To[1]), .5)
						}
					}
				}
			}
			if sum > length {
				length, level, at = sum, s.Level, where
			}
			delete(out, s.Level) // each level once
		}
	}
	return length, level, at, nil
}

// runsByLevel gathers the drawn runs of the way out or of the way back.
func runsByLevel(c Circuit, back bool) map[string][][][2]float64 {
	runs := map[string][][][2]float64{}
	for _, l := range c.Legs {
		if l.Return != back {
			continue
		}
		for _, s := range l.Stretches {
			var line [][2]float64
			for _, p := range s.Points {
				line = append(line, [2]float64{p.X, p.Y})
			}
			runs[s.Level] = append(runs[s.Level], line)
		}
	}
	return runs
}

// BesideFinding reports runs that lie together, in words and with a place among them; ok is false where there are none.
func BesideFinding(b Building, c Circuit, length float64, level string, at geom.Point) (f takeoff.Finding, ok bool) {
	if length <= 0 {
		return f, false
	}
	return onLevel(takeoff.Finding{Code: CodeBeside, Severity: takeoff.Warning,
		Message: fmt.Sprintf("circuit %s: its return lies within %.2f m of the outgoing run over %.1f m on %s; %s", c.Name, fault.AdvisedHorizontal, length, level, fault.SeparationAdvice)}, b, level, at), true
}
