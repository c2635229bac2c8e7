package workbook

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/route"
)

// faultsSheet says what single faults cost, and which isolators are missing. Its
// figures are the program's: no formula works them out.
func (b *book) faultsSheet() *sheet {
	s := b.newSheet("Faults", 12, 8, 12, 12, 24, 12, 14, 14, 24, 20)
	s.title("Faults and isolators",
		"What one short between two neighbours loses, with the isolators that the plans show and with the fewest that bring the circuit within its limits. Worked out by the program, not by formulas: run it again after a change.")
	s.head = s.header("circuit", "class", "isolators on the plans", "worst short loses", "short between", "limit, devices", "as drawn", "isolators to add", "worst short then between", "it then loses").row
	s.freeze = 1
	var add []route.Isolator
	n := 0
	for i := range b.in.Circuits {
		c := &b.in.Circuits[i]
		if c.Faults == nil {
			continue
		}
		n++
		b.faultRow(s, c)
		add = append(add, c.Faults.Added...)
	}
	if n == 0 {
		s.note("No signaling line circuit was judged.")
		return s
	}
	total := s.add(text("total").as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal),
		calc(fmt.Sprintf("SUM(H%d:H%d)", s.head+1, s.next()-1), float64(len(add)), formCount).as(roleTotal))
	s.verdict = append(s.verdict, fmt.Sprintf("G%d:G%d", s.head+1, total.row-1))
	b.isolators = total.right(7)
	if len(add) > 0 {
		s.blank(1)
		s.section("Isolators to add")
		s.header("circuit", "", "beside", "from", "to", "level")
		for _, x := range add {
			s.add(text(x.Circuit), cell{}, text(x.Beside), text(x.From), text(x.To), text(x.Level))
		}
	}
	b.legsByLoss(s)
	return s
}

// legsByLoss lists the legs of every circuit, those whose short loses most first.
func (b *book) legsByLoss(s *sheet) {
	head := false
	for i := range b.in.Circuits {
		c := &b.in.Circuits[i]
		if c.Faults == nil {
			continue
		}
		legs := slices.Clone(c.Faults.Legs)
		slices.SortStableFunc(legs, func(x, y route.LegLoss) int {
			return cmp.Or(y.Short-x.Short, y.Zones-x.Zones, y.Open-x.Open)
		})
		for _, l := range legs {
			if !head {
				s.blank(1)
				s.section("Legs by loss, with the isolators on the plans")
				s.header("circuit", "", "short loses", "of zones", "between", "open loses", "limit")
				head = true
			}
			verdict := ""
			if l.Over {
				verdict = "over"
			}
			s.add(text(c.Name), cell{}, whole(l.Short), whole(l.Zones), text(between(l)), whole(l.Open), text(verdict))
		}
	}
}

func (b *book) faultRow(s *sheet, c *Circuit) {
	f := c.Faults
	limit := cell{style: style{form: formCount}}
	if c.MaxLostDevices > 0 {
		limit.value = c.MaxLostDevices
	}
	verdict := "passes"
	if !f.Passes {
		verdict = "FAILS"
		if !f.PassesNow {
			verdict = fmt.Sprintf("FAILS, %d left", f.Stubborn)
		}
	}
	s.add(text(c.Name), text(string(c.Pathway)), whole(f.OnPlan), whole(f.Worst.Short), text(between(f.Worst)), limit, text(verdict),
		cell{value: len(f.Added), style: style{form: formCount}}, text(between(f.With)), whole(f.With.Short))
}

func between(l route.LegLoss) string {
	if l.From == "" && l.To == "" {
		return ""
	}
	return l.From + " and " + l.To
}
