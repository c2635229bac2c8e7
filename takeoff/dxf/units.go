package dxf

// Units is what a drawing says about its units.
type Units struct {
	InsUnits    int    // $INSUNITS, 0 if absent or "none"
	Name        string // "in", "ft", "mm" ..., "" if not known; see UnitNames
	LUnits      int    // $LUNITS: 1 scientific, 2 decimal, 3 engineering, 4 architectural, 5 fractional; 0 absent
	Measurement int    // $MEASUREMENT: 0 imperial, 1 metric; -1 absent
	From        string // "header" ($INSUNITS), "assumed" ($LUNITS 3 or 4 means inches), "unknown"
}

// UnitNames are the names of $INSUNITS values (DXF reference, HEADER), by value.
var UnitNames = [...]string{"", "in", "ft", "mi", "mm", "cm", "m", "km", "uin", "mil", "yd", "angstrom", "nm", "um",
	"dm", "dam", "hm", "Gm", "au", "ly", "pc", "us-ft", "us-in", "us-yd", "us-mi"}

// MetresPerUnit gives the length of each unit of UnitNames in metres: the
// international inch of 25.4 mm, the US survey foot of 1200/3937 m (NIST SP 811,
// appendix B), the astronomical units of the IAU.
var MetresPerUnit = [...]float64{0, 0.0254, 0.3048, 1609.344, 1e-3, 1e-2, 1, 1e3, 2.54e-8, 2.54e-5, 0.9144, 1e-10, 1e-9, 1e-6,
	0.1, 10, 100, 1e9, 149597870700, 9460730472580800, 3.0856775814913673e16,
	1200.0 / 3937, 100.0 / 3937, 3600.0 / 3937, 5280 * 1200.0 / 3937}

// Units reads the units of the drawing. Blocks may have units of their own
// (Block.Units); CAD programs have applied those to the scales of the inserts
// already, so nobody may apply them again.
func (d *Drawing) Units() Units {
	u := Units{Measurement: -1, From: "unknown"}
	if n, ok := d.headerInt("$MEASUREMENT"); ok {
		u.Measurement = n
	}
	if n, ok := d.headerInt("$LUNITS"); ok {
		u.LUnits = n
	}
	if n, ok := d.headerInt("$INSUNITS"); ok && n > 0 && n < len(UnitNames) {
		u.InsUnits, u.Name, u.From = n, UnitNames[n], "header"
		return u
	}
	// Engineering and architectural display count feet and inches: one unit is an
	// inch by definition (DXF reference, HEADER, $LUNITS).
	if u.LUnits == 3 || u.LUnits == 4 {
		u.Name, u.From = "in", "assumed"
	}
	return u
}
