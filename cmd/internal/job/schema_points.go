package job

import (
	"fmt"
	"slices"

	"github.com/goccy/go-yaml/ast"

	"loopwright/assign"
	"loopwright/assign/matrix"
	"loopwright/takeoff"
)

var rangeTable = &table[assign.Range]{title: "a row of ranges", keys: []key[assign.Range]{
	{name: "types", field: to(list(text), func(r *assign.Range) *[]string { return &r.Types }), sample: "[smoke, pull]", help: "left out: all types that no other row names"},
	{name: "first", field: to(whole(1, 99999999), func(r *assign.Range) *int { return &r.First }), sample: "1", help: "lowest address", must: "a range needs a first address"},
	{name: "last", field: to(whole(1, 99999999), func(r *assign.Range) *int { return &r.Last }), sample: "99", help: "highest address", must: "a range needs a last address"},
}}

// locationWords are the placeholders that a location may have.
var locationWords = []string{"level", "room", "id", "type", "circuit", "address", "order"}

var pointsTable = &table[Points]{title: "points", keys: []key[Points]{
	{name: "location", field: to(pattern(locationWords), func(p *Points) *string { return &p.Location }),
		help: "what the panel shows; words: level, room, id, type, circuit, address, order", left: left{value: `"{level} {room}"`, why: "what a fire officer looks for first", source: practice}},
	{name: "length", field: to(whole(8, 1000), func(p *Points) *int { return &p.Length }),
		help: "most characters that the panel shows; longer ones are cut so that they stay distinct", left: left{value: "32", why: "a usual line; the panel's manual says how many it shows", source: practice}},
}}

var matrixTable = &table[matrix.Rule]{title: "a row of matrix", keys: []key[matrix.Rule]{
	{name: "scope", field: to(word(matrix.Scopes...), func(r *matrix.Rule) *matrix.Scope { return &r.Scope }),
		help: "which of the outputs: of the whole building, or of the input's own level, zone, room, or spot (device)", left: left{value: "building", why: "a general alarm", source: ours}},
	{name: "inputs", field: section(inputTable, func(r *matrix.Rule) *matrix.Select { return &r.Inputs }), help: "input points; everything given must match"},
	{name: "outputs", field: section(outputTable, func(r *matrix.Rule) *matrix.Select { return &r.Outputs }), help: "what they operate"},
}}

var inputTable = &table[matrix.Select]{title: "inputs", keys: []key[matrix.Select]{
	{name: "function", field: to(list(text), functionsOf), sample: "[smoke]", help: "functions of points"},
	{name: "type", field: to(list(text), typesOf), sample: "[smoke, pull]", aside: true, help: "device types"},
	{name: "level", field: to(list(text), levelsOf), sample: "Level 1", aside: true, help: "levels"},
	{name: "room", field: to(list(text), roomsOf), sample: `"103*"`, aside: true, help: "rooms; * and ? stand for any letters"},
}}

var outputTable = &table[matrix.Select]{title: "outputs", keys: []key[matrix.Select]{
	{name: "type", field: to(list(text), typesOf), sample: "[horn]", help: "device types"},
	{name: "function", field: to(list(text), functionsOf), sample: "relay", aside: true, help: "functions of points"},
	{name: "level", field: to(list(text), levelsOf), sample: "Level 1", aside: true, help: "levels"},
	{name: "room", field: to(list(text), roomsOf), sample: `"2*"`, aside: true, help: "rooms; * and ? stand for any letters"},
}}

func functionsOf(s *matrix.Select) *[]string { return &s.Functions }
func typesOf(s *matrix.Select) *[]string     { return &s.Types }
func levelsOf(s *matrix.Select) *[]string    { return &s.Levels }
func roomsOf(s *matrix.Select) *[]string     { return &s.Rooms }

