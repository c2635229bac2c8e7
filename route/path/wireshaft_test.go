package path

import (
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

// Levels stand beside one another in a figure; m, n and o are one shaft on the
// first, second and third, at heights of 3, 7 and 11 m, k and l another on the
// first two. A cell is 1 m. Lengths by hand.
func TestWiresThroughAShaft(t *testing.T) {
	tests := []struct {
		name   string
		figure string
		opt    WiringOptions
		order  string // of all circuits, back where one returns
		total  float64
		kinds  string
	}{
		{"one level and the next: 4 + 4 + 4", "P-a-m     n-b-c", WiringOptions{}, "abc", 12, ""},
		{"two levels up: 4 + 8 + 2", "P-a-m          o-b", WiringOptions{}, "ab", 14, ""},
		{"up, round and on to the third: 4 + 4 + 8 + 4 + 2", `
P-a-m     n-b     o-d
          | |
          +-c
`, WiringOptions{}, "abcd", 22, ""},
		{"two wires on the second level, one below", `
P-a-m     n-b
          |
          |
          c
`, WiringOptions{}, "ab", 4 + 4 + 2, "ends in shaft not touched"},
		{"up, round and down again, the one way or the other: 4 + 4 + 8 + 4 + 2", `
P-a-m-d   n-b
          | |
          +-c
`, WiringOptions{}, "abcd", 22, "shaft unclear"},
		{"class A, a loop on each of two levels: 12 + 4 + 12 + 4", `
P-a-m     n-b-c
|   |     |   |
+-e-+     +-d-+
`, WiringOptions{Return: true}, "abcde back", 32, ""},
		{"class A over three levels: 12 each, 4 + 4 + 8 in the shaft", `
P-a-m     n-b-+     o-c-+
|   |     |   |     |   |
+-e-+     +---+     +-d-+
`, WiringOptions{Return: true}, "abcde back", 52, ""},
		{"class A, up one shaft and down another: 4 + 4 + 4 + 4 + 6", `
P-a-m     n-b-l
|
+-e-k
`, WiringOptions{Return: true}, "abe back", 22, ""},
		{"a wire to a shaft and no farther", "P-a-m     b", WiringOptions{}, "a", 2, "ends in shaft not touched"},
		{"wires of one level that only meet in the shaft", "P-a-m-b    n c", WiringOptions{}, "ab", 6, "not touched"},
		{"three wires on a level", `
P-a-m-b   n-c
    |
    |
    d
`, WiringOptions{}, "a", 2, "not touched not touched not touched shaft crowded"},
		{"with taps all are joined: 4 + 2 + 3 + 4 + 2", `
P-a-m-b   n-c
    |
    |
    d
`, WiringOptions{Taps: true}, "abdc", 15, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lines, all, names := sketch(tt.figure)
			var symbols []Symbol
			var letters []byte
			shafts := make([]Shaft, 2)
			for i, s := range all {
				if k := strings.IndexByte("mnokl", names[i]); k >= 0 {
					shafts[k/3] = append(shafts[k/3], Landing{s, 3 + 4*float64(k%3)})
					continue
				}
				symbols, letters = append(symbols, s), append(letters, names[i])
			}
			tt.opt.Shafts = shafts
			w, err := NewWiring(lines, symbols, slices.Index(letters, 'P'), tt.opt)
			if err != nil {
				t.Fatal(err)
			}
			order, total := "", 0.0
			for _, c := range w.Circuits {
				for _, p := range c.Order {
					order += string(letters[p])
				}
				if c.Return != nil {
					order += " back"
				}
				total += c.Length
			}
			var kinds []string
			for _, f := range w.Findings {
				kinds = append(kinds, f.Kind)
			}
			slices.Sort(kinds)
			if got := strings.Join(kinds, " "); got != tt.kinds || order != tt.order {
				t.Errorf("order %q with findings %q, want %q with %q", order, got, tt.order, tt.kinds)
			}
			near(t, total, tt.total, 1e-9, "length of wire")
		})
	}
}

// Corridors on two levels run past a shaft without going into it.
func TestWiresPastAShaft(t *testing.T) {
	lines := [][]geom.Point{{geom.Pt(0, 0), geom.Pt(10, 0)}, {geom.Pt(100, 0), geom.Pt(110, 0)}}
	symbols := []Symbol{{geom.Pt(0, 0), 0.3}, {geom.Pt(10, 0), 0.3}, {geom.Pt(110, 0), 0.3}}
	shaft := Shaft{{Symbol{geom.Pt(5, 0), 0.5}, 3}, {Symbol{geom.Pt(105, 0), 0.5}, 7}}
	w, err := NewWiring(lines, symbols, 0, WiringOptions{Shafts: []Shaft{shaft}})
	if err != nil {
		t.Fatal(err)
	}
	if len(w.Circuits) != 1 || !slices.Equal(w.Circuits[0].Order, []int{1}) || w.Circuits[0].Length != 10 {
		t.Errorf("%+v", w.Circuits)
	}
}
