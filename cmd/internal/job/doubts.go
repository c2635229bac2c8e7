package job

import (
	"fmt"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
)

// CodeDoubt is of values in the job file that can hardly be meant.
const CodeDoubt = "F001"

// Codes lists the findings about the job file alone.
func Codes() []takeoff.Code {
	return []takeoff.Code{
		{Code: CodeDoubt, Meaning: "a value in the job file can hardly be meant", Remedy: "correct it on the line that the message names, or leave it if it is right"},
	}
}

// LowCeiling is the height in metres under which a ceiling is told as a slip, and nothing
// else for being above it. Common practice, no source.
const LowCeiling = 1.8

// From where a value is told as a slip. Common practice, no source.
const (
	mostWaste   = 1.0    // more than the cable itself
	mostLoopOhm = 1000.0 // ohm; loops of signaling line circuits may have some tens
	lowCable    = 0.6    // metres under the ceiling: lower cable hangs in the room
	highCable   = 5.0    // metres over the ceiling
	highCeiling = 30.0   // metres
	slack       = 0.001  // metres: what lengths in two units may differ by
)

// Doubts are the values that can hardly be meant, by what the job file says alone.
func (j *Job) Doubts() []takeoff.Finding {
	var fs []takeoff.Finding
	doubt := func(key, format string, args ...any) {
		fs = append(fs, takeoff.Finding{Code: CodeDoubt, Severity: takeoff.Warning, Key: key, Message: fmt.Sprintf(format, args...)})
	}
	if w := j.Allowances.Waste; w > mostWaste {
		doubt("allowances.waste", "%s is more waste than cable: the order is %.3g times what is laid; 10%% is usual", inPercent(w), 1+w)
	}
	for i, c := range j.Circuits {
		if c.MaxResistance > mostLoopOhm {
			doubt(fmt.Sprintf("circuits[%d].max_resistance", i), "circuit %s may have %s: no loop of wire comes near that, so nothing is judged; take the limit from the panel's listing, as in 40 ohm",
				c.Circuit, measure.Resistance.Show(c.MaxResistance))
		}
	}
	seen := map[string]bool{}
	for i, p := range j.Plans {
		if seen[p.Level] {
			continue
		}
		seen[p.Level] = true
		j.doubtHeights(i, doubt)
	}
	return fs
}

// doubtHeights looks at the heights of the level that plan i is the first of.
func (j *Job) doubtHeights(i int, doubt func(key, format string, args ...any)) {
	p := j.Plans[i]
	key := func(name string) string { // where one of the level's plans gives it
		for k := i; k < len(j.Plans); k++ {
			if path := fmt.Sprintf("plans[%d].%s", k, name); j.Plans[k].Level == p.Level && j.Given(path) {
				return path
			}
		}
		return fmt.Sprintf("plans[%d].%s", i, name)
	}
	u := j.Report
	switch {
	case p.Ceiling < LowCeiling:
		doubt(key("ceiling"), "the ceiling of %s is %s above its floor: nobody can stand there", p.Level, u.Length(p.Ceiling, 1))
	case p.Ceiling > highCeiling:
		doubt(key("ceiling"), "the ceiling of %s is %s above its floor: check the unit", p.Level, u.Length(p.Ceiling, 1))
	case p.CableHeight >= 0 && p.CableHeight < p.Ceiling-lowCable-slack:
		doubt(key("cable_height"), "cable on %s runs %s above the floor, %s under the ceiling of %s: every drop to a device is measured from there",
			p.Level, u.Length(p.CableHeight, 1), u.Length(p.Ceiling-p.CableHeight, 1), u.Length(p.Ceiling, 1))
	case p.CableHeight > p.Ceiling+highCable+slack:
		doubt(key("cable_height"), "cable on %s runs %s above the floor, %s over the ceiling of %s: every drop to a device is measured from there",
			p.Level, u.Length(p.CableHeight, 1), u.Length(p.CableHeight-p.Ceiling, 1), u.Length(p.Ceiling, 1))
	}
}
