package workbook

import (
	"fmt"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// settings are the cells of the sheet of settings, all named.
type settings struct {
	waste, device, panel           xlsx.Ref
	labor, tax, sundries           xlsx.Ref
	contingency, overhead, profit  xlsx.Ref
	standbyHours, alarmMin, margin xlsx.Ref
	conduitShare, conductorsPerBox xlsx.Ref
}

// settingsSheet holds every number that is meant to be changed for the whole bid.
func settingsSheet(b *book, o *outcome.Outcome) *xlsx.Sheet {
	s := b.NewSheet("Settings", 40, 14, 14, 70)
	s.Title("Settings", "Change a framed cell, and everything that depends on it follows. Prices are on the sheet Prices, hours on Labor, "+
		"currents on Battery, limits on Loop and Voltage.")
	s.Head = s.Header("setting", "value", "unit", "what it does").Row
	s.Freeze = 1
	j := o.Job
	row := func(what, name string, c xlsx.Cell, unit, why string) xlsx.Ref {
		r := s.Add(xlsx.Text(what), c, xlsx.Text(unit), xlsx.Text(why).Wrapped())
		s.Fit(r.Row, 4, why)
		b.Define(name, r.Right(1))
		s.Checks = append(s.Checks, xlsx.Check{Where: r.Right(1).Here(), Most: 1e6})
		return r.Right(1)
	}
	section := func(words string) {
		s.Blank(1)
		s.Section(words)
	}
	section("Cable")
	b.set.waste = row("Waste", "Waste", xlsx.EntryZero(j.Allowances.Waste, xlsx.FormPercentFine), "of cable", "added to measured length and allowances "+
		"when cable is ordered")
	b.set.device = row("Allowance at a device", "AllowanceDevice", xlsx.EntryZero(b.u.lengthIn(j.Allowances.Device), xlsx.FormFine), b.u.length, "cable left in each device's box; half of it belongs to each of the two cables that meet there, all of it to the only one at the end of a branch")
	b.set.panel = row("Allowance at a panel", "AllowancePanel", xlsx.EntryZero(b.u.lengthIn(j.Allowances.Panel), xlsx.FormFine), b.u.length, "cable left at each cable end in a panel")
	b.set.conduitShare = row("Cable run in conduit", "ConduitShare", xlsx.Entry(j.Conduit.Share, xlsx.FormPercent), "of length", "share of the measured "+
		"length that is run in conduit; blank: no conduit is counted. Sizes, prices and hours are on the sheet Conduit")
	b.set.conductorsPerBox = row("Conductors in a device's box", "BoxConductors", xlsx.EntryZero(4, xlsx.FormWhole), "each", "two pairs: one in, one out; "+
		"for the information on box volumes")
	section("Money")
	b.set.labor = row("Labor rate", "LaborRate", figureCell(j.Labor, j.Labor > 0 || j.Given("labor_rate"), xlsx.FormMoney), perHour(j.Currency), "price of one hour; blank: hours are counted and not priced")
	share := func(what, name string, x job.Figure, of, why string) xlsx.Ref {
		return row(what, name, costCell(x, xlsx.FormPercentFine), of, why+"; blank: none")
	}
	b.set.sundries = share("Sundries", "SundriesShare", j.Bid.Sundries, "of material", "fasteners, tags, firestop and what else no count shows")
	b.set.tax = share("Tax on material", "TaxShare", j.Bid.Tax, "of material", "on material and sundries")
	b.set.contingency = share("Contingency", "ContingencyShare", j.Bid.Contingency, "of cost", "on material, sundries, tax and labor")
	b.set.overhead = share("Overhead", "OverheadShare", j.Bid.Overhead, "of the sum", "on cost and contingency")
	b.set.profit = share("Profit", "ProfitShare", j.Bid.Profit, "of the sum", "on cost, contingency and overhead")
	section("Standby battery")
	words := "as the job file gives it"
	for _, d := range j.Defaults {
		if d.Path == "battery.margin" {
			words = d.Why
		}
	}
	b.set.standbyHours = row("Standby", "StandbyHours", xlsx.EntryZero(j.Battery.StandbyHours, xlsx.FormFine), "h", "time without mains before the alarm")
	b.set.alarmMin = row("Alarm", "AlarmMinutes", xlsx.EntryZero(j.Battery.AlarmMinutes, xlsx.FormFine), "min", "time in alarm after it")
	b.set.margin = row("Margin", "BatteryMargin", xlsx.EntryZero(j.Battery.Margin, xlsx.FormPercentFine), "of the sum", words)
	return s
}

func perHour(currency string) string {
	if currency == "" {
		return "per hour"
	}
	return fmt.Sprintf("%s per hour", currency)
}

// priced is a column head with the job's currency.
func priced(o *outcome.Outcome, head string) string {
	if c := o.Job.Currency; c != "" {
		return head + ", " + c
	}
	return head
}
