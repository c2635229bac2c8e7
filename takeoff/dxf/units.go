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
