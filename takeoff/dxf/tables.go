package dxf

import (
	"bytes"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// readHeader collects the variables of the HEADER section. DXF reference, HEADER
// section: group 9 names a variable, the tags up to the next 9 are its value.
func (d *Drawing) readHeader() {
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
func (d *Drawing) headerInt(name string) (int, bool) {
	if tags := d.Header[name]; len(tags) > 0 {
		n, ok := d.Int(tags[0])
		return int(n), ok
	}
	return 0, false
}

// readTables finds the symbol tables and reads layers and block records.
func (d *Drawing) readTables() {
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
					d.closeTable(i, false, true)
				}
				open = true
				name := ""
				if t, ok := d.tagIn(i, 2); ok {
					name = strings.ToUpper(strings.TrimSpace(d.Text(t)))
				}
				d.Tables = append(d.Tables, Table{Name: name, Handle: d.handleOf(i), Start: x.Start(i), first: i + 1})
			case tags.EndTab:
				if open {
					d.closeTable(i, true, true)
				}
				open = false
			}
		}
		if open {
			d.closeTable(s.last, false, s.Closed)
		}
	}
	for _, t := range d.Tables {
		for i := t.first; i < t.last; i++ {
			switch {
			case t.Name == "LAYER" && x.Kind(i) == tags.Layer:
				d.Layers = append(d.Layers, d.readLayer(i))
			case t.Name == "BLOCK_RECORD" && x.Kind(i) == tags.BlockRecord:
				d.BlockRecords = append(d.BlockRecords, d.readBlockRecord(i))
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
func (d *Drawing) closeTable(i int, closed, whole bool) {
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
func (d *Drawing) readLayer(i int) Layer {
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

// BlockRecord is an entry of the block record table (R13 and later).
type BlockRecord struct {
	Name     string
	Handle   tags.Handle
	Units    int // of the block, as $INSUNITS; the CAD program has applied them to the inserts already
	HasUnits bool
	Layout   tags.Handle // 340, of layouts
	RepOf    tags.Handle // block record that an anonymous block stands for, 0 if it does not say
	Start    int
}

// readBlockRecord reads a block record with its extended data: the block that it
// represents (AcDbBlockRepBTag) and its units before R2007 (DesignCenter Data).
func (d *Drawing) readBlockRecord(i int) BlockRecord {
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
