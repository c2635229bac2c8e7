package job

import (
	"github.com/goccy/go-yaml/ast"

	"loopwright/takeoff/measure"
)

// figure makes of what p reads a figure that is known, be it 0.
func figure(p parse[float64]) parse[Figure] {
	return func(d *decoder, n ast.Node, path string) (Figure, bool) {
		v, ok := p(d, n, path)
		return Figure{V: v, Known: ok}, ok
	}
}

var (
	price = figure(number(0, 1e9))
	hours = figure(number(0, 10000))
	share = figure(quantity(measure.Percent, 0, 10))
)

// flagged is what holds of a figure that the bid needs and the file lacks.
const flagged = "not known; the bid says so"

var boxTable = &table[Box]{title: "a row of boxes", keys: []key[Box]{
	{name: "box", field: to(text, func(b *Box) *string { return &b.Box }), sample: "4 in octagon",
		help: "as the types call it", must: "a row of boxes needs the name of its box"},
	{name: "material", field: to(price, func(b *Box) *Figure { return &b.Material }), sample: "3.00",
		help: "price of one", left: left{words: flagged, why: "no price is known"}},
	{name: "hours", field: to(hours, func(b *Box) *Figure { return &b.Hours }), sample: "0.25", help: "labor for one", left: left{words: boxHours, why: boxHoursWhy}},
}}

const (
	boxHours    = "none besides the hours of the device"
	boxHoursWhy = "the hours of a device are taken to include its box and wiring"
)

var endOfLineTable = &table[Cost]{title: "end_of_line", keys: []key[Cost]{
	{name: "material", field: to(price, func(c *Cost) *Figure { return &c.Material }), sample: "1.00",
		help: "price of one resistor", left: left{words: flagged, why: "no price is known"}},
	{name: "hours", field: to(hours, func(c *Cost) *Figure { return &c.Hours }), sample: "0.1", help: "labor for one", left: left{words: boxHours, why: boxHoursWhy}},
}}

var isolatorTable = &table[Cost]{title: "isolators", keys: []key[Cost]{
	{name: "material", field: to(price, func(c *Cost) *Figure { return &c.Material }), sample: "64.00",
		help: "price of one", left: left{words: isolatorCost, why: isolatorWhy}},
	{name: "hours", field: to(hours, func(c *Cost) *Figure { return &c.Hours }), sample: "0.75",
		help: "labor for one", left: left{words: isolatorCost, why: isolatorWhy}},
}}

const (
	isolatorCost = "as of the only type that isolates and takes no address"
	isolatorWhy  = "those to add are of the kind that the plans show; with no such type, or several, the bid says that it is incomplete"
)

var conduitTable = &table[Conduit]{title: "conduit", keys: []key[Conduit]{
	{name: "share", field: to(quantity(measure.Percent, 0, 1), func(c *Conduit) *float64 { return &c.Share }), sample: "10%",
		help: "of the measured length that runs in conduit", left: left{words: noConduit, why: "cable runs without conduit unless the job says otherwise"}},
	{name: "cables", field: to(whole(1, 20), func(c *Conduit) *int { return &c.Cables }),
		help: "in one run of conduit", left: left{value: "1", why: "on the safe side: most conduit", source: ours}},
	{name: "sizes", field: rows(conduitSizeTable, func(c *Conduit) *[]ConduitSize { return &c.Sizes }),
		help: "trade sizes of EMT with what they cost", left: left{words: flagged + " if conduit is counted", why: "no price is known"}},
}}

const noConduit = "no conduit is counted"

var conduitSizeTable = &table[ConduitSize]{title: "a row of sizes", keys: []key[ConduitSize]{
	{name: "size", field: to(word(conduitSizes...), func(c *ConduitSize) *string { return &c.Size }), sample: "1/2",
		help: "1/2, 3/4, 1, 1-1/4, 1-1/2 or 2", must: "a row of sizes needs its trade size"},
	{name: "price", field: to(figure(quantity(measure.PricePerLength, 0, 1e6)), func(c *ConduitSize) *Figure { return &c.Price }), sample: "1.10 / ft",
		help: "fittings included", left: left{words: flagged + " if this size is counted", why: "no price is known"}},
	{name: "hours", field: to(figure(quantity(measure.HoursPerLength, 0, 1e4)), func(c *ConduitSize) *Figure { return &c.Hours }), sample: "5 / 100 ft",
		help: "labor for a length", left: left{words: flagged + " if this size is counted", why: "no hours are known"}},
}}

var acceptanceTable = &table[Acceptance]{title: "acceptance", keys: []key[Acceptance]{
	{name: "hours", field: to(hours, func(a *Acceptance) *Figure { return &a.Hours }), sample: "8",
		help: "with the authority, records included", left: left{words: flagged, why: "no hours are known"}},
	{name: "device_hours", field: to(hours, func(a *Acceptance) *Figure { return &a.DeviceHours }), sample: "0.1",
		help: "to test each device beforehand", left: left{words: "none besides the hours of the device", why: "the hours of a device are taken to include " +
			"its first test"}},
}}

var itemTable = &table[Item]{title: "a row of items", keys: []key[Item]{
	{name: "item", field: to(text, func(i *Item) *string { return &i.Item }), sample: "permit", help: "short name", must: "an item needs a name"},
	{name: "name", field: to(text, func(i *Item) *string { return &i.Name }), sample: "Permit and plan review",
		help: "a longer description", left: left{words: "the item alone", why: "the job does not say"}},
	{name: "count", field: to(number(0, 1e9), func(i *Item) *float64 { return &i.Count }),
		help: "how many", left: left{value: "1", why: "one for the job", source: ours}},
	{name: "material", field: to(price, func(i *Item) *Figure { return &i.Material }), sample: "350.00",
		help: "price of one; 0 where it is labor alone", left: left{words: flagged, why: "no price is known"}},
	{name: "hours", field: to(hours, func(i *Item) *Figure { return &i.Hours }), sample: "4",
		help: "labor for one; 0 where it takes none", left: left{words: flagged, why: "no hours are known"}},
}}

var bidTable = &table[Bid]{title: "bid", keys: []key[Bid]{
	{name: "sundries", field: to(share, func(b *Bid) *Figure { return &b.Sundries }), sample: "3%",
		help: "of material: fasteners, tags, firestop and what else no count shows", left: left{words: notAdded, why: jobSilent}},
	{name: "tax", field: to(share, func(b *Bid) *Figure { return &b.Tax }), sample: "6%",
		help: "of material and sundries", left: left{words: notAdded, why: jobSilent}},
	{name: "contingency", field: to(share, func(b *Bid) *Figure { return &b.Contingency }), sample: "5%",
		help: "of material, tax and labor", left: left{words: notAdded, why: jobSilent}},
	{name: "overhead", field: to(share, func(b *Bid) *Figure { return &b.Overhead }), sample: "10%",
		help: "of the sum so far", left: left{words: notAdded, why: jobSilent}},
	{name: "profit", field: to(share, func(b *Bid) *Figure { return &b.Profit }), sample: "8%",
		help: "of the sum so far, overhead included", left: left{words: notAdded, why: jobSilent}},
}}

const (
	notAdded  = "not added"
	jobSilent = "the job does not say"
)
