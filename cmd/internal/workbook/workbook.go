// Package workbook writes the takeoff as a spreadsheet that an estimator works
// in: counts, lengths, prices and proofs with live formulas, every formula with
// its value beside it so that a preview shows numbers too.
//
// Each sheet is a function of the outcome and of the book, which holds the cells
// that one sheet takes from another. Sheets are plain values first: a formula
// stands beside the value that it must come to, computed in Go by code other than
// the formula. Package xlsx then makes the file in one pass. The same outcome
// gives the same bytes.
//
// # Rules
//
//   - A figure that the job does not give is a blank framed cell and a flag,
//     never a zero.
//   - Names from a drawing are compared with EXACT inside SUMPRODUCT, never as a
//     criterion of COUNTIF, where *, > and 1 in a name would be operators.
//   - Rows that refer to one another (Voltage by leg, Faults by leg) carry no filter.
//   - The bid adds up in this order: material, sundries on it, tax on both, labor;
//     contingency on that, overhead on both, profit on all of it.
//   - Package back finds the sheets Devices and Loop by the heads of their
//     columns: renaming a head makes issued workbooks unreadable.
//
// # Tests
//
// LibreOffice computes every formula anew, and the result is compared cell by
// cell; new prices, hours, shares, limits and currents are typed in, and the whole
// workbook must then say what the program says of a job with those figures. The
// golden files are the sheets of a small job whose circuits are frozen, so that
// better routes change no golden file.
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
	faults, faultLegs := faultsSheets(b, o)
	circuits := circuitsSheet(b, o)
	parts := partsSheet(b, o)
	conduit := conduitSheet(b, o)
	prices := pricesSheet(b, o)
	labor := laborSheet(b, o)
	account, err := accountSheet(b, o)
	if err != nil {
		return nil, err
	}
	plans, err := planSheets(b, o)
	if err != nil {
		return nil, err
	}
	summary := summarySheet(b, o)
	for _, x := range []*xlsx.Sheet{summary, settings, prices, labor, counts, cable, parts, conduit, devices, circuits, legs,
		loop, voltage, voltageLegs, battery, faults, faultLegs, changesSheet(b, o), findingsSheet(b, o), account, basisSheet(b, o)} {
		if x != nil {
			b.Sheets = append(b.Sheets, x)
		}
	}
	b.Sheets = append(b.Sheets, plans...)
	return b, nil
}
