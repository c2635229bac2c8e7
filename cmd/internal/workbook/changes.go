package workbook

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// changesSheet lists what changed since the last issue.
func changesSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Changes", 13, 12, 18, 13, 26, 24, 24, 50)
	c := o.Changes
	if c == nil {
		s.Title("Changes since the last issue")
		s.Add(xlsx.Text("The drawings have not changed since the first build of this job: there is no earlier issue to compare with."))
		s.Add(xlsx.Text("To compare this issue with an older one: loopwright compare OLD NEW, with two job files or two drawings."))
		return s
	}
	s.Title("Changes since the last issue", "Compared with "+c.Since+".")
	tally(c, s)
	s.Head = s.Header("change", "id", "type", "level", "room", "was", "is", "detail").Row
	s.Freeze = 2
	for _, x := range c.List {
		r := s.Add(xlsx.Text(x.Kind), xlsx.Text(x.ID), xlsx.Text(x.Type), xlsx.Text(x.Level), xlsx.Text(x.Room), xlsx.Text(x.Was), xlsx.Text(x.Is), xlsx.Text(x.Detail).Wrapped())
		s.Fit(r.Row, 8, x.Detail)
	}
	if len(c.List) == 0 {
		s.Add(xlsx.Text("none"))
	}
	s.Table, s.TableTo = "ChangeList", s.Ref(s.Next()-1, 8)
	return s
}

// tally says how many changes of each kind there are, and what they do to the counts.
func tally(c *outcome.Changes, s *xlsx.Sheet) {
	var kinds []string
	count, net := map[string]int{}, map[string]int{}
	for _, x := range c.List {
		if count[x.Kind]++; count[x.Kind] == 1 {
			kinds = append(kinds, x.Kind)
		}
		switch x.Kind {
		case "added", "returned":
			net[x.Type]++
		case "removed":
			net[x.Type]--
		case "retyped":
			net[x.Is]++
			net[x.Was]--
		}
	}
	var parts, counts []string
	for _, k := range kinds {
		parts = append(parts, fmt.Sprintf("%d %s", count[k], k))
	}
	for _, t := range slices.Sorted(maps.Keys(net)) {
		if net[t] != 0 {
			counts = append(counts, fmt.Sprintf("%s %+d", t, net[t]))
		}
	}
	if len(counts) > 0 {
		parts = append(parts, "counts: "+strings.Join(counts, ", "))
	}
	if len(parts) > 0 {
		s.Add(xlsx.Text(strings.Join(parts, "; ")).As(xlsx.RoleStrong))
		s.Blank(1)
	}
}
