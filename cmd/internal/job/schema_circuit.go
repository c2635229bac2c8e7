package job

import (
	"loopwright/assign"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

var circuitTable = &table[Circuit]{title: "a row of circuits", more: moreCircuits, keys: []key[Circuit]{
	{name: "circuit", field: to(text, func(c *Circuit) *string { return &c.Circuit }), sample: "SLC-1",
		help: "its name; the prefix of names beside circuits: auto", must: "a circuit needs a name"},
	{name: "circuits", field: field[Circuit]{read: readAuto}, sample: "auto", aside: true, help: "split into as many circuits as the capacity asks for"},
	{name: "kind", field: to(word(takeoff.SLC, takeoff.NAC, takeoff.Power), func(c *Circuit) *takeoff.CircuitKind { return &c.Kind }),
		help: "slc, nac (notification appliances) or power (24 V to devices that need it)", left: left{value: "slc", why: "signaling line circuits are the usual case", source: ours}},
	{name: "panel", field: to(text, func(c *Circuit) *string { return &c.Panel }), sample: "FACP", help: "where it starts", worked: onlyPanel, left: left{words: "the only panel"}},
	{name: "pathway", field: to(word(circuit.ClassA, circuit.ClassB, circuit.ClassX), func(c *Circuit) *circuit.Class { return &c.Pathway }), sample: "A",
		help: "class A, B or X", left: left{value: "B", why: "the class is the designer's to choose; this one has no return", source: ours}},
	{name: "taps", field: to(yesNo, func(c *Circuit) *bool { return &c.Taps }), help: "true: T-taps are allowed, class B only", left: left{value: "false", why: "devices are wired one after the other", source: practice}},
	{name: "levels", field: to(list(text), func(c *Circuit) *[]string { return &c.Levels }), sample: "[Level 1]", help: "levels that it serves", left: left{words: "all levels", why: "the job does not say"}},
	{name: "cable", field: to(text, func(c *Circuit) *string { return &c.Cable }), sample: "16/2", help: "a row of cables", worked: onlyCable, left: left{words: "the only cable"}},
	{name: "survivability", field: to(word("0", "1", "2", "3", "4"), func(c *Circuit) *string { return &c.Survivability }), sample: "1", aside: true,
		help: "level of pathway survivability, 0 to 4 by the edition; taken off and printed, not judged", left: left{words: "not printed", why: jobSilent}},
	{name: "max_resistance", field: to(quantity(measure.Resistance, 0.001, 1e9), func(c *Circuit) *float64 { return &c.MaxResistance }), sample: "40 ohm",
		help: "of the loop, from the listing", only: isSLC, left: listing("loop resistance", "panel")},
	{name: "max_capacitance", field: to(quantity(measure.Capacitance, 1e-12, 1), func(c *Circuit) *float64 { return &c.MaxCapacitance }), sample: "0.5 uF",
		help: "of all its cable, from the listing", only: isSLC, left: listing("capacitance", "panel")},
	{name: "max_lost_devices", field: to(whole(1, 1000000), func(c *Circuit) *int { return &c.MaxLostDevices }), sample: "30",
		help: "by one short, from the listing; slc only", only: isSLC, left: listing("loss of devices to one short", "panel")},
	{name: "max_segment_devices", field: to(whole(1, 1000000), func(c *Circuit) *int { return &c.MaxSegment }), sample: "20", aside: true,
		help: "between two isolators, from the listing; slc only", only: isSLC, left: left{words: "not judged", why: "take it from the isolator's listing"}},
	{name: "class_x", field: to(word("modules", "bases"), func(c *Circuit) *string { return &c.ClassX }), sample: "bases", aside: true,
		help: "what isolates each device of a class X circuit: two modules, one on either side, or its own isolating base; slc only", only: isSLC, left: left{words: "modules", why: "the designer decides; both are named"}},
	{name: "zone_limit", field: to(whole(1, 1000), func(c *Circuit) *int { return &c.ZoneLimit }),
		help: "zones that one fault may take; slc only", only: isSLC, left: left{value: "1", why: "one fault must not take more than one zone", source: "NFPA 72-2016 23.6.1"}},
	{name: "addresses", field: section(addressTable, func(c *Circuit) *Addressing { return &c.Addresses }),
		help: "which addresses it has and how a device is set to one; slc only", only: isSLC},
	{name: "max_current", field: to(ampsFrom(0.001), func(c *Circuit) *takeoff.Amps { return &c.MaxCurrent }), sample: "2.5 A", aside: true,
		help: "what the output may give, from the listing; on an slc judged if given", only: isSupply, left: listing("current", "panel")},
	{name: "spare", field: to(quantity(measure.Percent, 0, 0.99), func(c *Circuit) *float64 { return &c.Spare }), aside: true,
		help: "part of max_current kept free; nac and power", only: isSupply, left: left{value: "20%", source: practice}},
	{name: "start", field: to(quantity(measure.Voltage, 1, 1000), func(c *Circuit) *float64 { return &c.Start }), sample: "22 V", aside: true,
		help: "at the panel under load, from the listing; on an slc judged if given", only: isSupply, left: listing("voltage", "panel")},
	{name: "end", field: to(quantity(measure.Voltage, 1, 1000), func(c *Circuit) *float64 { return &c.End }), sample: "17 V", aside: true,
		help: "least that the last device needs, from its listing; on an slc judged if given", only: isSupply, left: listing("voltage", "appliance")},
	{name: "load_factor", field: to(quantity(measure.Resistance, 0, 100), func(c *Circuit) *float64 { return &c.LoadFactor }), sample: "0.5 ohm", aside: true,
		help: "volts lost inside the panel for each ampere drawn (V/A is ohm), from the listing; nac and power", only: isSupply, left: left{value: "0 ohm", why: "start is taken as the voltage at the terminals under load", source: ours}},
}}

var addressTable = &table[Addressing]{title: "addresses", keys: []key[Addressing]{
	{name: "scheme", field: to(word(assign.SchemeNames...), func(a *Addressing) *string { return &a.Scheme.Name }),
		help: "binary7, binary8, decade, or none (set electronically)", left: left{value: "binary7", why: "seven switches, addresses 1 to 127", source: practice}},
	{name: "first", field: to(whole(1, 99999999), func(a *Addressing) *int { return &a.First }), sample: "1", help: "lowest address", worked: firstAddress, left: left{words: "the lowest of the scheme"}},
	{name: "last", field: to(whole(1, 99999999), func(a *Addressing) *int { return &a.Last }), sample: "127", help: "highest address", worked: lastAddress, left: left{words: lastWords()}},
	{name: "spare", field: to(quantity(measure.Percent, 0, 0.99), func(a *Addressing) *float64 { return &a.Spare }),
		help: "kept free for later", left: left{value: "20%", source: practice}},
	{name: "reserved", field: field[Addressing]{read: readReserved}, sample: "[1]", help: "never given out; 5 or 20-29", left: left{words: "none", why: "the job reserves no address"}},
	{name: "order", field: to(word(assign.OrderWalk, assign.OrderLevel, assign.OrderRoom), func(a *Addressing) *assign.Order { return &a.Order }),
		help: "walk (as the circuit runs), level (level by level) or room (by room number)", left: left{value: "walk", why: "an installer meets the addresses in order", source: ours}},
	{name: "level_start", field: to(levelStart, func(a *Addressing) *[]assign.LevelStart { return &a.LevelStart }), sample: "{Level 1: 1}", aside: true,
		help: "the first address of each level", left: left{words: "levels follow one another", why: "the job does not say"}},
	{name: "ranges", field: rows(rangeTable, func(a *Addressing) *[]assign.Range { return &a.Ranges }),
		help: "addresses that are kept for some types", left: left{words: "every type takes any address", why: "the job does not say"}},
	{name: "address_attribute", was: "seed_attribute", field: to(text, func(a *Addressing) *string { return &a.Drawn }), sample: "ADDR", aside: true,
		help: "attribute of the symbols that holds an address on the drawing (7, SLC-1-007): kept for the first run; those of existing devices and others' are never given out", left: left{words: "no address is taken from the drawing", why: "the job does not say"}},
	{name: "first_switch", field: field[Addressing]{read: readFirstSwitch}, help: "the value of switch 1: lowest or highest", only: hasSwitches, left: left{value: "lowest", why: "switch 1 is worth 1 on most devices: check the device", source: practice}},
	{name: "on_means", field: field[Addressing]{read: readOnMeans}, help: "what a switch in the ON position stands for: 1 or 0", only: hasSwitches, left: left{value: "1", why: "ON counts on most devices: check the device", source: practice}},
	{name: "offset", field: to(whole(-1000, 1000), func(a *Addressing) *int { return &a.Scheme.Offset }), help: "added to the address before it is set, such as -1", left: left{value: "0", why: "the switches show the address itself", source: practice}},
}}

var routeTable = &table[Route]{title: "route", keys: []key[Route]{
	{name: "along", field: to(word("rectilinear", "straight", "walls", "wiring"), func(r *Route) *string { return &r.Along }), sample: "walls",
		help: "rectilinear, straight, walls or wiring (as drawn)", left: left{value: string(route.Usual.Along), why: "cable runs along the building's axes", source: practice}},
	{name: "near", field: to(quantity(measure.Percent, 0, 1), func(r *Route) *float64 { return &r.Near }),
		help: "a route this much longer than the shortest is preferred if it has fewer turns and crossings", left: left{value: inPercent(route.Usual.Near), why: "a little cable for a route that is easier to follow", source: ours}},
	{name: "keep", field: to(quantity(measure.Percent, 0, 10), func(r *Route) *float64 { return &r.Keep }),
		help: "the order of an earlier run is kept until another is shorter by this much", left: left{value: "5%", why: "a small change must not renumber a building", source: ours}},
	{name: "branch_at", field: to(word("devices", "anywhere"), func(r *Route) *string { return &r.BranchAt }),
		help: "where T-taps may stand: anywhere in a junction box, or at devices only", left: left{value: string(route.Usual.Branch), why: "the shortest cable; every junction is listed", source: ours}},
	{name: "one_raceway", field: to(list(text), func(r *Route) *[]string { return &r.OneRaceway }), sample: `["103*"]`, aside: true,
		help: "names of rooms of up to 1000 ft2 in which one raceway drops to several devices, so that both runs of a class A or X circuit share it; check the adopted edition",
		left: left{words: "no rooms", why: "the code allows it, the designer decides"}},
	{name: "weights", field: section(weightTable, func(r *Route) *Weights { return &r.Weights }), help: "the detour that a route takes to avoid something; reports give true lengths"},
}}

var weightTable = &table[Weights]{title: "weights", keys: []key[Weights]{
	{name: "wall", field: to(quantity(measure.Length, 0, 10000), func(w *Weights) *float64 { return &w.Wall }),
		help: "for each wall crossed", left: left{value: inFeet(route.Usual.Weights.Wall), why: "a sleeve costs about as much as that much cable", source: ours}},
	{name: "rated_wall", field: to(quantity(measure.Length, 0, 10000), func(w *Weights) *float64 { return &w.RatedWall }),
		help: "for each rated wall, which needs firestopping", left: left{value: inFeet(route.Usual.Weights.RatedWall), why: "a sealed sleeve costs about as much as that much cable", source: ours}},
	{name: "rated_walls", field: to(list(text), func(w *Weights) *[]string { return &w.RatedWalls }), sample: `["A-WALL-FIRE*"]`,
		help: "layers of rated walls", left: left{words: "no rated walls", why: "the job does not say which they are"}},
	{name: "corridor", field: to(quantity(measure.Percent, 0, 0.9), func(w *Weights) *float64 { return &w.Corridor }),
		help: "less for cable in a corridor, where it is easy to pull; along: walls only", left: left{value: inPercent(route.Usual.Saving), why: "cable over a corridor needs no room to be cleared", source: ours}},
	{name: "corridors", field: to(list(text), func(w *Weights) *[]string { return &w.Corridors }),
		help: "names of rooms that are corridors; their outlines must be closed", left: left{value: inList(route.Usual.Corridors), why: "the usual names on plans", source: practice}},
	{name: "level_change", field: to(quantity(measure.Length, 0, 10000), func(w *Weights) *float64 { return &w.LevelChange }),
		help: "for each change of level, besides the rise itself", left: left{value: inFeet(route.Usual.Weights.LevelChange), why: "a floor is left once it is done", source: ours}},
}}

var labelTable = &table[Label]{title: "label", check: checkLabel, keys: []key[Label]{
	{name: "pattern", field: to(pattern(labelWords), func(l *Label) *string { return &l.Pattern }),
		help: "{circuit} {address} {point} {order} {nth} {id} {type} {level} {room} {panel}; {address:3} pads to three digits", left: left{value: `"{circuit}-{address:3}"`, why: "circuit and address name a device", source: ours}},
	{name: "appliance", field: to(pattern(labelWords), func(l *Label) *string { return &l.Appliance }),
		help: "for devices without an address on a nac or power circuit; none: no label", left: left{value: `"{circuit}-{order}"`, why: "circuit and place in the walk name an appliance", source: ours}},
	{name: "isolator", field: to(pattern(labelWords), func(l *Label) *string { return &l.Isolator }),
		help: "for isolators without an address, {nth} being the first, second ... on its circuit; none: no label", left: left{value: `"{circuit}-ISO{nth}"`, why: "a plain number there would be read as an address", source: ours}},
	{name: "height", field: to(quantity(measure.Small, 0.0001, 1), func(l *Label) *float64 { return &l.Height }),
		help: "on paper", left: left{value: "3/32 in", why: "a usual height of lettering", source: practice}},
	{name: "plot_scale", field: to(number(0.001, 100000), func(l *Label) *float64 { return &l.PlotScale }),
		help: "of the plotted plan: 96 is 1/8 in to the foot, 100 is 1:100", left: left{value: "96", why: "1/8 in to the foot, usual for plans", source: practice}},
	{name: "layers", field: to(pattern(layerWords), func(l *Label) *string { return &l.Layers }),
		help: "of what is added to the drawing; {kind} is what stands on it", left: left{value: `"E-FIRE-{kind}"`, why: "beside the usual fire alarm layer", source: ours}},
	{name: "attribute", field: to(text, func(l *Label) *string { return &l.Attribute }), sample: "TAG", aside: true,
		help: "write the label into this attribute of the symbol instead", left: left{words: "labels are texts beside the symbols", why: "the job names no attribute"}},
}}

var drawingTable = &table[Drawing]{title: "drawing", keys: []key[Drawing]{
	{name: "routes", field: to(yesNo, func(w *Drawing) *bool { return &w.Routes }),
		help: "circuits as laid, with directions, ends, branches and isolators to add", left: left{value: "true", why: "each kind is on its own layer, which can be frozen", source: ours}},
	{name: "schedule", field: to(yesNo, func(w *Drawing) *bool { return &w.Schedule }),
		help: "a table of the sheet's devices, beside what is drawn", left: left{value: "true", why: "it is outside the sheet's frame, on its own layer", source: ours}},
	{name: "riser", field: to(yesNo, func(w *Drawing) *bool { return &w.Riser }),
		help: "a riser diagram beside the sheet that shows the first panel", left: left{value: "true", why: "it is outside the sheet's frame, on its own layer", source: ours}},
}}

var stickerTable = &table[Stickers]{title: "stickers", check: checkStickers, keys: []key[Stickers]{
	{name: "page", field: to(word("letter", "A4"), func(s *Stickers) *string { return &s.Page }), help: "letter or A4", left: left{value: "letter", why: stickerWhy, source: practice}},
	{name: "columns", field: to(whole(1, 100), func(s *Stickers) *int { return &s.Columns }), help: "stickers across", left: left{value: "3", why: stickerWhy, source: practice}},
	{name: "rows", field: to(whole(1, 200), func(s *Stickers) *int { return &s.Rows }), help: "stickers down", left: left{value: "10", why: stickerWhy, source: practice}},
	{name: "size", field: to(pair, func(s *Stickers) *geom.Point { return &s.Size }), help: "of one: across, down", left: left{value: "[2 5/8 in, 1 in]", why: stickerWhy, source: practice}},
	{name: "margins", field: to(pair, func(s *Stickers) *geom.Point { return &s.Margins }), help: "left, top", left: left{value: "[3/16 in, 1/2 in]", why: stickerWhy, source: practice}},
	{name: "pitch", field: to(pair, func(s *Stickers) *geom.Point { return &s.Pitch }), help: "from one to the next: across, down", left: left{value: "[2 3/4 in, 1 in]", why: stickerWhy, source: practice}},
}}

const stickerWhy = "a common sheet of thirty"

// moreCircuits shows in the reference what one row cannot.
const moreCircuits = `
- circuit: NAC
  circuits: auto
  kind: nac
  pathway: B
  max_current: 2.5 A
  spare: 25%
  start: 22 V
  end: 17 V
`
