// Package wire answers what a circuit's copper does: resistance of conductors,
// loop resistance of a laid circuit, voltage at every appliance, length left
// before a limit, and the standby battery.
//
// Everything is in SI units: metres, ohms, amperes, volts, degrees Celsius,
// unless a name says otherwise. Lengths are one-way cable; the factor two for
// the pair is applied here and nowhere else.
//
// Every resistance carries a [Basis]: table, coating and temperature. Published
// length tables for the same ohm limit differ by 15 to 23 % because one rests on
// copper at 20 C and another on copper at 75 C, so a number without its basis
// cannot be checked.
//
// The results are an aid. The adopted code, the equipment's listing and the
// authority having jurisdiction govern.
package wire
