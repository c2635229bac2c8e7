package workbook

import (
	"fmt"

	"loopwright/cmd/internal/job"
)

// settings are the cells of the sheet of settings, all named.
type settings struct {
	waste, device, panel           Ref
	labor, tax, sundries           Ref
	contingency, overhead, profit  Ref
	standbyHours, alarmMin, margin Ref
	conduitShare, conductorsPerBox Ref
}

// settingsSheet holds every number that is meant to be changed for the whole bid.
func (b *book) settingsSheet() *Sheet {
	s := b.NewSheet("Settings", 40, 14, 14, 70)
	s.Title("Settings", "Change a framed cell, and everything that rests on it follows. Prices stand on the sheet Prices, hours on Labor, "+
		"currents on Battery, limits on Loop and Voltage.")
	s.Head = s.Header("setting", "value", "unit", "what it does").Row
	s.Freeze = 1
	j := b.in.Job
	row := func(what, name string, c Cell, unit, why string) Ref {
		r := s.Add(Text(what), c, Text(unit), Text(why).Wrapped())
		s.Fit(r.Row, 4, why)
		b.Define(name, r.Right(1))
		s.Checks = append(s.Checks, Check{Where: r.Right(1).Here(), Most: 1e6})
		return r.Right(1)
	}
	section := func(words string) {
		s.Blank(1)
		s.Section(words)
	}
	section("Cable")
	b.set.waste = row("Waste", "Waste", EntryZero(j.Allowances.Waste, FormPercentFine), "of cable", "added to measured length and allowances "+
		"when cable is ordered")
	b.set.device = row("Allowance at a device", "AllowanceDevice", EntryZero(b.u.lengthIn(j.Allowances.Device), FormFine), b.u.length, "cable left in each device's box; half of it belongs to each of the two cables that meet there, all of it to the only one at the end of a branch")
	b.set.panel = row("Allowance at a panel", "AllowancePanel", EntryZero(b.u.lengthIn(j.Allowances.Panel), FormFine), b.u.length, "cable left at each cable end in a panel")
	b.set.conduitShare = row("Cable run in conduit", "ConduitShare", Entry(j.Conduit.Share, FormPercent), "of length", "share of the measured "+
		"length that is run in conduit; blank: no conduit is counted. Sizes, prices and hours stand on the sheet Conduit")
	b.set.conductorsPerBox = row("Conductors in a device's box", "BoxConductors", EntryZero(4, FormWhole), "each", "two pairs: one in, one out; "+
		"for the information on box volumes")
	section("Money")
	b.set.labor = row("Labor rate", "LaborRate", figureCell(j.Labor, j.Labor > 0 || j.Given("labor_rate"), FormMoney), perHour(j.Currency), "price of one hour; blank: hours are counted and not priced")
	share := func(what, name string, x job.Figure, of, why string) Ref {
		return row(what, name, costCell(x, FormPercentFine), of, why+"; blank: none")
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
	b.set.standbyHours = row("Standby", "StandbyHours", EntryZero(j.Battery.StandbyHours, FormFine), "h", "time without mains before the alarm")
	b.set.alarmMin = row("Alarm", "AlarmMinutes", EntryZero(j.Battery.AlarmMinutes, FormFine), "min", "time in alarm after it")
	b.set.margin = row("Margin", "BatteryMargin", EntryZero(j.Battery.Margin, FormPercentFine), "of the sum", words)
	return s
}

func perHour(currency string) string {
	if currency == "" {
		return "per hour"
	}
	return fmt.Sprintf("%s per hour", currency)
}

// priced is a column head with the job's currency.
func (b *book) priced(head string) string {
	if c := b.in.Job.Currency; c != "" {
		return head + ", " + c
	}
	return head
}
