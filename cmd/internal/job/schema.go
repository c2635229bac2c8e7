package job

import (
	"fmt"
	"time"

	"loopwright/assign/matrix"
	"loopwright/route"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// documented is a table seen without its row type: enough to write the reference.
type documented interface {
	lines() []keyDoc
	moreRows() string
}

// keyDoc is one key of the table without its types.
type keyDoc struct {
	name, sample, help string
	aside              bool
	needed             bool
	left               *left // what holds if it is left out
	doc                documented
	rows               bool
}

func (t *table[T]) lines() []keyDoc {
	out := make([]keyDoc, len(t.keys))
	for i := range t.keys {
		k := &t.keys[i]
		out[i] = keyDoc{k.name, k.example(), k.help, k.aside, k.must != "", &k.left, k.field.doc, k.field.rows}
	}
	return out
}

func (t *table[T]) moreRows() string { return t.more }

// topTable is the whole job file. Together with the tables it refers to it is
// the one place that says which keys there are.
var topTable = &table[Job]{title: "the job file", keys: []key[Job]{
	{name: "job", field: to(text, func(j *Job) *string { return &j.Name }), sample: "Saltmarsh Branch Library",
		help: "name of the job, printed on every sheet", must: "the job needs a name"},
	{name: "report", field: to(word(measure.Imperial, measure.Metric), func(j *Job) *measure.System { return &j.Report }),
		help: "imperial or metric: the units that people read", left: left{value: "imperial", why: "feet and inches unless the job says metric", source: ours}},
	{name: "edition", field: to(whole(1990, 2100), func(j *Job) *int { return &j.Edition }), sample: "2019",
		help: "of the fire alarm code adopted locally; picks the battery margin", left: left{value: "2022", why: "the edition adopted locally governs; this one asks for the larger battery margin", source: ours}},
	{name: "date", field: to(date, func(j *Job) *time.Time { return &j.Date }), sample: "2026-03-31",
		help: "printed on sheets; nothing else puts a date there", left: left{words: "no date is printed", why: "outputs carry only dates that the job gives"}},
	{name: "revision", field: to(text, func(j *Job) *string { return &j.Revision }), sample: `"0"`,
		help: "printed on sheets", left: left{words: "no revision is printed", why: "the job gives none"}},
	{name: "font", field: to(text, func(j *Job) *string { return &j.Font }), sample: "FILE.ttf", aside: true,
		help: "for letters that the built-in font lacks; path as seen from the job file", left: left{words: "the built-in font", why: "it has the Latin, Greek and Cyrillic letters"}},
	{name: "currency", field: to(text, func(j *Job) *string { return &j.Currency }), sample: "USD",
		help: "printed beside prices", left: left{words: "prices without a currency", why: "the job names none"}},
	{name: "labor_rate", field: to(number(0, 1e9), func(j *Job) *float64 { return &j.Labor }), sample: "68.00",
		help: "price of one hour", left: left{words: "hours are not priced", why: "no rate is known"}},
	{name: "plans", field: rows(planTable, func(j *Job) *[]takeoff.Plan { return &j.Plans }),
		help: "one row for each level, or for each part of one", must: "the job needs at least one plan"},
	{name: "types", field: rows(typeTable, func(j *Job) *[]Type { return &j.Types }),
		help: "device types: how each is recognised and what it needs", left: left{words: "no device types", why: "no symbol is recognised until types are listed; loopwright begin proposes them"}},
	{name: "panels", field: rows(panelTable, func(j *Job) *[]Panel { return &j.Panels }),
		help: "control units, where circuits start", must: "circuits start at a panel"},
	{name: "risers", field: rows(riserTable, func(j *Job) *[]Riser { return &j.Risers }),
		help: "where cable may change level", left: left{words: "cable changes level at the panel", why: "no riser is listed"}},
	{name: "zones", field: rows(zoneTable, func(j *Job) *[]Zone { return &j.Zones }),
		help: "parts of a level that one fault must not take together", left: left{words: "each level is one zone", why: "floors are zones unless fire barriers split them and the fire plan says so"}},
	{name: "circuits", field: rows(circuitTable, func(j *Job) *[]Circuit { return &j.Circuits }),
		help:   "signaling line circuits, notification appliance circuits, 24 V power",
		worked: onlyCircuit, left: left{words: defaultCircuit("the first panel")}},
	{name: "cables", field: rows(cableTable, func(j *Job) *[]Cable { return &j.Cables }),
		help: "what circuits are wired with",
		left: left{value: "[{cable: 16/2, conductor: 16 AWG solid}]", why: "a usual size", source: practice}},
	{name: "boxes", field: rows(boxTable, func(j *Job) *[]Box { return &j.Boxes }),
		help: "what the boxes cost that the types name", left: left{words: "boxes are counted and not priced", why: "no price is known"}},
	{name: "end_of_line", field: section(endOfLineTable, func(j *Job) *Cost { return &j.EndOfLine }),
		help: "what an end-of-line resistor costs; types and class B circuits say how many there are", left: left{words: "resistors are counted and not priced", why: "no price is known"}},
	{name: "isolators", field: section(isolatorTable, func(j *Job) *Cost { return &j.Isolators }),
		help: "what an isolator costs that circuits lack on the plans", left: left{words: isolatorCost, why: isolatorWhy}},
	{name: "conduit", field: section(conduitTable, func(j *Job) *Conduit { return &j.Conduit }),
		help: "EMT, sized by the fill that the cables' diameters give", left: left{words: noConduit, why: "cable runs without conduit unless the job says otherwise"}},
	{name: "acceptance", field: section(acceptanceTable, func(j *Job) *Acceptance { return &j.Acceptance }),
		help: "time for testing", left: left{words: flagged, why: "no hours are known"}},
	{name: "items", field: rows(itemTable, func(j *Job) *[]Item { return &j.Items }),
		help: "whatever else is in the bid: permits, lifts, drawings, training", left: left{words: "nothing else is in the bid", why: jobSilent}},
	{name: "bid", field: section(bidTable, func(j *Job) *Bid { return &j.Bid }),
		help: "shares added to the sum of the parts", left: left{words: "nothing is added for sundries, tax, contingency, overhead or profit", why: jobSilent}},
	{name: "route", field: section(routeTable, func(j *Job) *Route { return &j.Route }), help: "how cable is laid"},
	{name: "allowances", field: section(allowanceTable, func(j *Job) *Allowances { return &j.Allowances }), help: "cable beyond the measured route"},
	{name: "battery", field: section(batteryTable, func(j *Job) *Battery { return &j.Battery }), help: "what the standby battery must do"},
	{name: "label", field: section(labelTable, func(j *Job) *Label { return &j.Label }), help: "addresses beside the symbols on the drawing"},
	{name: "drawing", field: section(drawingTable, func(j *Job) *Drawing { return &j.Drawing }), help: "what is drawn on labeled plans besides the labels"},
	{name: "stickers", field: section(stickerTable, func(j *Job) *Stickers { return &j.Stickers }), help: "grid of a sheet of adhesive labels"},
	{name: "points", field: section(pointsTable, func(j *Job) *Points { return &j.Points }), help: "the list of points that the panel is programmed from"},
	{name: "matrix", field: rows(matrixTable, func(j *Job) *[]matrix.Rule { return &j.Matrix }),
		help: "which inputs operate which outputs", left: left{words: "a draft: every alarm input operates every notification appliance", why: "the designer decides; a draft shows what is missing"}},
	{name: "words", field: rows(wordTable, func(j *Job) *[]words.Row { return &j.Words }),
		help: "words of these drawings that the program does not know: names of blocks, of layers, in legends, of rooms", left: left{words: "the program's own words", why: "no word is added"}},
}}

var wordTable = &table[words.Row]{title: "a row of words", keys: []key[words.Row]{
	{name: "word", field: to(text, func(w *words.Row) *string { return &w.Word }), sample: "optical head", help: "as it stands on the drawings", must: "a row needs its word"},
	{name: "means", field: to(concept, func(w *words.Row) *words.Concept { return &w.Concept }), sample: "device.smoke",
		help: "what it stands for: device.smoke, draw.furniture, room.corridor, other.sprinkler ...", must: "a word needs its meaning"},
}}

var panelTable = &table[Panel]{title: "a row of panels", check: checkPanel, keys: []key[Panel]{
	{name: "panel", field: to(text, func(p *Panel) *string { return &p.Panel }), sample: "FACP", help: "its name", must: "a panel needs a name"},
	{name: "match", field: to(list(match), func(p *Panel) *[]words.Match { return &p.Match }), sample: "[{block: FACP}]",
		help: "its symbol on the plans; rules as under types"},
	{name: "at", field: sectionPtr(placeTable, func(p *Panel) **Place { return &p.At }), sample: "{level: Level 1, point: [300, 200]}", aside: true,
		help: "a place instead of a symbol, in drawing units of the level's first plan"},
	{name: "mounting", field: to(mounting, func(p *Panel) *takeoff.Mounting { return &p.Mounting }),
		help: "ceiling, wall, or a height such as 60 in: cable comes down to it from cable height", left: left{value: "60 in", why: "displays and controls stand 15 to 72 in above the floor", source: practice}},
	{name: "standby", field: to(amps, func(p *Panel) *takeoff.Amps { return &p.Standby }), sample: "120 mA",
		help: "the panel's own current", left: left{words: "not known", why: "listing data, the user's to give: the battery is not proved without it"}},
	{name: "alarm", field: to(amps, func(p *Panel) *takeoff.Amps { return &p.Alarm }), sample: "240 mA",
		help: "the panel's own current in alarm", left: left{words: "not known", why: "listing data, the user's to give: the battery is not proved without it"}},
	{name: "isolates", field: to(yesNo, func(p *Panel) *bool { return &p.Isolates }), sample: "true",
		help: "true: its circuit terminals isolate a shorted end from the other (listing data)", left: left{value: "false", why: "without it a short beside the panel is counted as losing the circuit", source: ours}},
	{name: "battery", field: to(quantity(measure.Charge, 0, 10000), func(p *Panel) *float64 { return &p.Battery }), sample: "18 Ah",
		help: "battery offered or fitted, to be checked", left: left{words: "the smallest size that suffices is named", why: "no battery is given to check"}},
	{name: "supply", field: to(quantity(measure.Current, 0.001, 1000), func(p *Panel) *float64 { return &p.Supply }), sample: "6 A",
		help: "what its appliance and power circuits may draw together, from the listing", left: left{words: "not judged", why: "take it from the panel's listing"}},
	{name: "charger", field: field[Panel]{read: readCharger}, sample: "27 Ah",
		help: "the battery that its charger takes at most, or the current that it gives (1.5 A), from the listing", left: left{words: "not judged", why: "take it from the panel's listing"}},
	{name: "max_battery", field: to(quantity(measure.Charge, 0.001, 10000), func(p *Panel) *float64 { return &p.MaxBattery }), sample: "18 Ah",
		help: "the largest battery that its cabinet holds, from the listing", left: left{words: "not judged", why: "take it from the panel's listing"}},
	{name: "material", field: to(price, func(p *Panel) *Figure { return &p.Material }), sample: "1800.00", help: "price of the panel", left: left{words: flagged, why: "no price is known"}},
	{name: "battery_material", field: to(price, func(p *Panel) *Figure { return &p.BatteryMaterial }), sample: "120.00",
		help: "price of its set of batteries", left: left{words: flagged, why: "no price is known"}},
	{name: "hours", field: to(hours, func(p *Panel) *Figure { return &p.Hours }), sample: "16", help: "labor to mount, land and program it", left: left{words: flagged, why: "no hours are known"}},
}}

var placeTable = &table[Place]{title: "a place", check: checkPlace, keys: []key[Place]{
	{name: "level", field: to(text, func(p *Place) *string { return &p.Level }), sample: "Level 1", help: "a level of plans; a riser without one stands on all"},
	{name: "point", field: to(point, func(p *Place) *geom.Point { return &p.Point }), sample: "[300, 200]",
		help: "[x, y] in drawing units of the level's first plan", must: "a place needs a point"},
}}

var riserTable = &table[Riser]{title: "a row of risers", check: checkRiser, keys: []key[Riser]{
	{name: "riser", field: to(text, func(r *Riser) *string { return &r.Riser }), sample: "R1", help: "its name", must: "a riser needs a name"},
	{name: "match", field: to(list(match), func(r *Riser) *[]words.Match { return &r.Match }), sample: "[{block: RISER}]", aside: true, help: "its symbol on the plans"},
	{name: "at", field: sectionPtr(placeTable, func(r *Riser) **Place { return &r.At }), sample: "{point: [310, 205]}",
		help: "a place instead of a symbol; without a level it stands on all, in drawing units of the first plan"},
	{name: "separated", field: to(yesNo, func(r *Riser) *bool { return &r.Separated }), sample: "false",
		help: "true: outgoing and return runs of class A and X circuits are kept apart in it, 12 in as the annex of the code advises",
		left: left{value: "false", why: "a shaft holds both unless the job says that they are kept apart", source: ours}},
}}

var zoneTable = &table[Zone]{title: "a row of zones", keys: []key[Zone]{
	{name: "zone", field: to(text, func(z *Zone) *string { return &z.Zone }), sample: "Z2 east wing", help: "its name", must: "a zone needs a name"},
	{name: "level", field: to(text, func(z *Zone) *string { return &z.Level }), sample: "Level 1", help: "a level of plans", must: "a zone needs the name of its level"},
	{name: "outline", field: to(outline, func(z *Zone) *geom.Ring { return &z.Outline }), sample: "[[1200, 0], [2400, 0], [2400, 1600], [1200, 1600]]",
		help: "corners in drawing units of the level's first plan", left: left{words: "the whole level", why: "no outline is given"}},
}}

var cableTable = &table[Cable]{title: "a row of cables", keys: []key[Cable]{
	{name: "cable", field: to(text, func(c *Cable) *string { return &c.Cable }), sample: "16/2", help: "its name", must: "a cable needs a name"},
	{name: "marking", field: to(text, func(c *Cable) *string { return &c.Marking }), sample: "FPLP", aside: true,
		help: "on its jacket; taken off and printed, not judged", left: left{words: "not printed", why: jobSilent}},
	{name: "conductor", field: to(conductor, func(c *Cable) *wire.Conductor { return &c.Conductor }), sample: "16 AWG solid",
		help: "gauge with solid or stranded, or 1.5 mm2 class 1 (2, 5); behind it: coated, if the copper is tinned", must: "its resistance depends on it"},
	{name: "temperature", field: to(quantity(measure.Temperature, wire.MinTemperature, wire.MaxTemperature), func(c *Cable) *float64 { return &c.Temperature }),
		help: "at which the resistance is taken; C or F", left: left{value: fmt.Sprintf("%g C", wire.DefaultTemperature), why: "on the safe side", source: "NEC Chapter 9 Table 8 is for 75 C"}},
	{name: "price", field: to(quantity(measure.PricePerLength, 0, 1e6), func(c *Cable) *float64 { return &c.Price }), sample: "0.42 / ft",
		help: "per ft, m, or as 420 / 1000 ft", left: left{words: "cable is not priced", why: "no price is known"}},
	{name: "hours", field: to(figure(quantity(measure.HoursPerLength, 0, 1e4)), func(c *Cable) *Figure { return &c.Hours }), sample: "1.2 / 100 ft",
		help: "labor to pull and terminate a length", left: left{words: flagged, why: "no hours are known"}},
	{name: "reel", field: to(quantity(measure.Length, 0.001, 1e5), func(c *Cable) *float64 { return &c.Reel }), sample: "1000 ft",
		help: "orders are rounded up to whole reels", left: left{words: "orders are not rounded to reels", why: "no reel is given"}},
	{name: "capacitance", field: to(quantity(measure.CapacitancePerLength, 0, 1e-3), func(c *Cable) *float64 { return &c.Capacitance }), sample: "56 pF / ft",
		help: "between its conductors, from the data sheet", left: left{words: "not known", why: "from the data sheet, the user's to give: limits of capacitance are not checked without it"}},
	{name: "diameter", field: to(quantity(measure.Small, 0.0001, 1), func(c *Cable) *float64 { return &c.Diameter }), sample: "0.2 in",
		help: "over the jacket, for conduit fill", left: left{words: "not known", why: "from the data sheet, the user's to give: conduit fill is not computed without it"}},
}}

var allowanceTable = &table[Allowances]{title: "allowances", keys: []key[Allowances]{
	{name: "device", field: to(quantity(measure.Length, 0, 1000), func(a *Allowances) *float64 { return &a.Device }),
		help: "slack at each device", left: left{value: inFeet(route.Usual.Allow.Device), source: practice}},
	{name: "panel", field: to(quantity(measure.Length, 0, 1000), func(a *Allowances) *float64 { return &a.Panel }),
		help: "slack at each cable end in a panel", left: left{value: inFeet(route.Usual.Allow.Panel), source: practice}},
	{name: "waste", field: to(quantity(measure.Percent, 0, 10), func(a *Allowances) *float64 { return &a.Waste }),
		help: "ordered in addition", left: left{value: inPercent(route.Usual.Allow.Waste), source: practice}},
}}

var batteryTable = &table[Battery]{title: "battery", keys: []key[Battery]{
	{name: "standby_hours", field: to(number(0, 1000), func(b *Battery) *float64 { return &b.StandbyHours }),
		help: "hours in standby", left: left{value: fmt.Sprint(wire.StandbyHours), why: "owners may ask for more", source: wire.DutySource}},
	{name: "alarm_minutes", field: to(number(0, 10000), func(b *Battery) *float64 { return &b.AlarmMinutes }),
		help: fmt.Sprintf("minutes in alarm after it; %v for voice", wire.AlarmMinutesVoice), left: left{value: fmt.Sprint(wire.AlarmMinutes), why: fmt.Sprintf("systems with voice need %v", wire.AlarmMinutesVoice), source: wire.DutySource}},
	{name: "margin", field: to(quantity(measure.Percent, 0, 10), func(b *Battery) *float64 { return &b.Margin }), sample: "25%", aside: true,
		help: "added to the computed charge", worked: batteryMargin, left: left{words: marginWords()}},
}}
