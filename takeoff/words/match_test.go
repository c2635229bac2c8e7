package words

import (
	"path"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestMatchFits(t *testing.T) {
	tests := []struct {
		name string
		m    Match
		s    Symbol
		want bool
	}{
		{"whole name", Match{Block: "SMK"}, Symbol{Block: "SMK"}, true},
		{"case folded", Match{Block: "smk*"}, Symbol{Block: "Smk-2"}, true},
		{"no wildcard, longer name", Match{Block: "SMK"}, Symbol{Block: "SMK2"}, false},
		{"bound reference", Match{Block: "SMK"}, Symbol{Block: "FLOOR-1$0$SMK"}, true},
		{"bound twice", Match{Block: "SMK"}, Symbol{Block: "A$0$B$12$SMK"}, true},
		{"attached reference's layer", Match{Block: "*", Layer: "E-FIRE*"}, Symbol{Block: "SMK", Layer: "ARCH|E-FIRE-DETC"}, true},
		{"dollar in a plain name stays", Match{Block: "PRICE$5"}, Symbol{Block: "PRICE$5"}, true},
		{"layer differs", Match{Block: "SMK", Layer: "E-FIRE"}, Symbol{Block: "SMK", Layer: "A-FURN"}, false},
		{"attribute", Match{Attrib: map[string]string{"KIND": "S"}}, Symbol{Block: "D", Attribs: map[string]string{"kind": " s "}}, true},
		{"attribute missing", Match{Block: "D", Attrib: map[string]string{"KIND": "*"}}, Symbol{Block: "D"}, false},
		{"attribute empty", Match{Block: "D", Attrib: map[string]string{"KIND": "?*"}}, Symbol{Block: "D", Attribs: map[string]string{"KIND": ""}}, false},
		{"text rule on an insert", Match{Text: "WP"}, Symbol{Block: "WP"}, false},
		{"text rule", Match{Text: "WP"}, Symbol{Text: " wp "}, true},
		{"block rule on a text", Match{Block: "*"}, Symbol{Text: "WP"}, false},
		{"linetype", Match{Linetype: "DASH*"}, Symbol{Block: "D", Linetype: "Dashed"}, true},
		{"linetype of the layer", Match{Linetype: "*"}, Symbol{Block: "D"}, false},
		{"color", Match{Color: 8}, Symbol{Block: "D", Color: 8}, true},
		{"another color", Match{Color: 8}, Symbol{Block: "D", Color: 9}, false},
		{"nothing given", Match{}, Symbol{Block: "SMK"}, false},
		{"one character", Match{Block: "SM?"}, Symbol{Block: "SMÄ"}, true},
		{"stars", Match{Block: "*A*B*"}, Symbol{Block: "xxAyyAzzByy"}, true},
		{"stars, wrong order", Match{Block: "*A*B"}, Symbol{Block: "BA"}, false},
	}
	for _, tt := range tests {
		if got := tt.m.Fits(tt.s); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// path.Match is an independent matcher for the same two wildcards.
func TestWildcardAgreesWithPathMatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.StringOfN(rapid.RuneFrom([]rune("ab*?")), 0, 8, -1).Draw(t, "pattern")
		n := rapid.StringOfN(rapid.RuneFrom([]rune("ab")), 0, 10, -1).Draw(t, "name")
		want, err := path.Match(p, n)
		if err != nil {
			t.Fatal(err)
		}
		if got := Wildcard(p, strings.ToUpper(n)); got != want {
			t.Fatalf("%q on %q: %v, want %v", p, n, got, want)
		}
	})
}

// Two tags that differ in case alone: the same one decides on every run.
func TestTagsThatDifferInCase(t *testing.T) {
	m := Match{Attrib: map[string]string{"KIND": "S"}}
	s := Symbol{Block: "X", Attribs: map[string]string{"kind": "H", "Kind": "S"}}
	first := m.Fits(s)
	for range 500 {
		if m.Fits(s) != first {
			t.Fatal("the rule fits the symbol on some runs only")
		}
	}
}
