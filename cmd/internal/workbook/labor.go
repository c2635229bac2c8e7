package workbook

import "fmt"

// bidCells are the sums that the first sheet takes.
type bidCells struct {
	hours, hoursMissing ref
	groups              []groupCells
}

// groupCells are the sum of one group of prices and how many are missing in it.
type groupCells struct {
	name         string
	sum, missing ref
}

// laborSheet prices time: hours of each type, and of pulling cable.
func (b *book) laborSheet() *sheet {
	u := b.u
	s := b.newSheet("Labor", 18, 32, 12, 11, 14, 12, 26)
	s.title("Labor", "Hours = quantity x hours each. A blank is not zero: it is flagged, and the bid says that it is incomplete. Write 0 where the work is not in the bid.")
	s.head = s.header("item", "name", "quantity", "unit", "hours each", "hours", "not given").row
	s.freeze = 1
	first := s.next()
	for _, t := range b.in.Job.Types {
		n := b.typeTotal[t.Type]
		b.laborRow(s, text(t.Type), text(b.typeName(t.DeviceType)), calc(n.there(), int(n.or0()), formCount), "each", t.Hours, 1)
	}
	if n := b.isolators; n.sheet != nil {
		b.laborRow(s, text("isolators to add"), text("sheet Faults"), calc(n.there(), int(n.or0()), formCount), "each", 0, 1)
	}
	for _, k := range b.in.Job.Cables {
		n := b.byCable[k.Cable].installed
		b.laborRow(s, text("cable "+k.Cable), text("pull and terminate"), calc(n.there(), n.or0(), formLength), "per "+u.bulk, 0, 100)
	}
	for _, p := range b.in.Job.Panels {
		b.laborRow(s, text(p.Panel), text("panel: mount, land, program"), whole(1), "each", 0, 1)
	}
	b.laborRow(s, text("acceptance"), text("test with the authority, records"), whole(1), "job", 0, 1)
	last := s.next() - 1
	sum, missing := 0.0, 0
	for r := first; r <= last; r++ {
		sum += ref{s, r, 6}.or0()
		if (ref{s, r, 7}).cell().value != "" {
			missing++
		}
	}
	blank := cell{}.as(roleTotal)
	r := s.add(text("total").as(roleTotal), blank, blank, blank, blank,
		calc(fmt.Sprintf("SUM(F%d:F%d)", first, last), sum, formFine).as(roleTotal),
		calc(fmt.Sprintf(`SUMPRODUCT(--(G%d:G%d<>""))`, first, last), missing, formCount).as(roleTotal))
	b.bid.hours, b.bid.hoursMissing = r.right(5), r.right(6)
	s.checks = append(s.checks, check{where: fmt.Sprintf("E%d:E%d", first, last), most: 1e5})
	s.note("The last figure of the total is how many hours are missing.")
	return s
}

// laborRow adds an item; per is what the hours are given for: 1, or 100 units of length.
func (b *book) laborRow(s *sheet, item, name, quantity cell, unit string, hours float64, per int) {
	row := s.next()
	n := cellNumber(quantity)
	each := entry(hours, formFine)
	total, flag := 0.0, ""
	if h, ok := each.value.(float64); ok {
		total = n * h / float64(per)
	} else if n > 0 {
		flag = "hours not given"
	}
	f := fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d,0)", row)
	if per != 1 {
		f = fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d/%[2]d,0)", row, per)
	}
	s.add(item, name, quantity, text(unit), each, calc(f, total, formFine),
		calc(fmt.Sprintf(`IF(OR(C%[1]d=0,ISNUMBER(E%[1]d)),"","hours not given")`, row), flag, formGeneral).as(roleFlag))
}

func cellNumber(c cell) float64 {
	switch v := c.value.(type) {
	case float64:
		return v
	case int:
		return float64(v)
	}
	return 0
}
