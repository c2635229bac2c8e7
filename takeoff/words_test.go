package takeoff_test

import (
	"testing"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// A job's own words explain what the program's do not.
func TestOwnWords(t *testing.T) {
	tests := []struct {
		name, drawing string
		words         []words.Row
		block, is     string
	}{
		{"an unknown name", "SMK 100 100\nQUERF 300 100\nQUERF 400 100\ntext 0 0 6 A", nil, "QUERF", ""},
		{"a name that the job explains", "SMK 100 100\nQUERF 300 100\nQUERF 400 100\ntext 0 0 6 A", []words.Row{{Word: "querf", Concept: "draw.furniture"}}, "QUERF", "furniture"},
		{"a known name", "SMK 100 100\nSPRINKLER 300 100\ntext 0 0 6 A", nil, "SPRINKLER", "another trade's"},
	}
	for _, tt := range tests {
		r, err := sketched(t, one(func(r *takeoff.Request) { r.Words = tt.words }), map[string]string{"a.dxf": tt.drawing})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, a := range r.Account {
			if a.Name == tt.block {
				found = true
				if a.Is != tt.is {
					t.Errorf("%s: %s is %q, want %q", tt.name, a.Name, a.Is, tt.is)
				}
			}
		}
		if !found {
			t.Errorf("%s: no row in %+v", tt.name, r.Account)
		}
	}
}
