package job

import (
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// unitWords are the words for drawing units.
var unitWords = []string{"in", "ft", "yd", "mm", "cm", "dm", "m", "km"}

var planTable = &table[takeoff.Plan]{title: "a row of plans", rowName: "level", check: checkPlan, more: morePlans, keys: []key[takeoff.Plan]{
	{name: "drawing", field: to(text, func(p *takeoff.Plan) *string { return &p.Drawing }), sample: "level-1.dxf",
		help: "the plan as DXF; path as seen from the job file"},
	{name: "devices", field: to(text, func(p *takeoff.Plan) *string { return &p.Devices }), sample: "level-1.csv", aside: true,
		help: "instead of a drawing: a CSV with the columns id,type,level,x,y and room if known, in units"},
	{name: "level", field: to(text, func(p *takeoff.Plan) *string { return &p.Level }), sample: "Level 1",
		help: "name of the level; several plans may show parts of one", must: "a plan needs the name of its level"},
	{name: "units", field: to(drawingUnit, func(p *takeoff.Plan) *string { return &p.Units }), sample: "in",
		help: "in, ft, yd, mm, cm, dm, m or km, or so many of them for a drawing as large as its paper: 50 mm at 1:50; needed only where the drawing does not say", left: left{words: "what the drawing says", why: "drawings usually carry their units"}},
	{name: "elevation", field: to(quantity(measure.Length, -1000, 10000), func(p *takeoff.Plan) *float64 { return &p.Elevation }), sample: "0 ft",
		help: "of the finished floor", level: true, left: left{value: "4 ft", step: "0 ft for the first level, then %s above each ceiling", source: practice, why: "a guess from the order of the plans: give the elevations, since the cable between levels depends on them"}},
	{name: "ceiling", field: to(quantity(measure.Length, 0.5, 1000), func(p *takeoff.Plan) *float64 { return &p.Ceiling }),
		help: "height of the ceiling above the floor", level: true, left: left{value: "10 ft", source: practice}},
	{name: "cable_height", field: to(quantity(measure.Length, -10, 1000), func(p *takeoff.Plan) *float64 { return &p.CableHeight }), sample: "11 ft",
		help: "above the floor: where cable runs", level: true, left: left{value: "1 ft", step: "ceiling + %s", why: "above the ceiling", source: practice}},
	{name: "region", field: toPtr(box, func(p *takeoff.Plan) **geom.Box { return &p.Region }), sample: "[0, 0, 2400, 1600]",
		help: "drawing units: the part of the file that is this level", left: left{words: "everything on the drawing", why: "no region is given"}},
	{name: "datum", field: toPtr(point, func(p *takeoff.Plan) **geom.Point { return &p.Datum }), sample: "[120, 80]",
		help: "drawing units: a point that is in the same place on all levels", left: left{words: "the drawing's origin", why: "no datum is given"}},
	{name: "turned", field: toPtr(number(-360, 360), func(p *takeoff.Plan) **float64 { return &p.Turned }), sample: "0",
		help: "degrees that the plan is turned against the others", left: left{words: "found from its walls", why: "the job does not say"}},
	{name: "walls", field: to(list(text), func(p *takeoff.Plan) *[]string { return &p.Walls }), sample: `["A-WALL*"]`,
		help: "layers of walls; * and ? stand for any letters", left: left{words: "no wall layers", why: "routes then ignore walls on this plan"}},
	{name: "wiring", field: to(list(text), func(p *takeoff.Plan) *[]string { return &p.Wiring }), sample: `["E-FIRE-WIRE"]`,
		help: "layers on which the circuit is already drawn"},
	{name: "ignore", field: to(boxes, func(p *takeoff.Plan) *[]geom.Box { return &p.Ignore }), sample: "[[2000, 0, 2400, 500]]",
		help: "drawing units: parts that are not the plan, such as a key plan"},
	{name: "hidden", field: to(word(takeoff.HiddenExclude, takeoff.HiddenCount), func(p *takeoff.Plan) *takeoff.HiddenRule { return &p.Hidden }),
		help: "devices on frozen or off layers: exclude or count", left: left{value: "exclude", why: "what is not shown is not built", source: practice}},
	{name: "demolition", field: to(list(layerOrMatch), func(p *takeoff.Plan) *[]words.Match { return &p.Demolition }), sample: `["*-DEMO*"]`,
		help: "to be removed: layers, or match maps as under types"},
	{name: "existing", field: to(list(layerOrMatch), func(p *takeoff.Plan) *[]words.Match { return &p.Existing }), sample: `["*-EXST*"]`,
		help: "already there"},
	{name: "others", field: to(list(layerOrMatch), func(p *takeoff.Plan) *[]words.Match { return &p.Others }), sample: `[{attrib: {NOTE: "BY OTHERS"}}]`,
		help: "by another contractor"},
}}

var typeTable = &table[Type]{title: "a row of types", check: checkType, more: moreTypes, keys: []key[Type]{
	{name: "type", field: to(text, func(t *Type) *string { return &t.Type }), sample: "smoke", help: "short name, used in lists", must: "a type needs a name"},
	{name: "name", field: to(text, func(t *Type) *string { return &t.Name }), sample: "Smoke detector", help: "printed name", worked: typeItself, left: left{words: "the type itself"}},
	{name: "match", field: to(list(match), func(t *Type) *[]words.Match { return &t.Match }), sample: `[{block: "*SMK*", layer: "E-FIRE*", attrib: {KIND: S}}]`,
		help: "rules, one of which must fit: block, layer, attrib, text, linetype, color, sample: [x, y] with drawing, space, size and scale; what a rule gives must all fit"},
	{name: "mounting", field: to(mounting, func(t *Type) *takeoff.Mounting { return &t.Mounting }),
		help: "ceiling, wall, or a height such as 46 in", left: left{value: "ceiling", why: "most devices are mounted there", source: practice}},
	{name: "addresses", field: to(whole(0, 1000000), func(t *Type) *int { return &t.Addresses }), sample: "1",
		help: "taken on the loop; 0: none (isolator, base, notification appliance)", worked: addressesOf, left: left{words: "1; 0 if it is not wired to slc"}},
	{name: "wired_to", field: to(list(word(takeoff.SLC, takeoff.NAC, takeoff.Power)), func(t *Type) *[]takeoff.CircuitKind { return &t.WiredTo }), sample: "[slc]",
		help: "kinds of circuit: slc, nac, power", worked: wiredTo, left: left{words: "slc if it takes an address or isolates, else no circuit"}},
	{name: "isolates", field: to(yesNo, func(t *Type) *bool { return &t.Isolates }), help: "true: it opens the loop beside a short", left: left{value: "false", why: "most types do not", source: practice}},
	{name: "resistance", field: to(quantity(measure.Resistance, 0, 10000), func(t *Type) *float64 { return &t.Resistance }), help: "in series on the circuit", left: left{value: "0 ohm", why: "most types add none", source: practice}},
	{name: "points", field: to(list(functionPoint), func(t *Type) *[]takeoff.Point { return &t.Points }), sample: `[{function: smoke, event: "111"}]`,
		help: "functions under its address and the event codes they report"},
	{name: "standby", field: to(amps, func(t *Type) *takeoff.Amps { return &t.Standby }), sample: "0.3 mA", help: "current; one that is not given is reported, never taken as 0", left: left{words: "not known", why: "listing data, the user's to give"}},
	{name: "alarm", field: to(amps, func(t *Type) *takeoff.Amps { return &t.Alarm }), sample: "5 mA", help: "current in alarm", left: left{words: "not known", why: "listing data, the user's to give"}},
	{name: "options", field: to(list(option), func(t *Type) *[]takeoff.Option { return &t.Options }), sample: "[{switch: class A, on_when: A}]",
		help: "an extra switch on the device and the class (A, B, X) of its own input circuit for which it is on"},
	{name: "input_pathway", field: to(word("A", "B"), func(t *Type) *string { return &t.Inputs }),
		help: "class of its own input circuits, A or B: sets the switches under options", left: left{value: "B", why: "one pair to each switch, supervised by the resistor at its end", source: practice}},
	{name: "end_of_line", field: to(whole(0, 1000), func(t *Type) *int { return &t.EndOfLine }), help: "resistors that its own input circuits need", left: left{value: "0", why: "most types have no input circuits", source: practice}},
	{name: "input_max_resistance", field: to(quantity(measure.Resistance, 0.001, 1e6), func(t *Type) *float64 { return &t.InputMaxOhm }), sample: "80 ohm", aside: true,
		help: "most wire in each of its own input circuits, both conductors, from the listing", only: hasInputs, left: listing("input circuits", "module")},
	{name: "end_of_line_value", field: to(quantity(measure.Resistance, 0.001, 1e9), func(t *Type) *float64 { return &t.EndOfLineOhm }), sample: "4.7 kohm", aside: true,
		help: "of the resistor at the end of each, from the listing", only: hasInputs, left: listing("input circuits", "module")},
	{name: "box", field: to(text, func(t *Type) *string { return &t.Box }), sample: "4 in octagon", help: "the box that each one needs, under a name that boxes prices; none: it needs none of its own", left: left{words: "no box is counted", why: "the job names none"}},
	{name: "material", field: to(number(0, 1e9), func(t *Type) *float64 { return &t.Material }), sample: "58.00", help: "price of one", left: left{words: "not priced", why: "no price is known"}},
	{name: "hours", field: to(number(0, 10000), func(t *Type) *float64 { return &t.Hours }), sample: "0.75", help: "labor for one", left: left{words: "no labor", why: "no hours are known"}},
}}

var matchTable = &table[words.Match]{title: "a match", keys: []key[words.Match]{
	{name: "block", field: to(text, func(m *words.Match) *string { return &m.Block })},
	{name: "layer", field: to(text, func(m *words.Match) *string { return &m.Layer })},
	{name: "attrib", field: to(attribs, func(m *words.Match) *map[string]string { return &m.Attrib }), sample: "{TAG: S}"},
	{name: "text", field: to(text, func(m *words.Match) *string { return &m.Text })},
	{name: "linetype", field: to(text, func(m *words.Match) *string { return &m.Linetype }), sample: "DASHED*", aside: true, help: "that the symbol itself has, other than its layer's"},
	{name: "color", field: to(whole(1, 255), func(m *words.Match) *int { return &m.Color }), sample: "8", aside: true, help: "number of the color that the symbol itself has, other than its layer's"},
	{name: "sample", field: toPtr(point, func(m *words.Match) **geom.Point { return &m.Sample })},
	{name: "drawing", field: to(text, func(m *words.Match) *string { return &m.Drawing }), sample: "legend.dxf", aside: true, help: "on which the sample stands; else the first plan with a figure there"},
	{name: "space", field: to(space, func(m *words.Match) *bool { return &m.Paper }), sample: "paper", aside: true, help: "paper: the sample stands in paper space; else in model space"},
	{name: "size", field: to(number(1e-9, 1e9), func(m *words.Match) *float64 { return &m.Size }), sample: "12", aside: true, help: "larger side of the figure at the sample, in drawing units; else the outline around it"},
	{name: "scale", field: to(number(1e-9, 1e9), func(m *words.Match) *float64 { return &m.Scale }), sample: "100", aside: true, help: "how many times as large as the sample the figure is in the plans, in drawing units; else once"},
}}

var pointTable = &table[takeoff.Point]{title: "a point", keys: []key[takeoff.Point]{
	{name: "function", field: to(text, func(p *takeoff.Point) *string { return &p.Function }), sample: "smoke", must: "a point needs a function"},
	{name: "event", field: to(text, func(p *takeoff.Point) *string { return &p.Event }), sample: `"111"`},
}}

var optionTable = &table[takeoff.Option]{title: "an option", keys: []key[takeoff.Option]{
	{name: "switch", field: to(text, func(o *takeoff.Option) *string { return &o.Switch }), sample: "class A", must: "an option needs the name of its switch"},
	{name: "on_when", field: to(word("A", "B", "X"), func(o *takeoff.Option) *string { return &o.OnWhen }), sample: "A", must: "an option needs the class for which the switch is on"},
}}

// morePlans and moreTypes show in the reference what one row cannot.
const (
	morePlans = `
- {devices: level-2.csv, level: Level 2, units: ft, elevation: 14 ft, ceiling: 9' 6"}
`
	moreTypes = `
- {type: isolator, match: [{block: "*ISO*"}], addresses: 0, isolates: true, resistance: 0.1 ohm}
- {type: pull, name: Manual station, match: [{text: F}, {block: PULL?}], mounting: 46 in}
- {type: relay, match: [{block: "*RLY*"}], points: [{function: relay, event: "320"}]}
- {type: horn, name: Horn strobe, match: [{block: "*HS*"}], mounting: wall, addresses: 0, wired_to: [nac], alarm: 95 mA}
`
)
