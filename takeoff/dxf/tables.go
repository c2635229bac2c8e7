package dxf

import (
	"bytes"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// readHeader collects the variables of the HEADER section. DXF reference, HEADER
// section: group 9 names a variable, the tags up to the next 9 are its value.
func readHeader(d *Drawing) {
	d.header = map[string][]tags.Tag{}
	for _, s := range d.sections {
		if s.name != "HEADER" {
			continue
		}
		name := ""
		for sc := d.Scanner(s.start, s.body); ; {
			t, ok := sc.Next()
			if !ok {
				break
			}
			switch {
			case t.Code == 9:
				name = string(bytes.ToUpper(bytes.TrimSpace(d.Raw(t))))
				d.header[name] = nil
			case name != "":
				d.header[name] = append(d.header[name], t)
			}
		}
	}
	if d.UnknownCodePage() {
		d.add(codeCodePage, -1, 0, "unknown code page %q; text is read as Windows-1252", d.CodePage)
	}
}

// headerInt returns a whole-number variable.
func headerInt(d *Drawing, name string) (int, bool) {
	if tags := d.header[name]; len(tags) > 0 {
		n, ok := d.Int(tags[0])
		return int(n), ok
	}
	return 0, false
}

// Units is what a drawing says about its units.
type Units struct {
	Name string // "in", "ft", "mm" ..., "" if not known; see unitNames
	From string // "header" ($INSUNITS), "assumed" ($LUNITS 3 or 4 means inches), "unknown"
}

// unitNames are the names of $INSUNITS values (DXF reference, HEADER), by value.
var unitNames = [...]string{"", "in", "ft", "mi", "mm", "cm", "m", "km", "uin", "mil", "yd", "angstrom", "nm", "um",
	"dm", "dam", "hm", "Gm", "au", "ly", "pc", "us-ft", "us-in", "us-yd", "us-mi"}

// Units reads the units of the drawing. Blocks may have units of their own; CAD
// programs have applied those to the scales of the inserts already, so they
// must not be applied again.
func (d *Drawing) Units() Units {
	if n, ok := headerInt(d, "$INSUNITS"); ok && n > 0 && n < len(unitNames) {
		return Units{unitNames[n], "header"}
	}
	// Engineering (3) and architectural (4) display count feet and inches: one unit
	// is an inch by definition (DXF reference, HEADER, $LUNITS).
	if n, ok := headerInt(d, "$LUNITS"); ok && (n == 3 || n == 4) {
		return Units{"in", "assumed"}
	}
	return Units{From: "unknown"}
}

// readTables finds the symbol tables and reads layers and block records.
func readTables(d *Drawing) {
	d.layerByKey, d.recByKey, d.recByHand = map[string]*Layer{}, map[string]*blockRecord{}, map[tags.Handle]*blockRecord{}
	x := &d.idx
	for _, s := range d.sections {
		if s.name != "TABLES" {
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
				d.tables = append(d.tables, table{name: name, handle: d.handleOf(i), start: x.Start(i), first: i + 1})
			case tags.EndTab:
				if open {
					closeTable(d, i, true, true)
				}
				open = false
			}
		}
		if open {
			closeTable(d, s.last, false, s.closed)
		}
	}
	for _, t := range d.tables {
		for i := t.first; i < t.last; i++ {
			switch {
			case t.name == "LAYER" && x.Kind(i) == tags.Layer:
				d.Layers = append(d.Layers, readLayer(d, i))
			case t.name == "BLOCK_RECORD" && x.Kind(i) == tags.BlockRecord:
				d.blockRecords = append(d.blockRecords, readBlockRecord(d, i))
			}
		}
	}
	for i := range d.Layers {
		if l := &d.Layers[i]; d.layerByKey[key(l.Name)] == nil {
			d.layerByKey[key(l.Name)] = l
		}
	}
	for i := range d.blockRecords {
		r := &d.blockRecords[i]
		if d.recByKey[key(r.name)] == nil {
			d.recByKey[key(r.name)] = r
		}
		if r.handle != 0 && d.recByHand[r.handle] == nil {
			d.recByHand[r.handle] = r
		}
	}
}

// closeTable ends the table that is open before record i. Where its section is not
// whole either, that has been reported.
func closeTable(d *Drawing, i int, closed, whole bool) {
	t := &d.tables[len(d.tables)-1]
	t.last = i
	if !closed && whole {
		d.add(codeSection, t.start, t.handle, "table %s has no ENDTAB: part of it may be missing", t.name)
	}
}

// readLayer reads a layer. DXF reference, LAYER (tables).
func readLayer(d *Drawing, i int) Layer {
	var l Layer
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
			l.Off = n < 0
		}
	}
}

// readBlockRecord reads a block record with its extended data: the block that it
// represents (AcDbBlockRepBTag).
func readBlockRecord(d *Drawing, i int) blockRecord {
	r := blockRecord{handle: d.handleOf(i)}
	app := ""
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok {
			return r
		}
		switch t.Code {
		case 2:
			r.name = d.Text(t)
		case 1001:
			app = d.Text(t)
		case 1005:
			if strings.EqualFold(app, "AcDbBlockRepBTag") && r.repOf == 0 {
				h, _ := d.Handle(t)
				r.repOf = tags.Handle(h)
			}
		}
	}
}
