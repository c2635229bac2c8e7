package sheet_test

import (
	"bytes"
	"fmt"

	"loopwright/assign"
	"loopwright/assign/sheet"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// A switch sheet of one device, and what comes back from site when nobody has
// filled it in yet.
func ExampleSwitchSheets() {
	scheme := assign.Scheme{Name: "binary7"}
	setting, err := scheme.Encode(90)
	if err != nil {
		fmt.Println(err)
		return
	}
	doc, err := sheet.SwitchSheets(sheet.Job{Name: "Saltmarsh Branch Library"}, []sheet.Circuit{{
		Name: "SLC-1", Kind: takeoff.SLC, Panel: "FACP", Pathway: "A", Cable: "16/2", Scheme: scheme,
		Rows: []sheet.Row{{
			Order: 1, ID: "L1-023", Type: "Smoke detector", Level: "Level 1", Room: "103 READING ROOM",
			Address: 90, Span: 1, Setting: &setting,
			In:  []sheet.Neighbor{{Name: "FACP", Length: 8.1}},
			Out: []sheet.Neighbor{{Name: "FACP", Length: 8.1, Return: true}},
		}},
	}}, sheet.SwitchOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("pages", doc.Pages, "findings", len(doc.Findings))

	entries, err := sheet.ReadForm(bytes.NewReader(doc.PDF))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range entries {
		fmt.Printf("%s %s found: %q\n", e.Circuit, e.ID, e.Found)
	}
	// Output:
	// pages 1 findings 0
	// SLC-1 L1-023 found: ""
}

// The smallest sheet on which a building of 60 m by 40 m is legible, and the
// scale for it.
func ExampleFitPlan() {
	extent := geom.Box{Max: geom.Pt(60, 40)} // metres
	for _, units := range []measure.System{measure.Imperial, measure.Metric} {
		l := sheet.FitPlan(sheet.Job{Units: units}, extent)
		fmt.Printf("%s, %s: 1 m is %.1f points on paper\n", l.Sheet, l.Words(), l.Points(1))
	}
	// Output:
	// tabloid, 1/16 in = 1 ft (1:192): 1 m is 14.8 points on paper
	// A3, 1:200: 1 m is 14.2 points on paper
}