// levelStart reads the first address of each level.
func levelStart(d *decoder, n ast.Node, path string) ([]assign.LevelStart, bool) {
	pairs, ok := entries(n)
	if !ok || len(pairs) == 0 {
		d.complain(path, "expected the first address of each level, as in {Level 1: 1, Level 2: 51}, found %s", describe(n))
		return nil, false
	}
	var out []assign.LevelStart
	good := true
	for i, p := range pairs {
		level := keyText(p)
		if slices.ContainsFunc(out, func(s assign.LevelStart) bool { return s.Level == level }) {
			d.fail(nodePlace(p.Key), "%s is given twice: delete one", level)
			good = false
			continue
		}
		at := fmt.Sprintf("%s[%d]", path, i) // by number: a level's name may hold anything
		if !d.made {
			d.job.marks[at] = nodePlace(p.Key)
		}
		v, ok := whole(1, 99999999)(d, p.Value, at)
		good = good && ok
		out = append(out, assign.LevelStart{Level: level, First: v})
	}
	return out, good
}

// checkBlocks refuses ranges and level starts that contradict one another.
func (d *decoder) checkBlocks(c *Circuit, path string) {
	a := assign.Addressing{First: c.Addresses.First, Last: c.Addresses.Last, Reserved: c.Addresses.Reserved,
		Ranges: c.Addresses.Ranges, LevelStart: c.Addresses.LevelStart}
	if len(a.Ranges) > 0 && len(a.LevelStart) > 0 {
		d.complain(path+".level_start", "addresses are assigned by level or by type, not both: delete level_start or ranges")
		return
	}
	for _, r := range a.Ranges {
		if r.First == 0 || r.Last == 0 {
			return // a complaint stands
		}
	}
	for _, w := range a.CheckRanges() {
		d.complain(fmt.Sprintf("%s.ranges[%d]", path, w.Row), "%s", w.Message)
	}
	for _, w := range a.CheckLevelStarts() {
		d.complain(fmt.Sprintf("%s.level_start[%d]", path, w.Row), "%s", w.Message)
	}
}

// referBlocks sees that ranges name types and level starts name the circuit's levels, all of them.
func (d *decoder) referBlocks(c Circuit, path string) {
	types := named(d.job.Types, func(t Type) string { return t.Type })
	for i, r := range c.Addresses.Ranges {
		for k, t := range r.Types {
			d.refer(fmt.Sprintf("%s.ranges[%d].types[%d]", path, i, k), "type", t, types, "types")
		}
	}
	if len(c.Addresses.LevelStart) == 0 || len(c.Addresses.Ranges) > 0 {
		return
	}
	levels := c.Levels
	if len(levels) == 0 {
		levels = d.job.levelNames()
	}
	has := map[string]bool{}
	for i, s := range c.Addresses.LevelStart {
		d.refer(fmt.Sprintf("%s.level_start[%d]", path, i), "level", s.Level, levels, "the levels of "+c.Circuit)
		has[s.Level] = true
	}
	for _, l := range levels {
		if !has[l] {
			d.complain(path+".level_start", "%s is on circuit %s but has no first address: add %s: N", l, c.Circuit, l)
		}
	}
}

// referMatrix sees that the rules of the matrix name what there is.
func (d *decoder) referMatrix() {
	types := named(d.job.Types, func(t Type) string { return t.Type })
	var functions []string
	for _, t := range d.job.Types {
		functions = append(functions, named(t.Points, func(p takeoff.Point) string { return p.Function })...)
	}
	for i, r := range d.job.Matrix {
		d.referSelect(fmt.Sprintf("matrix[%d].inputs", i), r.Inputs, types, functions)
		d.referSelect(fmt.Sprintf("matrix[%d].outputs", i), r.Outputs, types, functions)
	}
}

func (d *decoder) referSelect(path string, s matrix.Select, types, functions []string) {
	if s.Empty() {
		d.complain(path, "nothing is selected: give function, type, level or room")
		return
	}
	look := func(key, section string, used, known []string) {
		for _, n := range used {
			d.refer(path+"."+key, key, n, known, section)
		}
	}
	look("type", "types", s.Types, types)
	look("function", "points of the types", s.Functions, functions)
	look("level", "plans", s.Levels, d.job.levelNames())
}
