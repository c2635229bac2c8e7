package path

import (
	"slices"
	"strings"
	"testing"
)

// Levels stand beside one another in a figure; m, n and o are one shaft on the
// first, second and third, at heights of 3, 7 and 11 m. A cell is 1 m. Lengths by hand.
func TestWiresThroughAShaft(t *testing.T) {
	tests := []struct {
		name   string
		figure string
		opt    WiringOptions
		order  string // of all circuits, back where one returns
		total  float64
		kinds  string
	}{
		{"class B, one level and the next: 4 + 4 + 4", "P-a-m     n-b-c", WiringOptions{}, "abc", 12, ""},
		{"class B, two levels up: 4 + 8 + 2", "P-a-m          o-b", WiringOptions{}, "ab", 14, ""},
		{"class B through three levels: 4 + 4 + 4 + 4 + 4", `
P-a-m     n-b     o-d-e
          +-c
`, WiringOptions{}, "", 0, "ends in shaft not touched not touched not touched not touched"},
		{"class B, up and on from the second: 4 + 4 + 6 + 4 + 2", `
P-a-m     n-b     o-d
          | |
          +-c
`, WiringOptions{}, "abcd", 4 + 4 + 7 + 4 + 2, ""},
		{"class A, a loop on each of two levels: 10 + 4 + 10 + 4", `
P-a-m     n-b-c
|   |     |   |
+-b-+     +-d-+
`, WiringOptions{Return: true}, "", 0, ""},
		{"a wire to a shaft and no farther", "P-a-m     b", WiringOptions{}, "a", 2, "ends in shaft not touched"},
		{"wires of one level that only meet in the shaft", "P-a-m-b    n c", WiringOptions{}, "ab", 6, "not touched"},
		{"three wires on a level", `
P-a-m-b   n-c
    |
    d
`, WiringOptions{}, "a", 2, "shaft crowded cut off not touched not touched"},
		{"with taps all are joined: 2 + 2 + 2 + 2 + 4 + 2", `
P-a-m-b   n-c
    |
    |
    d
`, WiringOptions{Taps: true}, "abcd", 0, ""},
	}
	_ = tests
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lines, all, names := sketch(tt.figure)
			var symbols []Symbol
			var letters []byte
			var shaft Shaft
			for i, s := range all {
				if k := strings.IndexByte("mno", names[i]); k >= 0 {
					shaft = append(shaft, Landing{s, 3 + 4*float64(k)})
					continue
				}
				symbols, letters = append(symbols, s), append(letters, names[i])
			}
			tt.opt.Shafts = []Shaft{shaft}
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
