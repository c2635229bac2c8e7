package job

import (
	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

var circuitTable = &table[Circuit]{title: "a row of circuits", more: moreCircuits, keys: []key[Circuit]{
	{name: "circuit", field: to(text, func(c *Circuit) *string { return &c.Circuit }), sample: "SLC-1",
		help: "its name; the prefix of names beside circuits: auto", must: "a circuit needs a name"},
	{name: "circuits", field: field[Circuit]{read: readAuto}, aside: "auto", help: "split into as many circuits as the capacity asks for"},
	{name: "kind", field: to(word(takeoff.SLC, takeoff.NAC, takeoff.Power), func(c *Circuit) *takeoff.CircuitKind { return &c.Kind }), sample: "slc",
		help: "slc, nac (notification appliances) or power (24 V to devices that need it)", def: "slc", why: "signaling line circuits are the usual case"},
	{name: "panel", field: to(text, func(c *Circuit) *string { return &c.Panel }), sample: "FACP", help: "where it starts", late: true, none: "the only panel"},
	{name: "pathway", field: to(word("A", "B", "X"), func(c *Circuit) *string { return &c.Pathway }), sample: "A",
		help: "class A, B or X", def: "B", why: "the class is the designer's to choose; this one has no return"},
	{name: "taps", field: to(yesNo, func(c *Circuit) *bool { return &c.Taps }), sample: "false", help: "true: T-taps are allowed, class B only", none: "false", why: "devices are wired one after the other"},
	{name: "levels", field: to(list(text), func(c *Circuit) *[]string { return &c.Levels }), sample: "[Level 1]", help: "levels that it serves", none: "all levels", why: "the job does not say"},
	{name: "cable", field: to(text, func(c *Circuit) *string { return &c.Cable }), sample: "16/2", help: "a row of cables", late: true, none: "the only cable"},
	{name: "max_resistance", field: to(quantity(resistance, 0.001, 1e9), func(c *Circuit) *float64 { return &c.MaxResistance }), sample: "50 ohm",
		help: "of the loop, from the listing", late: true, none: "50 ohm; no limit for nac and power", why: "listing data, the user's to give: this is a usual limit"},
	{name: "max_capacitance", field: to(quantity(farads, 1e-12, 1), func(c *Circuit) *float64 { return &c.MaxCapacitance }), sample: "0.5 uF",
		help: "most that the listing allows", none: "not limited", why: "listing data, the user's to give"},
	{name: "max_lost_devices", field: to(whole(1, 1000000), func(c *Circuit) *int { return &c.MaxLostDevices }), sample: "50",
		help: "by one short; slc only", late: true, none: "50 for slc", why: "common practice, no source"},
	{name: "zone_limit", field: to(whole(1, 1000), func(c *Circuit) *int { return &c.ZoneLimit }), sample: "1",
		help: "zones that one fault may take; slc only", late: true, none: "1 for slc", why: "one fault must not take more than one zone"},
	{name: "addresses", field: section(addressTable, func(c *Circuit) *Addressing { return &c.Addresses }),
		help: "which addresses it has and how a device is set to one; slc only", late: true},
	{name: "max_current", field: to(amps, func(c *Circuit) *takeoff.Amps { return &c.MaxCurrent }), aside: "2.5 A",
		help: "what the output may give; nac and power", late: true, none: "not known", why: "listing data, the user's to give: the circuit is not proved without it"},
	{name: "spare", field: to(quantity(percent, 0, 0.99), func(c *Circuit) *float64 { return &c.Spare }), aside: "20%",
		help: "part of max_current kept free; nac and power", late: true, none: "20%", why: "common practice, no source"},
	{name: "start", field: to(quantity(voltage, 1, 1000), func(c *Circuit) *float64 { return &c.Start }), aside: "20.4 V",
		help: "at the panel; nac and power", late: true, none: "20.4 V", why: "85% of 24 V, usual where the listing says nothing else"},
	{name: "end", field: to(quantity(voltage, 0, 1000), func(c *Circuit) *float64 { return &c.End }), aside: "16 V",
		help: "least that the last device needs; nac and power", late: true, none: "16 V", why: "the lower end of the usual range of 16 to 33 V"},
	{name: "load_factor", field: to(quantity(resistance, 0, 100), func(c *Circuit) *float64 { return &c.LoadFactor }), aside: "0.5 ohm",
		help: "volts lost inside the panel for each ampere drawn (V/A is ohm), from the listing; nac and power", late: true, none: "0 ohm",
		why: "start is taken as the voltage at the terminals under load"},
}}

var addressTable = &table[Addressing]{title: "addresses", keys: []key[Addressing]{
	{name: "scheme", field: to(word(assign.SchemeNames...), func(a *Addressing) *string { return &a.Scheme.Name }), sample: "binary7",
		help: "binary7, binary8, decade, or none (set electronically)", def: "binary7", why: "seven switches, addresses 1 to 127"},
	{name: "first", field: to(whole(1, 99999999), func(a *Addressing) *int { return &a.First }), sample: "1", help: "lowest address", late: true, none: "the lowest of the scheme"},
	{name: "last", field: to(whole(1, 99999999), func(a *Addressing) *int { return &a.Last }), sample: "127", help: "highest address", late: true, none: "127, 255 or 99 by scheme"},
	{name: "spare", field: to(quantity(percent, 0, 0.99), func(a *Addressing) *float64 { return &a.Spare }), sample: "20%",
		help: "kept free for later", def: "20%", why: "common practice, no source"},
	{name: "reserved", field: field[Addressing]{read: readReserved}, sample: "[1]", help: "never given out; 5 or 20-29", none: "none", why: "the job reserves no address"},
	{name: "order", field: to(word(assign.OrderWalk, assign.OrderLevel, assign.OrderRoom), func(a *Addressing) *assign.Order { return &a.Order }), sample: "walk",
		help: "walk (as the circuit runs), level (level by level) or room (by room number)", def: "walk", why: "an installer meets the addresses in order"},
	{name: "level_start", field: to(levelStart, func(a *Addressing) *[]assign.LevelStart { return &a.LevelStart }), aside: "{Level 1: 1}",
		help: "the first address of each level", none: "levels follow one another", why: "the job does not say"},
	{name: "ranges", field: rows(rangeTable, func(a *Addressing) *[]assign.Range { return &a.Ranges }),
		help: "addresses that are kept for some types", none: "every type takes any address", why: "the job does not say"},
	{name: "seed_attribute", field: to(text, func(a *Addressing) *string { return &a.Seed }), aside: "ADDR",
		help: "attribute of the symbols that holds an address already, for the first run", none: "no address is taken from the drawing", why: "the job does not say"},
	{name: "first_switch", field: field[Addressing]{read: readFirstSwitch}, sample: "lowest", help: "the value of switch 1: lowest or highest", late: true, none: "lowest"},
	{name: "on_means", field: field[Addressing]{read: readOnMeans}, sample: "1", help: "what a switch in the ON position stands for: 1 or 0", late: true, none: "1"},
	{name: "offset", field: to(whole(-1000, 1000), func(a *Addressing) *int { return &a.Scheme.Offset }), sample: "0", help: "added to the address before it is set, such as -1", none: "0", why: "the switches show the address itself"},
}}

var routeTable = &table[Route]{title: "route", keys: []key[Route]{
	{name: "along", field: to(word("rectilinear", "straight", "walls", "wiring"), func(r *Route) *string { return &r.Along }), sample: "walls",
		help: "rectilinear, straight, walls or wiring (as drawn)", def: "rectilinear", why: "cable runs along the building's axes (common practice, no source)"},
	{name: "effort", field: to(number(0.1, 100), func(r *Route) *float64 { return &r.Effort }), sample: "1",
		help: "how long to look for a shorter route: 5 looks five times as long", def: "1", why: "about a second for a circuit of 1,000 devices"},
	{name: "near", field: to(quantity(percent, 0, 1), func(r *Route) *float64 { return &r.Near }), sample: "1%",
		help: "longer than the shortest by this much, a route with fewer turns and crossings is preferred", def: "1%", why: "a little cable for a route that is easier to follow"},
	{name: "keep", field: to(quantity(percent, 0, 10), func(r *Route) *float64 { return &r.Keep }), sample: "5%",
		help: "the order of an earlier run is kept until another is shorter by this much", def: "5%", why: "a small change must not renumber a building"},
	{name: "branch_at", field: to(word("devices", "anywhere"), func(r *Route) *string { return &r.BranchAt }), sample: "anywhere",
		help: "where T-taps may stand: anywhere in a junction box, or at devices only", def: "anywhere", why: "the shortest cable; every junction is listed"},
	{name: "one_raceway", field: to(list(text), func(r *Route) *[]string { return &r.OneRaceway }), aside: `["103*"]`,
		help: "names of rooms of up to 1000 ft2 in which one raceway drops to several devices, so that both ways of a class A or X circuit lie together; check the adopted edition",
		none: "no rooms", why: "the code allows it, the designer decides"},
	{name: "weights", field: section(weightTable, func(r *Route) *Weights { return &r.Weights }), help: "the detour that a route makes to avoid a thing; lengths in reports are true ones"},
}}

var weightTable = &table[Weights]{title: "weights", keys: []key[Weights]{
	{name: "wall", field: to(quantity(length, 0, 10000), func(w *Weights) *float64 { return &w.Wall }), sample: "10 ft",
		help: "for each wall crossed", def: "10 ft", why: "a sleeve costs about as much as that much cable (ours, no source)"},
	{name: "rated_wall", field: to(quantity(length, 0, 10000), func(w *Weights) *float64 { return &w.RatedWall }), sample: "50 ft",
		help: "for each rated wall, which needs firestopping", def: "50 ft", why: "a sealed sleeve costs about as much as that much cable (ours, no source)"},
	{name: "rated_walls", field: to(list(text), func(w *Weights) *[]string { return &w.RatedWalls }), sample: `["A-WALL-FIRE*"]`,
		help: "layers of rated walls", none: "no rated walls", why: "the job does not say which they are"},
	{name: "corridor", field: to(quantity(percent, 0, 0.9), func(w *Weights) *float64 { return &w.Corridor }), sample: "20%",
		help: "less for cable in a corridor, where it is easy to pull; along: walls only", def: "20%", why: "cable over a corridor needs no room to be cleared (ours, no source)"},
	{name: "corridors", field: to(list(text), func(w *Weights) *[]string { return &w.Corridors }), sample: `["*CORRIDOR*", "*HALLWAY*"]`,
		help: "names of rooms that are corridors; their outlines must be closed", def: `["*CORRIDOR*", "*HALLWAY*"]`, why: "the usual names on plans"},
	{name: "level_change", field: to(quantity(length, 0, 10000), func(w *Weights) *float64 { return &w.LevelChange }), sample: "50 ft",
		help: "for each change of level, besides the rise itself", def: "50 ft", why: "a floor is left once it is done (ours, no source)"},
}}

var labelTable = &table[Label]{title: "label", check: checkLabel, keys: []key[Label]{
	{name: "pattern", field: to(pattern(labelWords), func(l *Label) *string { return &l.Pattern }), sample: `"{circuit}-{address:3}"`,
		help: "{circuit} {address} {point} {order} {nth} {id} {type} {level} {room} {panel}; {address:3} pads to three digits", def: `"{circuit}-{address:3}"`, why: "circuit and address name a device"},
	{name: "appliance", field: to(pattern(labelWords), func(l *Label) *string { return &l.Appliance }), sample: `"{circuit}-{order}"`,
		help: "for devices without an address on a nac or power circuit; none: no label", def: `"{circuit}-{order}"`, why: "circuit and place in the walk name an appliance"},
	{name: "isolator", field: to(pattern(labelWords), func(l *Label) *string { return &l.Isolator }), sample: `"{circuit}-ISO{nth}"`,
		help: "for isolators without an address, {nth} being the first, second ... on its circuit; none: no label", def: `"{circuit}-ISO{nth}"`, why: "a plain number there would be read as an address"},
	{name: "height", field: to(quantity(small, 0.0001, 1), func(l *Label) *float64 { return &l.Height }), sample: "3/32 in",
		help: "on paper", def: "3/32 in", why: "a usual height of lettering (common practice, no source)"},
	{name: "plot_scale", field: to(number(0.001, 100000), func(l *Label) *float64 { return &l.PlotScale }), sample: "96",
		help: "of the plotted plan: 96 is 1/8 in to the foot, 100 is 1:100", def: "96", why: "1/8 in to the foot, usual for plans"},
	{name: "layers", field: to(pattern(layerWords), func(l *Label) *string { return &l.Layers }), sample: `"E-FIRE-{kind}"`,
		help: "of what is added to the drawing; {kind} is what stands on it", def: `"E-FIRE-{kind}"`, why: "beside the usual fire alarm layer"},
	{name: "attribute", field: to(text, func(l *Label) *string { return &l.Attribute }), aside: "TAG",
		help: "write the label into this attribute of the symbol instead", none: "labels are texts beside the symbols", why: "the job names no attribute"},
}}

var drawingTable = &table[Drawing]{title: "drawing", keys: []key[Drawing]{
	{name: "routes", field: to(yesNo, func(w *Drawing) *bool { return &w.Routes }), sample: "true",
		help: "circuits as laid, with directions, ends, branches and isolators to add", def: "true", why: "each kind is on its own layer, to be frozen where it is not wanted"},
	{name: "schedule", field: to(yesNo, func(w *Drawing) *bool { return &w.Schedule }), sample: "true",
		help: "a table of the sheet's devices, beside what is drawn", def: "true", why: "it stands outside the sheet's frame, on its own layer"},
	{name: "riser", field: to(yesNo, func(w *Drawing) *bool { return &w.Riser }), sample: "true",
		help: "a riser diagram beside the sheet that shows the first panel", def: "true", why: "it stands outside the sheet's frame, on its own layer"},
}}

var stickerTable = &table[Stickers]{title: "stickers", check: checkStickers, keys: []key[Stickers]{
	{name: "page", field: to(word("letter", "A4"), func(s *Stickers) *string { return &s.Page }), sample: "letter", help: "letter or A4", def: "letter", why: stickerWhy},
	{name: "columns", field: to(whole(1, 100), func(s *Stickers) *int { return &s.Columns }), sample: "3", help: "stickers across", def: "3", why: stickerWhy},
	{name: "rows", field: to(whole(1, 200), func(s *Stickers) *int { return &s.Rows }), sample: "10", help: "stickers down", def: "10", why: stickerWhy},
	{name: "size", field: to(pair, func(s *Stickers) *geom.Point { return &s.Size }), sample: "[2 5/8 in, 1 in]", help: "of one: across, down", def: "[2 5/8 in, 1 in]", why: stickerWhy},
	{name: "margins", field: to(pair, func(s *Stickers) *geom.Point { return &s.Margins }), sample: "[3/16 in, 1/2 in]", help: "left, top", def: "[3/16 in, 1/2 in]", why: stickerWhy},
	{name: "pitch", field: to(pair, func(s *Stickers) *geom.Point { return &s.Pitch }), sample: "[2 3/4 in, 1 in]", help: "from one to the next: across, down", def: "[2 3/4 in, 1 in]", why: stickerWhy},
}}

const stickerWhy = "a common sheet of thirty"

// moreCircuits shows in the reference what one row cannot.
const moreCircuits = `
- circuit: NAC
  circuits: auto
  kind: nac
  pathway: B
  max_current: 2.5 A
  spare: 20%
  start: 20.4 V
  end: 16 V
`
