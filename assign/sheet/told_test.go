package sheet

import (
	"math"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// saysIn is what a document says, in the order in which it is read.
func saysIn(t *testing.T, pdf []byte) string {
	t.Helper()
	return strings.Join(strings.Fields(output(t, "pdftotext", "-raw", saved(t, pdf), "-")), " ")
}

// optionName stands nowhere else on a sheet.
const optionName = "class-A"

// withOption is a device at address 5 with an extra switch, as a module has for
// the class of its own input circuit.
func withOption(t *testing.T, on bool) Circuit {
	t.Helper()
	s := assign.Scheme{Name: "binary7"}
	set, err := s.Encode(5)
	if err != nil {
		t.Fatal(err)
	}
	return Circuit{Name: "SLC-1", Kind: takeoff.SLC, Panel: "P", Pathway: "B", Scheme: s, Rows: []Row{{Order: 1, ID: "D-1", Type: "x",
		Address: 5, Span: 1, Setting: &set, Options: []assign.OptionSetting{{Switch: optionName, On: on}}}}}
}

// An extra switch is read from the pixels, found by its name: its knob lies on
// the side that the rest of the row calls ON, and the word beside it agrees.
func TestAgainstPixelsOption(t *testing.T) {
	for _, sideways := range []bool{false, true} {
		for _, on := range []bool{false, true} {
			doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{withOption(t, on)}, SwitchOptions{sideways: sideways})
			if err != nil {
				t.Fatal(err)
			}
			f := saved(t, doc.PDF)
			var name, state word
			for _, w := range words(t, f)[0] {
				switch w.Text {
				case optionName:
					name = w
				case "ON", "OFF":
					if below := w.YMin - name.YMin; name.Text != "" && below > 0 && below < 60 && math.Abs(w.x()-name.x()) < 10 {
						state = w
					}
				}
			}
			if name.Text == "" || state.Text == "" {
				t.Fatalf("sideways %v, on %v: no switch of the name with a state under it", sideways, on)
			}
			if (state.Text == "ON") != on {
				t.Errorf("sideways %v: the switch is to be ON: %v, and the sheet says %s", sideways, on, state.Text)
			}
			pic := scans(t, f, 144)[0]
			mid := (name.YMax + state.YMin) / 2
			// Upright the halves lie above and below the middle, sideways right and left of it.
			onHalf, offHalf := pic.gray(name.x(), mid-6), pic.gray(name.x(), mid+6)
			if sideways {
				onHalf, offHalf = pic.gray(name.x()+8, mid), pic.gray(name.x()-5, mid)
			}
			if drawnOn := onHalf < 60 && offHalf > 240; drawnOn != on {
				t.Errorf("sideways %v: the switch is to be ON: %v, and is drawn with %.0f at the ON side and %.0f at the other", sideways, on, onHalf, offHalf)
			}
			if drawnOff := onHalf > 240 && offHalf < 235; drawnOff == on {
				t.Errorf("sideways %v, on %v: %.0f at the ON side and %.0f at the other", sideways, on, onHalf, offHalf)
			}
		}
	}
}

// What a sheet says in words about devices that are out of the ordinary.
func TestAgainstPopplerToldInWords(t *testing.T) {
	electronic := assign.Setting{Scheme: "none"}
	rows := []struct {
		name string
		row  Row
		want string
	}{
		{"two addresses", Row{ID: "D-1", Address: 12, Span: 2, Setting: &assign.Setting{Scheme: "binary7", On: []int{4, 8}, Row: "0011000"}}, "to 13"},
		{"set electronically", Row{ID: "D-1", Address: 42, Span: 1, Setting: &electronic}, "set electronically to 42"},
		{"no address", Row{ID: "D-1"}, "no address"},
		{"isolator", Row{ID: "D-1", Isolates: true}, "isolator: nothing to set"},
		{"one resistor", Row{ID: "D-1", EndOfLine: 1}, "1 end-of-line resistor"},
		{"two resistors", Row{ID: "D-1", EndOfLine: 2}, "2 end-of-line resistors"},
		{"electronic address, switch by hand", Row{ID: "D-1", Address: 42, Span: 1, Setting: &electronic, Options: []assign.OptionSetting{{Switch: "input A", On: true}}}, "switch input A: ON"},
		{"the last of a class B circuit", Row{ID: "D-1", In: []Neighbor{{Name: "FACP", Length: 3}}}, "out: none, the last"},
	}
	for _, tt := range rows {
		t.Run(tt.name, func(t *testing.T) {
			tt.row.Order, tt.row.Type = 1, "x"
			doc, err := SwitchSheets(Job{Name: "Test", Units: measure.Metric}, []Circuit{{Name: "SLC-1", Kind: takeoff.SLC, Panel: "FACP", Pathway: "B",
				Scheme: assign.Scheme{Name: "binary7"}, Rows: []Row{tt.row}}}, SwitchOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if text := saysIn(t, doc.PDF); !strings.Contains(text, tt.want) {
				t.Errorf("the sheet does not say %q:\n%s", tt.want, text)
			}
		})
	}
}

// A label of a device with two addresses names both ends of its range.
func TestAgainstPopplerLabelOfTwoAddresses(t *testing.T) {
	doc, err := Labels(Job{Name: "Test"}, usualGrid, []Sticker{{Circuit: "SLC-1", ID: "D-1", Address: 12, Span: 2}})
	if err != nil {
		t.Fatal(err)
	}
	if text := saysIn(t, doc.PDF); !strings.Contains(text, "12 to 13") {
		t.Errorf("the label says\n%s", text)
	}
}

// A grid that cannot hold a label is refused, not printed empty.
func TestGridsThatHoldNothing(t *testing.T) {
	for name, g := range map[string]Grid{
		"no columns":     {Rows: 10, Size: geom.Pt(0.06, 0.02)},
		"no size":        {Columns: 3, Rows: 10},
		"negative":       {Columns: 3, Rows: 10, Size: geom.Pt(-0.06, 0.02)},
		"start past end": {Columns: 3, Rows: 10, Size: geom.Pt(0.06, 0.02), Pitch: geom.Pt(0.06, 0.02), Start: 31},
	} {
		if doc, err := Labels(Job{Name: "Test"}, g, []Sticker{{Circuit: "SLC-1", ID: "D-1", Address: 12}}); err == nil {
			t.Errorf("%s: %d page(s) and no error", name, doc.Pages)
		}
	}
}
