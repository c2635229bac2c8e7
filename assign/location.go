package assign

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Locations cuts texts to at most limit characters so that they stay different
// from one another, letter case aside. Texts that the cut, or the pattern that
// made them, leaves equal get the mark of their row behind them, and a running
// number if that does not tell them apart. Texts that are short and different
// come back as they are. Rows with equal keys are one place and share a text.
func Locations(rows []Location, limit int) []string {
	limit = max(limit, 1)
	out := make([]string, len(rows))
	same := map[string][]int{} // what rows are cut to -> rows
	first := map[string]int{}
	var order []string
	for i, r := range rows {
		if _, again := first[r.Key]; again {
			continue
		}
		first[r.Key] = i
		out[i] = cut(r.Text, limit)
		k := strings.ToUpper(out[i])
		if same[k] == nil {
			order = append(order, k)
		}
		same[k] = append(same[k], i)
	}
	taken := map[string]bool{}
	for _, k := range order {
		if len(same[k]) == 1 && k != "" {
			taken[k] = true
		}
	}
	for _, k := range order {
		if len(same[k]) == 1 && k != "" {
			continue
		}
		for _, i := range same[k] {
			out[i] = distinct(rows[i], limit, taken)
			taken[strings.ToUpper(out[i])] = true
		}
	}
	for i, r := range rows {
		out[i] = out[first[r.Key]]
	}
	return out
}

// Location is where a device is, in words.
type Location struct {
	Key  string // of the device
	Text string // as the job's pattern makes it
	Mark string // sets it apart from others of the same text; its address, as a rule
}

// distinct puts a mark behind a text so that no other is the same.
func distinct(r Location, limit int, taken map[string]bool) string {
	for n := 1; ; n++ {
		mark := r.Mark
		if n > 1 || mark == "" {
			mark = strings.TrimSpace(fmt.Sprintf("%s/%d", r.Mark, n))
		}
		size := utf8.RuneCountInString(mark)
		if size > limit {
			mark = fmt.Sprint(n) // so short a limit holds a number only
			size = len(mark)
		}
		text := mark
		if size+2 <= limit {
			text = strings.TrimSpace(cut(r.Text, limit-size-1) + " " + mark)
		}
		if !taken[strings.ToUpper(text)] {
			return text
		}
	}
}

// cut shortens a text at a character, and makes every run of blanks one.
func cut(s string, limit int) string {
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) <= limit {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:limit]))
}
