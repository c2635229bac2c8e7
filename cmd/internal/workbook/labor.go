package workbook

import (
	"fmt"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// laborSheet counts time: hours of each device, of cable and conduit by length,
// of panels and of testing.
func laborSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	j := o.Job
	t := newCostTable(b, "Labor", "hours not given", "Hour", xlsx.FormFine, "Labor",
		"Hours = quantity x hours each. A blank is not zero: it is flagged, and the bid is marked incomplete. Write 0 where the work is "+
			"not in the bid. "+
			"Hours of a device include its box and resistor unless the job file gives them hours of their own.",
		[2]string{"hours each", "hours"})
	each := func(item, name string, n xlsx.Ref, hours xlsx.Cell) xlsx.Ref {
		return t.row(item, name, counted(n, xlsx.FormCount), "each", hours, 1)
	}
	t.group("Devices", func() {
		var types []xlsx.Ref
		for i, ty := range j.Types {
			types = append(types, each(ty.Type, typeName(ty.DeviceType), b.typeTotal[ty.Type], typeFigure(o, i, "hours", ty.Hours, xlsx.FormFine)))
		}
		if b.isolators.Sheet != nil {
			each("isolators to add", "sheet Faults", b.isolators, isolatorEach(o, j.Isolators.Hours, types, xlsx.FormFine))
		}
		for _, x := range b.boxes {
			if h := boxCost(j, x.name).Hours; h.Known {
				each(x.name, "box", x.count, costCell(h, xlsx.FormFine))
			}
		}
		if j.EndOfLine.Hours.Known {
			each("resistor", "end-of-line resistor", b.resistors, costCell(j.EndOfLine.Hours, xlsx.FormFine))
		}
	})
	t.group("Cable and conduit", func() {
		for _, k := range j.Cables {
			t.row("cable "+k.Cable, "pull and terminate", counted(b.byCable[k.Cable].installed, xlsx.FormLength), "per "+b.u.bulk, perBulk(b, k.Hours), 100)
		}
		for _, x := range b.conduits {
			t.row("EMT for "+x.cable, "size and hours on the sheet Conduit", counted(x.length, xlsx.FormLength), "per "+b.u.bulk, follow(x.hours, x.hours.There(), xlsx.FormFine), 100)
		}
	})
	t.group("Panels and testing", func() {
		for _, p := range j.Panels {
			t.row(p.Panel, "panel: mount, land, program", xlsx.Whole(1), "each", costCell(p.Hours, xlsx.FormFine), 1)
		}
		if j.Acceptance.DeviceHours.Known {
			each("device tests", "every device that counts, before acceptance", b.counted, costCell(j.Acceptance.DeviceHours, xlsx.FormFine))
		}
		t.row("acceptance", "test with the authority, records", xlsx.Whole(1), "job", costCell(j.Acceptance.Hours, xlsx.FormFine), 1)
	})
	if len(j.Items) > 0 {
		t.group("Other items", func() {
			for i, x := range j.Items {
				n := b.itemCounts[i]
				t.row(x.Item, x.Name, xlsx.Calc(n.There(), n.Or0(), xlsx.FormPlain), "each", costCell(x.Hours, xlsx.FormFine), 1)
			}
		})
	}
	t.close()
	b.labor = t
	return t.s
}

// perBulk is hours for a length in the units in which pulling is priced.
func perBulk(b *book, x job.Figure) xlsx.Cell {
	return figureCell(rounded(x.V/b.u.per*100, 6), x.Known, xlsx.FormFine)
}

func cablePath(i int, key string) string { return fmt.Sprintf("cables[%d].%s", i, key) }
