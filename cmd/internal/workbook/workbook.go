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
func Write(w io.Writer, o *outcome.Outcome) error {
	b, err := compose(o)
	if err != nil {
		return err
	}
	return b.Write(w)
}

// compose builds every sheet. They are built in the order in which they need
// one another's cells and stand in the order in which people read them.
func compose(o *outcome.Outcome) (*book, error) {
	b := newBook(o)
	settings := settingsSheet(b, o)
	devices := devicesSheet(b, o)
	counts := countsSheet(b, o)
	legs := legsSheet(b, o)
	cable := cableSheet(b, o)
	loop := loopSheet(b, o)
	battery := batterySheet(b, o)
	voltage, voltageLegs := voltageSheets(b, o)
	circuits := circuitsSheet(b, o)
	faults, faultLegs := faultsSheets(b, o)
	parts := partsSheet(b, o)
	conduit := conduitSheet(b, o)
	prices := pricesSheet(b, o)
	labor := laborSheet(b, o)
	plans, err := planSheets(b, o)
	if err != nil {
		return nil, err
	}
	summary := summarySheet(b, o)
	for _, x := range []*xlsx.Sheet{summary, settings, prices, labor, counts, cable, parts, conduit, devices, circuits, legs,
		loop, voltage, voltageLegs, battery, faults, faultLegs, changesSheet(b, o), findingsSheet(b, o), basisSheet(b, o)} {
		if x != nil {
			b.Sheets = append(b.Sheets, x)
		}
	}
	b.Sheets = append(b.Sheets, plans...)
	return b, nil
}
