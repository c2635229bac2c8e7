package workbook

import "fmt"

// pricesSheet lists everything that is bought, in groups.
func (b *book) pricesSheet() *sheet {
	u := b.u
	s := b.newSheet("Prices", 18, 34, 12, 10, 14, 15, 26)
	s.title("Prices", "Amount = quantity x price. A blank price is not zero: it is flagged, and the bid says that it is incomplete. Write 0 where an item is not in the bid.")
	s.head = s.header("item", "name", "quantity", "unit", b.priced("price"), b.priced("amount"), "not given").row
	s.freeze = 1
	item := func(name, what string, n ref, f form, unit string, price float64) {
		v := n.cell().value
		if f != formLength {
			v = int(n.or0())
		}
		b.priceRow(s, text(name), text(what), calc(n.there(), v, f), unit, price)
	}
	b.group(s, "Devices", func() {
		for _, t := range b.in.Job.Types {
			item(t.Type, b.typeName(t.DeviceType), b.typeTotal[t.Type], formCount, "each", t.Material)
		}
		if b.isolators.sheet != nil {
			item("isolators to add", "sheet Faults", b.isolators, formCount, "each", 0)
		}
	})
	b.group(s, "Panels and batteries", func() {
		for _, p := range b.in.Job.Panels {
			b.priceRow(s, text(p.Panel), text("panel"), whole(1), "each", 0)
		}
		for _, k := range b.batteries {
			b.priceRow(s, text("battery "+k.panel), text("set; size on the sheet Battery"), whole(1), "set", 0)
		}
	})
	b.group(s, "Cable", func() {
		for _, k := range b.in.Job.Cables {
			item(k.Cable, k.Conductor.String(), b.byCable[k.Cable].order, formLength, u.length, u.pricePer(k.Price))
		}
	})
	b.group(s, "Boxes, resistors, conduit", func() {
		for _, x := range b.boxes {
			item(x.name, "box", x.count, formCount, "each", 0)
		}
		item("resistor", "end-of-line resistor", b.resistors, formCount, "each", 0)
		for _, x := range b.conduits {
			item("EMT for "+x.cable, "size on the sheet Conduit", x.length, formLength, u.length, 0)
		}
	})
	return s
}

// group adds the rows of a group and their sum.
func (b *book) group(s *sheet, name string, rows func()) {
	s.blank(1)
	s.section(name)
	first := s.next()
	rows()
	last := s.next() - 1
	sum, missing := 0.0, 0
	for r := first; r <= last; r++ {
		sum += ref{s, r, 6}.or0()
		if (ref{s, r, 7}).cell().value != "" {
			missing++
		}
	}
	blank := cell{}.as(roleTotal)
	missed := calc(fmt.Sprintf(`SUMPRODUCT(--(G%d:G%d<>""))`, first, max(first, last)), missing, formCount).as(roleTotal)
	if last < first {
		missed = whole(0).as(roleTotal)
	}
	r := s.add(text("sum").as(roleTotal), blank, blank, blank, blank,
		calc(sumOf(at(6, first), at(6, last), last >= first), sum, formMoney).as(roleTotal), missed)
	if last >= first {
		s.checks = append(s.checks, check{where: fmt.Sprintf("E%d:E%d", first, last), most: 1e9})
	}
	b.bid.groups = append(b.bid.groups, groupCells{name, r.right(5), r.right(6)})
}

func (b *book) priceRow(s *sheet, item, name, quantity cell, unit string, price float64) {
	row := s.next()
	n := cellNumber(quantity)
	each := entry(price, formMoney)
	total, flag := 0.0, ""
	if p, ok := each.value.(float64); ok {
		total = n * p
	} else if n > 0 {
		flag = "price not given"
	}
	s.add(item, name, quantity, text(unit), each,
		calc(fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d,0)", row), total, formMoney),
		calc(fmt.Sprintf(`IF(OR(C%[1]d=0,ISNUMBER(E%[1]d)),"","price not given")`, row), flag, formGeneral).as(roleFlag))
}
