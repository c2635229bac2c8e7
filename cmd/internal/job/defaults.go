package job

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

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
