package workbook_test

import (
	"encoding/json"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// look is what openpyxl, another reader of the format, sees in a workbook.
const look = `
import json, sys, openpyxl
b = openpyxl.load_workbook(sys.argv[1])
v = openpyxl.load_workbook(sys.argv[1], data_only=True)
n = b.defined_names
names = sorted(n.keys() if hasattr(n, "keys") else [d.name for d in n.definedName])
out = {"sheets": b.sheetnames, "names": names, "panes": {}, "titles": {}, "tables": {}, "landscape": {}, "wide": {}, "images": 0, "charts": 0}
for s in b:
    out["panes"][s.title] = s.freeze_panes
    out["titles"][s.title] = s.print_title_rows
    out["tables"][s.title] = sorted(s.tables)
    out["landscape"][s.title] = s.page_setup.orientation
    out["wide"][s.title] = s.page_setup.fitToWidth if s.sheet_properties.pageSetUpPr.fitToPage else None
    out["images"] += len(s._images)
    out["charts"] += len(s._charts)
out["total"] = v["Summary"][b.defined_names["BidTotal"].attr_text.split("!")[1].replace("$", "")].value
out["hidden"] = b["Devices"].column_dimensions["A"].hidden
out["footer"] = b["Devices"].oddFooter.right.text
json.dump(out, sys.stdout)
`

// TestAgainstOpenpyxl opens a workbook with openpyxl, an independent reader of the format.
func TestAgainstOpenpyxl(t *testing.T) {
	python := against.Python(t, "openpyxl")
	in := demo(t)
	b, err := exec.Command(python, "-W", "ignore", "-c", look, file(t, in)).Output()
	if err != nil {
		t.Fatalf("openpyxl: %v", err)
	}
	var got struct {
		Sheets, Names  []string
		Panes, Titles  map[string]*string
		Tables         map[string][]string
		Landscape      map[string]string
		Wide           map[string]*int
		Images, Charts int
		Total          float64
		Hidden         bool
		Footer         string
	}
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	want := "Summary Settings Prices Labor Counts Cable Parts Conduit Devices Circuits Legs Loop Voltage Voltage by leg Battery Faults Faults by leg Changes Findings Account Basis Plan Level 1 Plan Level 2"
	if s := strings.Join(got.Sheets, " "); s != want {
		t.Errorf("sheets: %s", s)
	}
	for _, n := range []string{"Waste", "LaborRate", "BidTotal", "DeviceKey", "JobName", "AllowanceDevice", "BatteryMargin", "LegInstalled"} {
		if !strings.Contains(" "+strings.Join(got.Names, " ")+" ", " "+n+" ") {
			t.Errorf("no defined name %s", n)
		}
	}
	for _, s := range []string{"Settings", "Counts", "Devices", "Circuits", "Legs", "Parts", "Labor", "Prices", "Loop", "Voltage", "Findings"} {
		if got.Panes[s] == nil || got.Titles[s] == nil {
			t.Errorf("%s: frozen at %v, repeats %v", s, got.Panes[s], got.Titles[s])
		}
	}
	for _, s := range got.Sheets {
		if w := got.Wide[s]; w == nil || *w != 1 {
			t.Errorf("%s does not fit to the width of a page", s)
		}
		way := "landscape"
		if slices.Contains([]string{"Summary", "Prices", "Labor", "Faults by leg"}, s) {
			way = "portrait"
		}
		if got.Landscape[s] != way {
			t.Errorf("%s is %s", s, got.Landscape[s])
		}
	}
	for s, n := range map[string]string{"Devices": "DeviceList", "Legs": "LegList", "Findings": "FindingList"} {
		if len(got.Tables[s]) != 1 || got.Tables[s][0] != n {
			t.Errorf("%s: tables %v", s, got.Tables[s])
		}
	}
	// A picture of each of two levels, and of each of four figures that nothing explains.
	if got.Images != 6 || got.Charts != 1 || !got.Hidden || !strings.Contains(got.Footer, "page &P of &N") {
		t.Errorf("%d pictures, %d charts, key hidden %v, footer %q", got.Images, got.Charts, got.Hidden, got.Footer)
	}
	if got.Total <= 0 {
		t.Errorf("total %v", got.Total)
	}
}
