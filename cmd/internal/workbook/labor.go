package workbook

import (
	"fmt"

	"loopwright/cmd/internal/job"
)

// laborSheet counts time: hours of each device, of cable and conduit by length,
// of panels and of testing.
func (b *book) laborSheet() *sheet {
	j := b.in.Job
	t := b.newCostTable("Labor", "hours not given", "Hour", formFine, "Labor",
		"Hours = quantity x hours each. A blank is not zero: it is flagged, and the bid says that it is incomplete. Write 0 where the work is "+
			"not in the bid. "+
			"Hours of a device are taken to include its box and resistor unless the job file gives these hours of their own.",
		[2]string{"hours each", "hours"})
	each := func(item, name string, n ref, hours cell) ref {
		return t.row(item, name, counted(n, formCount), "each", hours, 1)
	}
	t.group("Devices", func() {
		var types []ref
		for i, ty := range j.Types {
			types = append(types, each(ty.Type, b.typeName(ty.DeviceType), b.typeTotal[ty.Type], b.typeFigure(i, "hours", ty.Hours, formFine)))
		}
		if b.isolators.sheet != nil {
			each("isolators to add", "sheet Faults", b.isolators, b.isolatorEach(j.Isolators.Hours, types, formFine))
		}
		for _, x := range b.boxes {
			if h := boxCost(j, x.name).Hours; h.Known {
				each(x.name, "box", x.count, costCell(h, formFine))
			}
		}
		if j.EndOfLine.Hours.Known {
			each("resistor", "end-of-line resistor", b.resistors, costCell(j.EndOfLine.Hours, formFine))
		}
	})
	t.group("Cable and conduit", func() {
		for _, k := range j.Cables {
			t.row("cable "+k.Cable, "pull and terminate", counted(b.byCable[k.Cable].installed, formLength), "per "+b.u.bulk, b.perBulk(k.Hours), 100)
		}
		for _, x := range b.conduits {
			t.row("EMT for "+x.cable, "size and hours on the sheet Conduit", counted(x.length, formLength), "per "+b.u.bulk, follow(x.hours, x.hours.there(), formFine), 100)
		}
	})
	t.group("Panels and testing", func() {
		for _, p := range j.Panels {
			t.row(p.Panel, "panel: mount, land, program", whole(1), "each", costCell(p.Hours, formFine), 1)
		}
		if j.Acceptance.DeviceHours.Known {
			each("device tests", "every device that counts, before acceptance", b.counted, costCell(j.Acceptance.DeviceHours, formFine))
		}
		t.row("acceptance", "test with the authority, records", whole(1), "job", costCell(j.Acceptance.Hours, formFine), 1)
	})
	if len(j.Items) > 0 {
		t.group("Other items", func() {
			for i, x := range j.Items {
				n := b.itemCounts[i]
				t.row(x.Item, x.Name, calc(n.there(), n.or0(), formPlain), "each", costCell(x.Hours, formFine), 1)
			}
		})
	}
	t.close()
	b.labor = t
	return t.s
}

// perBulk is hours for a length in the units in which pulling is priced.
func (b *book) perBulk(x job.Figure) cell {
	return figureCell(rounded(x.V/b.u.per*100, 6), x.Known, formFine)
}

func cablePath(i int, key string) string { return fmt.Sprintf("cables[%d].%s", i, key) }
