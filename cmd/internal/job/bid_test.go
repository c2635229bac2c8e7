package job

import (
	"reflect"
	"testing"
)

func fig(v float64) Figure { return Figure{V: v, Known: true} }

// TestBidFigures reads every figure of the bid; a 0 that is written is known,
// what is left out is not.
func TestBidFigures(t *testing.T) {
	j := parseOK(t, fill(`boxes: [{box: octagon, material: 3.5, hours: 0}, {box: square}]
end_of_line: {material: 0, hours: 0.1}
isolators: {material: 64}
conduit: {share: 12.5%, sizes: [{size: 3/4, price: 1.20 / ft, hours: 6 / 100 ft}, {size: 1}]}
acceptance: {hours: 8}
items: [{item: permit, name: Permit, count: 2, material: 350, hours: 4}, {item: lift, material: 0}]
bid: {sundries: 3%, tax: 6.25%, contingency: 0%, overhead: 10%}
panels: [{panel: P, match: [{block: P}], material: 1800, hours: 16}]
cables: [{cable: c, conductor: 14 AWG solid, hours: 4 / 100 m}]
`))
	for _, tt := range []struct {
		what      string
		got, want any
	}{
		{"boxes", j.Boxes, []Box{{"octagon", Cost{fig(3.5), fig(0)}}, {Box: "square"}}},
		{"end of line", j.EndOfLine, Cost{fig(0), fig(0.1)}},
		{"isolators", j.Isolators, Cost{Material: fig(64)}},
		{"conduit", j.Conduit, Conduit{0.125, 1, []ConduitSize{{"3/4", fig(1.20 / 0.3048), fig(0.06 / 0.3048)}, {Size: "1"}}}},
		{"acceptance", j.Acceptance, Acceptance{Hours: fig(8)}},
		{"items", j.Items, []Item{{"permit", "Permit", 2, Cost{fig(350), fig(4)}}, {"lift", "", 1, Cost{Material: fig(0)}}}},
		{"bid", j.Bid, Bid{Sundries: fig(0.03), Tax: fig(0.0625), Contingency: fig(0), Overhead: fig(0.1)}},
		{"panel", [3]Figure{j.Panels[0].Material, j.Panels[0].BatteryMaterial, j.Panels[0].Hours}, [3]Figure{fig(1800), {}, fig(16)}},
		{"cable", j.Cables[0].Hours, fig(0.04)},
	} {
		if !reflect.DeepEqual(tt.got, tt.want) {
			t.Errorf("%s: %+v, want %+v", tt.what, tt.got, tt.want)
		}
	}
}
