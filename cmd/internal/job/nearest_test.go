package job

import (
	"strings"
	"testing"
)

func TestNearest(t *testing.T) {
	for _, tt := range []struct {
		got   string
		words string
		want  string
	}{
		{"mountng", "type mounting match", "mounting"},
		{"adresses", "addresses", "addresses"},
		{"mathc", "match", "match"}, // a swap is one slip
		{"cols", "page columns rows", "columns"},
		{"eol", "end_of_line", "end_of_line"},
		{"scale", "height plot_scale", "plot_scale"},
		{"zzz", "type match", ""},
		{"", "type", ""},
		{"A-", "B", ""},
		{"level 1", "Level 1", "Level 1"},
		{"levels", "level levels", "levels"},
	} {
		words := strings.Fields(tt.words)
		if strings.Contains(tt.words, "Level 1") {
			words = []string{"Level 2", "Level 1"}
		}
		if got := nearest(tt.got, words); got != tt.want {
			t.Errorf("%s of %v: got %q, want %q", tt.got, words, got, tt.want)
		}
	}
}
