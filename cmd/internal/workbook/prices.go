package workbook

import (
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// pricesSheet lists everything that is bought, in groups.
func pricesSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	u, j := b.u, o.Job
	t := newCostTable(b, "Prices", "price not given", "Price", xlsx.FormMoney, "Prices",
		"Amount = quantity x price. A blank price is not zero: it is flagged, and the bid is marked incomplete. Write 0 where an item is "+
			"not in the bid.",
		[2]string{priced(o, "price"), priced(o, "amount")})
	each := func(item, name string, n xlsx.Ref, price xlsx.Cell) xlsx.Ref {
		return t.row(item, name, counted(n, xlsx.FormCount), "each", price, 1)
	}
	t.group("Devices", func() {
		var types []xlsx.Ref
		for i, ty := range j.Types {
			types = append(types, each(ty.Type, typeName(ty.DeviceType), b.typeTotal[ty.Type], typeFigure(o, i, "material", ty.Material, xlsx.FormMoney)))
		}
		if b.isolators.Sheet != nil {
			each("isolators to add", "sheet Faults", b.isolators, isolatorEach(o, j.Isolators.Material, types, xlsx.FormMoney))
		}
	})
	t.group("Panels and batteries", func() {
		for _, p := range j.Panels {
			t.row(p.Panel, "panel", xlsx.Whole(1), "each", costCell(p.Material, xlsx.FormMoney), 1)
		}
		for i, k := range b.batteries {
			t.row("battery "+k.panel, "set; size on the sheet Battery", xlsx.Whole(1), "set", costCell(j.Panels[i].BatteryMaterial, xlsx.FormMoney), 1)
		}
	})
	t.group("Cable", func() {
		for i, k := range j.Cables {
			price := figureCell(u.pricePer(k.Price), k.Price > 0 || j.Given(cablePath(i, "price")), xlsx.FormMilli)
			t.row(k.Cable, k.Conductor.String(), counted(b.byCable[k.Cable].order, xlsx.FormLength), u.length, price, 1)
		}
	})
	t.group("Boxes, resistors, conduit", func() {
		for _, x := range b.boxes {
			each(x.name, "box", x.count, costCell(boxCost(j, x.name).Material, xlsx.FormMoney))
		}
		each("resistor", "end-of-line resistor", b.resistors, costCell(j.EndOfLine.Material, xlsx.FormMoney))
		for _, x := range b.conduits {
			t.row("EMT for "+x.cable, "size and price on the sheet Conduit", counted(x.length, xlsx.FormLength), u.length, follow(x.price, x.price.There(), xlsx.FormMilli), 1)
		}
	})
	if len(j.Items) > 0 {
		t.group("Other items", func() {
			for _, x := range j.Items {
				r := t.row(x.Item, x.Name, figureCell(x.Count, true, xlsx.FormPlain), "each", costCell(x.Material, xlsx.FormMoney), 1)
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
