// Package units says what a unit would make of a drawing: of the storey, the doors,
// the lettering, the way from device to device, the scale of inserts (25.4 is
// inches in millimetres) and texts that read their own height. A header that does
// not fit is refused, with the unit that does.
package units
