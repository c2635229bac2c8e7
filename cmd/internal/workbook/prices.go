package workbook

import "loopwright/cmd/internal/job"

// pricesSheet lists everything that is bought, in groups.
func (b *book) pricesSheet() *Sheet {
	u, j := b.u, b.in.Job
	t := b.newCostTable("Prices", "price not given", "Price", FormMoney, "Prices",
		"Amount = quantity x price. A blank price is not zero: it is flagged, and the bid says that it is incomplete. Write 0 where an item is "+
			"not in the bid.",
		[2]string{b.priced("price"), b.priced("amount")})
	each := func(item, name string, n Ref, price Cell) Ref {
		return t.row(item, name, counted(n, FormCount), "each", price, 1)
	}
	t.group("Devices", func() {
		var types []Ref
		for i, ty := range j.Types {
			types = append(types, each(ty.Type, b.typeName(ty.DeviceType), b.typeTotal[ty.Type], b.typeFigure(i, "material", ty.Material, FormMoney)))
		}
		if b.isolators.Sheet != nil {
			each("isolators to add", "sheet Faults", b.isolators, b.isolatorEach(j.Isolators.Material, types, FormMoney))
		}
	})
	t.group("Panels and batteries", func() {
		for _, p := range j.Panels {
			t.row(p.Panel, "panel", Whole(1), "each", costCell(p.Material, FormMoney), 1)
		}
		for i, k := range b.batteries {
			t.row("battery "+k.panel, "set; size on the sheet Battery", Whole(1), "set", costCell(j.Panels[i].BatteryMaterial, FormMoney), 1)
		}
	})
	t.group("Cable", func() {
		for i, k := range j.Cables {
			price := figureCell(u.pricePer(k.Price), k.Price > 0 || j.Given(cablePath(i, "price")), FormMilli)
			t.row(k.Cable, k.Conductor.String(), counted(b.byCable[k.Cable].order, FormLength), u.length, price, 1)
		}
	})
	t.group("Boxes, resistors, conduit", func() {
		for _, x := range b.boxes {
			each(x.name, "box", x.count, costCell(boxCost(j, x.name).Material, FormMoney))
		}
		each("resistor", "end-of-line resistor", b.resistors, costCell(j.EndOfLine.Material, FormMoney))
		for _, x := range b.conduits {
			t.row("EMT for "+x.cable, "size and price on the sheet Conduit", counted(x.length, FormLength), u.length, follow(x.price, x.price.There(), FormMilli), 1)
		}
	})
	if len(j.Items) > 0 {
		t.group("Other items", func() {
			for _, x := range j.Items {
				r := t.row(x.Item, x.Name, figureCell(x.Count, true, FormPlain), "each", costCell(x.Material, FormMoney), 1)
				b.itemCounts = append(b.itemCounts, r.Sheet.Ref(r.Row, costQuantity))
			}
		})
	}
	t.close()
	b.prices = t
	return t.s
}

// boxCost is what the job file says of a kind of box.
func boxCost(j *job.Job, name string) job.Cost {
	for _, x := range j.Boxes {
		if x.Box == name {
			return x.Cost
		}
	}
	return job.Cost{}
}
