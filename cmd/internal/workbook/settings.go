package workbook

import (
	"fmt"

	"loopwright/cmd/internal/job"
)

// settings are the cells of the sheet of settings, all named.
type settings struct {
	waste, device, panel           ref
	labor, tax, sundries           ref
	contingency, overhead, profit  ref
	standbyHours, alarmMin, margin ref
	conduitShare, conductorsPerBox ref
}

// settingsSheet holds every number that is meant to be changed for the whole bid.
func (b *book) settingsSheet() *sheet {
	s := b.newSheet("Settings", 40, 14, 14, 70)
	s.title("Settings", "Change a framed cell, and everything that rests on it follows. Prices stand on the sheet Prices, hours on Labor, "+
		"currents on Battery, limits on Loop and Voltage.")
	s.head = s.header("setting", "value", "unit", "what it does").row
	s.freeze = 1
	j := b.in.Job
	row := func(what, name string, c cell, unit, why string) ref {
		r := s.add(text(what), c, text(unit), text(why).wrapped())
		s.fit(r.row, 4, why)
		b.define(name, r.right(1))
		s.checks = append(s.checks, check{where: r.right(1).here(), most: 1e6})
		return r.right(1)
	}
	section := func(words string) {
		s.blank(1)
		s.section(words)
	}
	section("Cable")
	b.set.waste = row("Waste", "Waste", entryZero(j.Allowances.Waste, formPercentFine), "of cable", "added to measured length and allowances "+
		"when cable is ordered")
	b.set.device = row("Allowance at a device", "AllowanceDevice", entryZero(b.u.lengthIn(j.Allowances.Device), formFine), b.u.length, "cable left in each device's box; half of it belongs to each of the two cables that meet there, all of it to the only one at the end of a branch")
	b.set.panel = row("Allowance at a panel", "AllowancePanel", entryZero(b.u.lengthIn(j.Allowances.Panel), formFine), b.u.length, "cable left at each cable end in a panel")
	b.set.conduitShare = row("Cable run in conduit", "ConduitShare", entry(j.Conduit.Share, formPercent), "of length", "share of the measured "+
		"length that is run in conduit; blank: no conduit is counted. Sizes, prices and hours stand on the sheet Conduit")
	b.set.conductorsPerBox = row("Conductors in a device's box", "BoxConductors", entryZero(4, formWhole), "each", "two pairs: one in, one out; "+
		"for the information on box volumes")
	section("Money")
	b.set.labor = row("Labor rate", "LaborRate", figureCell(j.Labor, j.Labor > 0 || j.Given("labor_rate"), formMoney), perHour(j.Currency), "price of one hour; blank: hours are counted and not priced")
	share := func(what, name string, x job.Figure, of, why string) ref {
		return row(what, name, costCell(x, formPercentFine), of, why+"; blank: none")
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
	b.set.standbyHours = row("Standby", "StandbyHours", entryZero(j.Battery.StandbyHours, formFine), "h", "time without mains before the alarm")
	b.set.alarmMin = row("Alarm", "AlarmMinutes", entryZero(j.Battery.AlarmMinutes, formFine), "min", "time in alarm after it")
	b.set.margin = row("Margin", "BatteryMargin", entryZero(j.Battery.Margin, formPercentFine), "of the sum", words)
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
