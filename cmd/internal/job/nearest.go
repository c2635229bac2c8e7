package job

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// nearest returns the word that got probably stands for, or "": one that is a
// slip of the finger away, else one that got abbreviates or is a part of, else
// one at a larger edit distance. The first of equals wins.
func nearest(got string, words []string) string {
	low := strings.ToLower(got)
	size := utf8.RuneCountInString(got)
	near, part := "", ""
	nearAt, partAt := 1+size/3, 1<<30
	for _, w := range words {
		d := distance(low, strings.ToLower(w))
		if d < nearAt {
			near, nearAt = w, d
		}
		if d < partAt && size >= 3 && partOf(low, strings.ToLower(w)) {
			part, partAt = w, d
		}
	}
	if part != "" && nearAt > 1 {
		return part
	}
	return near
}

// partOf reports whether got is a piece of word (scale, plot_scale), or an
// abbreviation that keeps its first letter (cols, columns).
func partOf(got, word string) bool {
	if strings.Contains(word, got) {
		return true
	}
	if got[0] != word[0] {
		return false
	}
	rest := []rune(got)
	for _, r := range word {
		if len(rest) > 0 && r == rest[0] {
			rest = rest[1:]
		}
	}
	return len(rest) == 0
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
	use := "se " + oneOf(words)
	switch w := nearest(got, words); {
	case len(words) == 0:
		return "there are none"
	case w == "":
		return "u" + use
	case len(words) == 1:
		return fmt.Sprintf("did you mean %q?", w)
	default:
		return fmt.Sprintf("did you mean %q? U", w) + use
	}
}

// oneOf lists the words that may be used; a long list is cut.
func oneOf(words []string) string {
	const most = 12
	switch {
	case len(words) == 1:
		return words[0]
	case len(words) > most:
		return "one of " + strings.Join(words[:most], ", ") + fmt.Sprintf(" and %d more", len(words)-most)
	}
	return "one of " + strings.Join(words, ", ")
}
