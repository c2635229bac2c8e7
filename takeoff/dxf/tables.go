package dxf

import (
	"bytes"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// readHeader collects the variables of the HEADER section. DXF reference, HEADER
// section: group 9 names a variable, the tags up to the next 9 are its value.
func readHeader(d *Drawing) {
	d.Header = map[string][]tags.Tag{}
	for _, s := range d.Sections {
		if s.Name != "HEADER" {
			continue
		}
		name := ""
		for sc := d.Scanner(s.Start, s.Body); ; {
			t, ok := sc.Next()
			if !ok {
				break
			}
			switch {
			case t.Code == 9:
				name = string(bytes.ToUpper(bytes.TrimSpace(d.Raw(t))))
				d.Header[name] = nil
			case name != "":
				d.Header[name] = append(d.Header[name], t)
			}
		}
	}
	if d.UnknownCodePage() {
		d.add(CodeCodePage, -1, 0, "code page %q is not known; texts are read as Windows 1252", d.CodePage)
	}
}

// headerInt returns a whole-number variable.
func headerInt(d *Drawing, name string) (int, bool) {
	if tags := d.Header[name]; len(tags) > 0 {
		n, ok := d.Int(tags[0])
		return int(n), ok
	}
	return 0, false
}

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
	if n, ok := headerInt(d, "$MEASUREMENT"); ok {
		u.Measurement = n
	}
	if n, ok := headerInt(d, "$LUNITS"); ok {
		u.LUnits = n
	}
	if n, ok := headerInt(d, "$INSUNITS"); ok && n > 0 && n < len(UnitNames) {
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

// readTables finds the symbol tables and reads layers and block records.
func readTables(d *Drawing) {
	d.layerByKey, d.recByKey, d.recByHand = map[string]*Layer{}, map[string]*BlockRecord{}, map[tags.Handle]*BlockRecord{}
	x := &d.idx
	for _, s := range d.Sections {
		if s.Name != "TABLES" {
			continue
		}
		open := false
		for i := s.first; i < s.last; i++ {
			switch x.Kind(i) {
			case tags.Table:
				if open {
					closeTable(d, i, false, true)
				}
				open = true
				name := ""
				if t, ok := d.tagIn(i, 2); ok {
					name = strings.ToUpper(strings.TrimSpace(d.Text(t)))
				}
				d.Tables = append(d.Tables, Table{Name: name, Handle: d.handleOf(i), Start: x.Start(i), first: i + 1})
			case tags.EndTab:
				if open {
					closeTable(d, i, true, true)
				}
				open = false
			}
		}
		if open {
			closeTable(d, s.last, false, s.Closed)
		}
	}
	for _, t := range d.Tables {
		for i := t.first; i < t.last; i++ {
			switch {
			case t.Name == "LAYER" && x.Kind(i) == tags.Layer:
				d.Layers = append(d.Layers, readLayer(d, i))
			case t.Name == "BLOCK_RECORD" && x.Kind(i) == tags.BlockRecord:
				d.BlockRecords = append(d.BlockRecords, readBlockRecord(d, i))
			}
		}
	}
	for i := range d.Layers {
		if l := &d.Layers[i]; d.layerByKey[key(l.Name)] == nil {
			d.layerByKey[key(l.Name)] = l
		}
	}
	for i := range d.BlockRecords {
		r := &d.BlockRecords[i]
		if d.recByKey[key(r.Name)] == nil {
			d.recByKey[key(r.Name)] = r
		}
		if r.Handle != 0 && d.recByHand[r.Handle] == nil {
			d.recByHand[r.Handle] = r
		}
	}
}

// closeTable ends the table that is open before record i. Where its section is not
// whole either, that has been reported.
func closeTable(d *Drawing, i int, closed, whole bool) {
	t := &d.Tables[len(d.Tables)-1]
	t.last, t.Closed, t.EndTab = i, closed, d.idx.End
	if i < d.idx.Len() {
		t.EndTab = d.idx.Start(i)
	}
	if !closed && whole {
		d.add(CodeSection, t.Start, t.Handle, "table %s is not closed by ENDTAB: part of it may be missing", t.Name)
	}
}

// readLayer reads a layer. DXF reference, LAYER (tables).
func readLayer(d *Drawing, i int) Layer {
	l := Layer{Handle: d.handleOf(i), Start: d.idx.Start(i), Color: 7}
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok || t.Code >= 1000 {
			return l
		}
		switch t.Code {
		case 2:
			l.Name = d.Text(t)
		case 70:
			n, _ := d.Int(t)
			l.Frozen, l.Locked = n&1 != 0, n&4 != 0
		case 62:
			n, _ := d.Int(t)
			l.Off, l.Color = n < 0, int(max(n, -n))
		}
	}
}

// readBlockRecord reads a block record with its extended data: the block that it
// represents (AcDbBlockRepBTag) and its units before R2007 (DesignCenter Data).
func readBlockRecord(d *Drawing, i int) BlockRecord {
	r := BlockRecord{Handle: d.handleOf(i), Start: d.idx.Start(i)}
	app, inDesign, words := "", false, 0
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok {
			return r
		}
		switch t.Code {
		case 2:
			r.Name = d.Text(t)
		case 70:
			n, ok := d.Int(t)
			r.Units, r.HasUnits = int(n), ok
		case 340:
			h, _ := d.Handle(t)
			r.Layout = tags.Handle(h)
		case 1001:
			app, inDesign = d.Text(t), false
		case 1000:
			inDesign, words = app == "ACAD" && d.Text(t) == "DesignCenter Data", 0
		case 1005:
			if strings.EqualFold(app, "AcDbBlockRepBTag") && r.RepOf == 0 {
				h, _ := d.Handle(t)
				r.RepOf = tags.Handle(h)
			}
		case 1070:
			if words++; inDesign && words == 2 && !r.HasUnits {
				n, ok := d.Int(t)
				r.Units, r.HasUnits = int(n), ok
			}
		}
	}
}
