// Package wire answers what a circuit's copper does: resistance of conductors,
// loop resistance of a laid circuit, voltage at every appliance, length left
// before a limit, and the standby battery.
//
// Everything is in SI units: metres, ohms, amperes, volts, degrees Celsius,
// unless a name says otherwise. Lengths are one-way cable; the factor two for
// the pair is applied here and nowhere else.
//
// # Models and sources
//
//   - Resistance per metre, AWG: the value of NEC Chapter 9 Table 8 at 75 C, moved
//     by 1 + 0.00323 (t - 75) as its note 2 says. 22 and 20 AWG, which the table
//     lacks, solid uncoated only: 0.017241 ohm mm2/m over the nominal area,
//     0.00393/K (ASTM B258, NBS Handbook 100, IEC 60287-1-1).
//   - The same, mm2: the maximum of IEC 60228:2004 at 20 C, times (230 + t)/250.
//   - Loop, class B: for each branch end 2 x length x rate + the series resistance
//     of every device passed, the end device included; the worst end is named. The
//     manuals of listed control units measure it so: short one end, meter at the
//     panel. Class A and X: 2 x the whole loop with its return x rate + all series;
//     short the return terminals, meter the outgoing ones (common practice, no source).
//   - Capacitance: per metre x all cable of all branches (manual of a listed control unit).
//   - Voltage: constant current. Point to point decides (each leg carries what lies
//     beyond it), lumped stands beside it, as in the worksheets of listed manuals.
//     Class A and X: fed from the start only and from the return only; after one
//     open no load is worse off than in the worse of the two.
//   - Battery: (standby A x h + alarm A x min / 60) x 1.20 up to the edition of 2019,
//     x 1.25 from 2022 (NFPA 72 10.6.7); the next published size.
//
// Every resistance carries a [Basis]: table, coating and temperature. Published
// length tables for the same ohm limit differ by 15 to 23 % because one rests on
// copper at 20 C and another on copper at 75 C, so a number without its basis
// cannot be checked.
//
// What is not known is NaN and comes back as Blank: nothing is then proved. A
// limit that was not given is not judged, which is not a pass. A device's series
// resistance stands on the side it is fed from, so its own voltage includes it.
//
// testdata/reference holds the published figures with the source of each row;
// TestAgainstCollection fails for a row that no check uses or sets aside for a
// reason. TestAgainstCircuitSimulator gives random circuits to ngspice.
//
// The results are an aid. The adopted code, the equipment's listing and the
// authority having jurisdiction govern.
package wire
