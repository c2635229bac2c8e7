package workbook

import (
	"fmt"
	"slices"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
	"loopwright/route/wire"
	"loopwright/takeoff"
)

// currentCells are the cells of a type's currents, in milliamperes.
type currentCells struct{ standby, alarm xlsx.Ref }

// batteryCells are the cells of one panel's battery.
type batteryCells struct {
	panel                   string
	required, size, verdict xlsx.Ref
}

// batterySheet works out the standby battery of every panel.
func batterySheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Battery", 18, 30, 10, 14, 14, 14, 14, 26)
	s.Title("Standby battery",
		"Required = (standby A x hours + alarm A x minutes / 60) x (1 + margin); hours, minutes and margin are on the sheet Settings. "+
			"A device on circuits of two panels is counted for both. A blank current is not zero: nothing is proved until it is given.")
	s.Section("Currents of one device, listing data")
	s.Header("type", "name", "", "standby, mA", "alarm, mA", "", "sizes, Ah")
	first := s.Next()
	for _, t := range o.Job.Types {
		r := s.Add(xlsx.Text(t.Type), xlsx.Text(typeName(t.DeviceType)), xlsx.Cell{}, milliamps(t.Standby), milliamps(t.Alarm))
		b.current[t.Type] = currentCells{r.Right(3), r.Right(4)}
	}
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("D%d:E%d", first, max(first, s.Next()-1)), Most: 1e6})
	// The sizes stand beside the currents, in the column before the last.
	for i, v := range wire.BatterySizes {
		for first+i >= s.Next() {
			s.Blank(1)
		}
		s.Set(first+i, batterySizes, xlsx.Number(v, xlsx.FormPlain))
	}
	b.DefineSpan("BatterySizes", s, batterySizes, first, first+len(wire.BatterySizes)-1)
	s.Add(xlsx.Text("Sizes are common sealed lead-acid batteries; batteries in series add volts, not ampere-hours.").As(xlsx.RoleNote))
	for i := range o.Job.Panels {
		panelBattery(b, o, s, &o.Job.Panels[i])
	}
	return s
}

// batterySizes is the column of the sizes to choose from.
const batterySizes = 7

// milliamps is a current that the user may change; a blank one stays blank.
func milliamps(a takeoff.Amps) xlsx.Cell {
	c := xlsx.Cell{Style: xlsx.Style{Form: xlsx.FormFine, Role: xlsx.RoleInput}}
	if a.Known {
		c.Value = rounded(a.A*1000, 6)
	}
	return c
}

// panelBattery adds the block of one panel.
func panelBattery(b *book, o *outcome.Outcome, s *xlsx.Sheet, p *job.Panel) {
	s.Blank(1)
	s.Section("Panel " + p.Panel)
	s.Header("item", "name", "count", "standby each, mA", "alarm each, mA", "standby, mA", "alarm, mA", "")
	first := s.Next()
	own := s.Add(xlsx.Text(p.Panel), xlsx.Text("panel itself"), xlsx.Whole(1), milliamps(p.Standby), milliamps(p.Alarm))
	s.Checks = append(s.Checks, xlsx.Check{Where: fmt.Sprintf("D%d:E%d", first, first), Most: 1e6})
	drainSums(s, own, 1)
	for _, t := range o.Job.Types {
		n := 0
		for _, d := range o.Devices {
			if d.Type == t.Type && d.Status == takeoff.Counted && slices.Contains(b.panelsOf(d), p.Panel) {
				n++
			}
		}
		if n == 0 {
			continue
		}
		row, c := s.Next(), b.current[t.Type]
		count := fmt.Sprintf(`SUMPRODUCT(ISNUMBER(FIND(", "&$A$%d&", ",", "&DevicePanel&", "))*%s*(DeviceStatus="counted"))`,
			first, exact("DeviceType", xlsx.At(1, row)))
		r := s.Add(xlsx.Text(t.Type), xlsx.Text(typeName(t.DeviceType)), xlsx.Calc(count, n, xlsx.FormCount), orNotGiven(c.standby, xlsx.FormFine), orNotGiven(c.alarm, xlsx.FormFine))
		drainSums(s, r, n)
	}
	panelResult(b, s, p, first, s.Next()-1)
}

const notGiven = "not given"

