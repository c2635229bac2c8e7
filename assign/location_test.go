package assign

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestLocations(t *testing.T) {
	tests := []struct {
		name  string
		limit int
		texts string
		want  string
	}{
		{"as they are", 32, "Level 1 101 HALL|Level 1  102 STORE", "Level 1 101 HALL|Level 1 102 STORE"},
		{"cut", 12, "Level 1 101 HALL", "Level 1 101"},
		{"one room, two devices", 32, "HALL|HALL", "HALL 1|HALL 2"},
		{"the cut made them equal", 12, "READING ROOM NORTH|READING ROOM SOUTH", "READING RO 1|READING RO 2"},
		{"letter case is no difference", 32, "hall|HALL", "hall 1|HALL 2"},
		{"the marked text was there already", 32, "HALL 1|HALL|HALL", "HALL 1|HALL 2|HALL 3"},
		{"nothing known", 8, "|", "1|2"},
		{"no room for the text", 2, "HALL|HALL", "1|2"},
		{"letters beyond ASCII", 6, "Geschoß", "Gescho"},
	}
	for _, tt := range tests {
		var rows []Location
		for i, s := range strings.Split(tt.texts, "|") {
			rows = append(rows, Location{Key: fmt.Sprint(i), Text: s, Mark: fmt.Sprint(i + 1)})
		}
		if tt.name == "the marked text was there already" {
			for i := range rows {
				rows[i].Mark = fmt.Sprint(i + 1)
			}
		}
		if got := strings.Join(Locations(rows, tt.limit), "|"); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestLocationsAreUniqueAndFit(t *testing.T) {
	word := rapid.SampledFrom([]string{"Level 1", "Level 2", "READING ROOM", "reading room", "É", "101", "", " 1", "2", "/2"})
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.IntRange(4, 40).Draw(t, "limit")
		var rows []Location
		for i := range rapid.IntRange(0, 60).Draw(t, "n") {
			rows = append(rows, Location{Key: fmt.Sprint(i), Text: word.Draw(t, "a") + " " + word.Draw(t, "b"),
				Mark: rapid.SampledFrom([]string{"1", "2", "99999999", ""}).Draw(t, "mark")})
		}
		got := Locations(rows, limit)
		seen := map[string]int{}
		for i, s := range got {
			if utf8.RuneCountInString(s) > limit || s == "" {
				t.Fatalf("%q has not 1 to %d characters", s, limit)
			}
			if k, twice := seen[strings.ToUpper(s)]; twice {
				t.Fatalf("rows %d and %d are both %q", k, i, s)
			}
			seen[strings.ToUpper(s)] = i
		}
		if !slices.Equal(got, Locations(rows, limit)) {
			t.Fatal("not the same twice")
		}
	})
}
