package job

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// nearest returns the word closest to got by edit distance, or "" if none is
// close enough to be what was meant. The first of equals wins.
func nearest(got string, words []string) string {
	best, at := "", 1+max(1, utf8.RuneCountInString(got)/2)
	for _, w := range words {
		if d := distance(strings.ToLower(got), strings.ToLower(w)); d < at {
			best, at = w, d
		}
	}
	return best
}

// distance counts the insertions, deletions, replacements and swaps of
// neighbours that turn a into b (optimal string alignment).
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	var before, last []int
	row := make([]int, len(t)+1)
	for k := range row {
		row[k] = k
	}
	for i := 1; i <= len(s); i++ {
		before, last, row = last, row, make([]int, len(t)+1)
		row[0] = i
		for k := 1; k <= len(t); k++ {
			cost := 1
			if s[i-1] == t[k-1] {
				cost = 0
			}
			row[k] = min(row[k-1]+1, last[k]+1, last[k-1]+cost)
			if i > 1 && k > 1 && s[i-1] == t[k-2] && s[i-2] == t[k-1] {
				row[k] = min(row[k], before[k-2]+1)
			}
		}
	}
	return row[len(t)]
}

// choose words the advice after a name that is not known.
func choose(got string, words []string) string {
	if w := nearest(got, words); w != "" {
		if len(words) == 1 {
			return fmt.Sprintf("did you mean %q?", w)
		}
		return fmt.Sprintf("did you mean %q? %s", w, oneOf(words))
	}
	return oneOf(words)
}

// oneOf lists what may stand there; a long list is cut.
func oneOf(words []string) string {
	const most = 12
	switch {
	case len(words) == 0:
		return "there is none"
	case len(words) == 1:
		return fmt.Sprintf("only %s may stand here", words[0])
	case len(words) > most:
		return "one of " + strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return "one of " + strings.Join(words, ", ")
}
