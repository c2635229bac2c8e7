package begin

// bidLines show where prices and hours go: they are the user's, and what the bid
// lacks the workbook names. Every line is one that a job file may have.
var bidLines = []string{
	"currency: USD",
	"labor_rate: 68.00",
	"boxes: [{box: 4 in octagon, material: 3.00}]",
	"end_of_line: {material: 1.50}",
	"isolators: {material: 64.00, hours: 0.75}",
	"conduit: {share: 10%, sizes: [{size: 1/2, price: 1.10 / ft, hours: 5 / 100 ft}]}",
	"acceptance: {hours: 8, device_hours: 0.1}",
	"items: [{item: permit, material: 350.00, hours: 4}]",
	"bid: {sundries: 3%, tax: 6%, contingency: 5%, overhead: 10%, profit: 8%}",
}

func bidRows(w *writer) {
	w.line("")
	w.note("", "Prices and hours are yours to give, and can wait: counts and lengths do not need them, and the first sheet of the workbook lists "+
		"what the bid lacks. "+
		"A type takes material, hours and box; a panel material, battery_material and hours; a cable price (0.42 / ft) and hours (1.5 / 100 ft). "+
		"More rows, with invented figures:")
	for _, l := range bidLines {
		w.line("# %s", l)
	}
}
