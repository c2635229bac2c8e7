package workbook

import (
	"fmt"
	"slices"

	"loopwright/cmd/internal/job"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// currentCells are the cells of a type's currents, in milliamperes.
type currentCells struct{ standby, alarm ref }

// batteryCells are the cells of one panel's battery.
type batteryCells struct {
	panel                   string
	required, size, verdict ref
}

// batterySheet works out the standby battery of every panel.
func (b *book) batterySheet() *sheet {
	s := b.newSheet("Battery", 18, 30, 10, 14, 14, 14, 14, 26)
	s.title("Standby battery",
		"Required = (standby A x hours + alarm A x minutes / 60) x (1 + margin); hours, minutes and margin stand on the sheet Settings. "+
			"A device on circuits of two panels is counted for both. A blank current is not zero: nothing is proved until it is given.")
	s.section("Currents of one device, listing data")
	s.header("type", "name", "", "standby, mA", "alarm, mA", "", "sizes, Ah")
	first := s.next()
	for _, t := range b.in.Job.Types {
		r := s.add(text(t.Type), text(b.typeName(t.DeviceType)), cell{}, milliamps(t.Standby), milliamps(t.Alarm))
		b.current[t.Type] = currentCells{r.right(3), r.right(4)}
	}
	s.checks = append(s.checks, check{where: fmt.Sprintf("D%d:E%d", first, max(first, s.next()-1)), most: 1e6})
	// The sizes stand beside the currents, in the column before the last.
	for i, v := range wire.BatterySizes {
		for first+i >= s.next() {
			s.blank(1)
		}
		s.set(first+i, batterySizes, number(v, formPlain))
	}
	b.defineSpan("BatterySizes", s, batterySizes, first, first+len(wire.BatterySizes)-1)
	s.add(text("Sizes are common sealed lead-acid ones; batteries in series add volts, not ampere-hours.").as(roleNote))
	for i := range b.in.Job.Panels {
		b.panelBattery(s, &b.in.Job.Panels[i])
	}
	return s
}

// batterySizes is the column of the sizes to choose from.
const batterySizes = 7

// milliamps is a current that the user may change; a blank one stays blank.
func milliamps(a takeoff.Amps) cell {
	c := cell{style: style{form: formFine, role: roleInput}}
	if a.Known {
		c.value = rounded(a.A*1000, 6)
	}
	return c
}

// panelBattery adds the block of one panel.
func (b *book) panelBattery(s *sheet, p *job.Panel) {
	s.blank(1)
	s.section("Panel " + p.Panel)
	s.header("item", "name", "count", "standby each, mA", "alarm each, mA", "standby, mA", "alarm, mA", "")
	first := s.next()
	own := s.add(text(p.Panel), text("panel itself"), whole(1), milliamps(p.Standby), milliamps(p.Alarm))
	s.checks = append(s.checks, check{where: fmt.Sprintf("D%d:E%d", first, first), most: 1e6})
	b.drainSums(s, own, 1)
	for _, t := range b.in.Job.Types {
		n := 0
		for _, d := range b.in.Devices {
			if d.Type == t.Type && d.Status == takeoff.Counted && slices.Contains(b.panelsOf(d), p.Panel) {
				n++
			}
		}
		if n == 0 {
			continue
		}
		row, c := s.next(), b.current[t.Type]
		count := fmt.Sprintf(`SUMPRODUCT(ISNUMBER(FIND(", "&$A$%d&", ",", "&DevicePanel&", "))*%s*(DeviceStatus="counted"))`,
			first, exact("DeviceType", at(1, row)))
		r := s.add(text(t.Type), text(b.typeName(t.DeviceType)), calc(count, n, formCount), orNotGiven(c.standby, formFine), orNotGiven(c.alarm, formFine))
		b.drainSums(s, r, n)
	}
	b.panelResult(s, p, first, s.next()-1)
}

const notGiven = "not given"

// orNotGiven takes a number from another cell of the same sheet, and says so where there is none.
func orNotGiven(r ref, f form) cell {
	var v any = notGiven
	if n, ok := r.num(); ok {
		v = n
	}
	return calc(fmt.Sprintf("IF(ISNUMBER(%[1]s),%[1]s,%[2]q)", r.fixed(), notGiven), v, f)
}

// drainSums appends what a row's devices draw together, and a flag for a blank.
func (b *book) drainSums(s *sheet, r ref, n int) {
	flag := ""
	var sums [2]any
	for i := range sums {
		sums[i] = 0.0
		if v, ok := r.right(3 + i).num(); ok {
			sums[i] = v * float64(n)
		} else {
			flag = "current not given"
		}
	}
	s.extend(r.row,
		calc(fmt.Sprintf("IF(ISNUMBER(D%[1]d),C%[1]d*D%[1]d,0)", r.row), sums[0], formFine),
		calc(fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d,0)", r.row), sums[1], formFine),
		calc(fmt.Sprintf(`IF(OR(C%[1]d=0,COUNT(D%[1]d:E%[1]d)=2),"","current not given")`, r.row), flag, formGeneral).as(roleFlag))
}

// panelResult adds the sums of a panel and holds them against its battery.
func (b *book) panelResult(s *sheet, p *job.Panel, first, last int) {
	var standby, alarm float64
	missing := 0
	for r := first; r <= last; r++ {
		standby += ref{s, r, 6}.or0()
		alarm += ref{s, r, 7}.or0()
		if (ref{s, r, 8}).cell().value != "" {
			missing++
		}
	}
	sum := s.next()
	s.add(text("total").as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal), cell{}.as(roleTotal),
		calc(fmt.Sprintf("SUM(F%d:F%d)", first, last), standby, formFine).as(roleTotal),
		calc(fmt.Sprintf("SUM(G%d:G%d)", first, last), alarm, formFine).as(roleTotal),
		calc(fmt.Sprintf(`SUMPRODUCT(--(H%d:H%d<>""))`, first, last), missing, formCount).as(roleTotal))
	line := func(words string, c cell) ref {
		return s.add(text(words), cell{}, cell{}, cell{}, cell{}, c, text("Ah")).right(5)
	}
	hours, minutes, margin := b.set.standbyHours.or0(), b.set.alarmMin.or0(), b.set.margin.or0()
	line("standby charge", calc(fmt.Sprintf("F%d/1000*StandbyHours", sum), standby/1000*hours, formFine))
	line("alarm charge", calc(fmt.Sprintf("G%d/1000*AlarmMinutes/60", sum), alarm/1000*minutes/60, formFine))
	charge := (standby/1000*hours + alarm/1000*minutes/60) * (1 + margin)
	var required, size any = charge, "larger than listed"
	for _, v := range wire.BatterySizes {
		if v >= charge {
			size = v
			break
		}
	}
	if missing > 0 {
		required, size = notGiven, ""
	}
	req := line("required, margin included", calc(fmt.Sprintf(`IF(H%d>0,%q,(F%d+F%d)*(1+BatteryMargin))`, sum, notGiven, sum+1, sum+2), required, formFine).as(roleStrong))
	sized := line("next size up", calc(fmt.Sprintf(`IF(ISNUMBER(F%[1]d),IFERROR(INDEX(BatterySizes,SUMPRODUCT(--(BatterySizes<F%[1]d))+1),`+
		`"larger than listed"),"")`, req.row), size, formPlain))
	fitted := line("fitted or offered", entry(p.Battery, formFine))
	s.checks = append(s.checks, check{where: fitted.here(), most: 1e5})
	f := fmt.Sprintf(`IF(ISNUMBER(F%[1]d),IF(ISNUMBER(F%[2]d),IF(F%[1]d<=F%[2]d,"passes","FAILS"),"not judged: no battery given"),`+
		`"not proved: "&H%[3]d&" line(s) without a current")`, req.row, fitted.row, sum)
	verdict := s.add(text("verdict"), cell{}, cell{}, cell{}, cell{}, calc(f, batteryVerdict(missing, charge, p.Battery), formGeneral).as(roleStrong)).right(5)
	s.verdict = append(s.verdict, verdict.here()+":"+verdict.here())
	b.batteries = append(b.batteries, batteryCells{p.Panel, req, sized, verdict})
}

func batteryVerdict(missing int, charge, fitted float64) string {
	switch {
	case missing > 0:
		return fmt.Sprintf("not proved: %d line(s) without a current", missing)
	case fitted <= 0:
		return "not judged: no battery given"
	case charge <= fitted:
		return "passes"
	}
	return "FAILS"
}