// orNotGiven takes a number from another cell of the same sheet, and says so where there is none.
func orNotGiven(r xlsx.Ref, f xlsx.Form) xlsx.Cell {
	var v any = notGiven
	if n, ok := r.Num(); ok {
		v = n
	}
	return xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(%[1]s),%[1]s,%[2]q)", r.Fixed(), notGiven), v, f)
}

// drainSums appends what a row's devices draw together, and a flag for a blank.
func drainSums(s *xlsx.Sheet, r xlsx.Ref, n int) {
	flag := ""
	var sums [2]any
	for i := range sums {
		sums[i] = 0.0
		if v, ok := r.Right(3 + i).Num(); ok {
			sums[i] = v * float64(n)
		} else {
			flag = "current not given"
		}
	}
	s.Extend(r.Row,
		xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(D%[1]d),C%[1]d*D%[1]d,0)", r.Row), sums[0], xlsx.FormFine),
		xlsx.Calc(fmt.Sprintf("IF(ISNUMBER(E%[1]d),C%[1]d*E%[1]d,0)", r.Row), sums[1], xlsx.FormFine),
		xlsx.Calc(fmt.Sprintf(`IF(OR(C%[1]d=0,COUNT(D%[1]d:E%[1]d)=2),"","current not given")`, r.Row), flag, xlsx.FormGeneral).As(xlsx.RoleFlag))
}

// panelResult adds the sums of a panel and holds them against its battery.
func panelResult(b *book, s *xlsx.Sheet, p *job.Panel, first, last int) {
	var standby, alarm float64
	missing := 0
	for r := first; r <= last; r++ {
		standby += s.Ref(r, 6).Or0()
		alarm += s.Ref(r, 7).Or0()
		if s.Ref(r, 8).Cell().Value != "" {
			missing++
		}
	}
	sum := s.Next()
	s.Add(xlsx.Text("total").As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal), xlsx.Cell{}.As(xlsx.RoleTotal),
		xlsx.Calc(fmt.Sprintf("SUM(F%d:F%d)", first, last), standby, xlsx.FormFine).As(xlsx.RoleTotal),
		xlsx.Calc(fmt.Sprintf("SUM(G%d:G%d)", first, last), alarm, xlsx.FormFine).As(xlsx.RoleTotal),
		xlsx.Calc(fmt.Sprintf(`SUMPRODUCT(--(H%d:H%d<>""))`, first, last), missing, xlsx.FormCount).As(xlsx.RoleTotal))
	line := func(words string, c xlsx.Cell) xlsx.Ref {
		return s.Add(xlsx.Text(words), xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, c, xlsx.Text("Ah")).Right(5)
	}
	hours, minutes, margin := b.set.standbyHours.Or0(), b.set.alarmMin.Or0(), b.set.margin.Or0()
	line("standby charge", xlsx.Calc(fmt.Sprintf("F%d/1000*StandbyHours", sum), standby/1000*hours, xlsx.FormFine))
	line("alarm charge", xlsx.Calc(fmt.Sprintf("G%d/1000*AlarmMinutes/60", sum), alarm/1000*minutes/60, xlsx.FormFine))
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
	req := line("required, margin included", xlsx.Calc(fmt.Sprintf(`IF(H%d>0,%q,(F%d+F%d)*(1+BatteryMargin))`, sum, notGiven, sum+1, sum+2), required, xlsx.FormFine).As(xlsx.RoleStrong))
	sized := line("next size up", xlsx.Calc(fmt.Sprintf(`IF(ISNUMBER(F%[1]d),IFERROR(INDEX(BatterySizes,SUMPRODUCT(--(BatterySizes<F%[1]d))+1),`+
		`"larger than listed"),"")`, req.Row), size, xlsx.FormPlain))
	fitted := line("fitted or offered", xlsx.Entry(p.Battery, xlsx.FormFine))
	s.Checks = append(s.Checks, xlsx.Check{Where: fitted.Here(), Most: 1e5})
	f := fmt.Sprintf(`IF(ISNUMBER(F%[1]d),IF(ISNUMBER(F%[2]d),IF(F%[1]d<=F%[2]d,"passes","FAILS"),"not judged: no battery given"),`+
		`"not proved: "&H%[3]d&" line(s) without a current")`, req.Row, fitted.Row, sum)
	verdict := s.Add(xlsx.Text("verdict"), xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Calc(f, batteryVerdict(missing, charge, p.Battery), xlsx.FormGeneral).As(xlsx.RoleStrong)).Right(5)
	s.Verdicts = append(s.Verdicts, verdict.Here()+":"+verdict.Here())
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
