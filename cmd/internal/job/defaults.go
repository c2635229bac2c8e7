package job

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var index = regexp.MustCompile(`\[\d+\]`)

// DefaultLines tells in plain words what the program used where the file says
// nothing: one line for each key, value and reason, naming the rows.
func (j *Job) DefaultLines() []string {
	type group struct{ path, value, why string }
	var order []group
	rows := map[group][]string{}
	for _, d := range j.Defaults {
		g := group{index.ReplaceAllString(d.Path, ""), d.Value, d.Why}
		if _, ok := rows[g]; !ok {
			order = append(order, g)
		}
		rows[g] = append(rows[g], d.Row)
	}
	out := make([]string, len(order))
	for i, g := range order {
		who := slices.DeleteFunc(rows[g], func(s string) bool { return s == "" })
		of := ""
		const most = 6
		switch {
		case len(who) > most:
			of = fmt.Sprintf(" (%s and %d more)", strings.Join(who[:most], ", "), len(who)-most)
		case len(who) > 0:
			of = " (" + strings.Join(who, ", ") + ")"
		}
		out[i] = fmt.Sprintf("%s%s: %s; %s", g.path, of, g.value, g.why)
	}
	return out
}

// sortDefaults brings defaults into the order of the table, row by row.
func (j *Job) sortDefaults() {
	order := map[string]int{}
	for i, name := range topTable.names() {
		order[name] = i
	}
	rank := func(d Default) (section, row int) {
		head, rest, _ := strings.Cut(d.Path, "[")
		head, _, _ = strings.Cut(head, ".")
		row, _ = strconv.Atoi(rest[:max(0, strings.IndexByte(rest, ']'))])
		return order[head], row
	}
	slices.SortStableFunc(j.Defaults, func(a, b Default) int {
		as, ar := rank(a)
		bs, br := rank(b)
		return cmp.Or(cmp.Compare(as, bs), cmp.Compare(ar, br))
	})
}
