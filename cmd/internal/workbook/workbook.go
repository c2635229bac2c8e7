// Package workbook writes the takeoff as a spreadsheet that an estimator works
// in: counts, lengths, prices and proofs with live formulas, every formula with
// its value beside it so that a preview shows numbers too.
//
// The sheets are first built as plain values (cell, sheet, book) in which a
// formula stands beside the value that it must come to; the file is made from
// them in one pass. The same input gives the same bytes.
package workbook

import (
	"io"

	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook/xlsx"
)

// Write writes the workbook. An error means that nothing usable was written.
func Write(w io.Writer, in *outcome.Outcome) error {
	b, err := compose(in)
	if err != nil {
		return err
	}
	return b.Write(w)
}

// compose builds every sheet. They are built in the order in which they need
// one another's cells and stand in the order in which people read them.
func compose(in *outcome.Outcome) (*book, error) {
	b := newBook(in)
	settings := b.settingsSheet()
	devices := b.devicesSheet()
	counts := b.countsSheet()
	legs := b.legsSheet()
	cable := b.cableSheet()
	loop := b.loopSheet()
	battery := b.batterySheet()
	voltage, voltageLegs := b.voltageSheets()
	circuits := b.circuitsSheet()
	faults, faultLegs := b.faultsSheets()
	parts := b.partsSheet()
	conduit := b.conduitSheet()
	prices := b.pricesSheet()
	labor := b.laborSheet()
	plans, err := b.planSheets()
	if err != nil {
		return nil, err
	}
	summary := b.summarySheet()
	for _, x := range []*xlsx.Sheet{summary, settings, prices, labor, counts, cable, parts, conduit, devices, circuits, legs,
		loop, voltage, voltageLegs, battery, faults, faultLegs, b.changesSheet(), b.findingsSheet(), b.basisSheet()} {
		if x != nil {
			b.Sheets = append(b.Sheets, x)
		}
	}
	b.Sheets = append(b.Sheets, plans...)
	return b, nil
}
