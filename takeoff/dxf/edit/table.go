package edit

import (
	"fmt"
	"slices"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// lineweights are the values of group code 370 (DXF reference, LAYER).
var lineweights = []int{-3, 0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211}

// nameLayers picks the names under which the layers are written. A layer of
// that name that is not ours is never reused: it may be off, frozen or somebody
// else's to change.
func nameLayers(ed *editor) error {
	adoptable := keptNames(ed.kept, "LAYER")
	seen, taken := map[string]bool{}, map[string]bool{}
	for _, l := range ed.a.Layers {
		if err := checkName(l.Name); err != nil {
			return err
		}
		switch {
		case seen[foldName(l.Name)]:
			return fmt.Errorf("the addition has two layers %q", l.Name)
		case l.Color < 1 || l.Color > 255:
			return fmt.Errorf("layer %q: color %d is not 1 to 255", l.Name, l.Color)
		case !slices.Contains(lineweights, l.Lineweight):
			return fmt.Errorf("layer %q: %d is not one of the format's lineweights", l.Name, l.Lineweight)
		}
		seen[foldName(l.Name)] = true
		el := editLayer{Layer: l}
		el.as, el.adopted = freeName(ed, l.Name, ed.o.layers, foldNames(ed.o.usedLayers), adoptable, taken)
		taken[foldName(el.as)] = true
		ed.layers = append(ed.layers, el)
		ed.out.Layers[l.Name] = el.as
	}
	return nil
}

func nameStyle(ed *editor) error {
	for _, e := range ed.a.Entities {
		switch e.(type) {
		case Text, *Text:
			ed.style.needed = true
		}
	}
	if !ed.style.needed {
		return nil
	}
	ed.style.as, ed.style.adopted = freeName(ed, styleName, ed.o.styles, foldNames(ed.o.usedStyles), keptNames(ed.kept, "STYLE"), nil)
	return nil
}

// freeName returns name, or name-2, name-3 ... where somebody else has it or
// refers to it, and the record to adopt where it was ours before.
func freeName(ed *editor, name string, in map[string]namedRecord, used map[string]bool, adoptable []string, taken map[string]bool) (string, *namedRecord) {
	if ed.o.rel < relR2000 {
		name = strings.ToUpper(name)
	}
	as := name
	for n := 2; ; n++ {
		rec, exists := in[foldName(as)]
		switch {
		case taken[foldName(as)]:
		case !exists && !used[foldName(as)]:
			return as, nil
		case !exists: // what refers to it would come to life
		case slices.Contains(adoptable, foldName(as)):
			return as, &rec
		}
		suffix := fmt.Sprintf("-%d", n)
		as = name[:min(len(name), 31-len(suffix))] + suffix
	}
}

func foldNames(names map[string]bool) map[string]bool {
	m := make(map[string]bool, len(names))
	for n := range names {
		m[foldName(n)] = true
	}
	return m
}

// checkName holds names to what every release accepts: R12 allows 31 letters,
// digits, $, - and _.
func checkName(name string) error {
	bad := strings.ContainsFunc(name, func(r rune) bool {
		return !(r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || strings.ContainsRune("$-_", r))
	})
	if name == "" || len(name) > 31 || bad || name == "0" {
		return fmt.Errorf("layer name %q: use 1 to 31 letters, digits, $, - and _, and not 0", name)
	}
	return nil
}

// writeTables writes the APPID, STYLE and LAYER records before the end of their
// tables, and the tables that the drawing lacks.
func writeTables(ed *editor, notes []string) []splice {
	records := map[string][]byte{}
	counts := map[string]int{"APPID": 1}
	var splices []splice
	e := newEmitter(ed.o.src, ed.o.rel)
	flush := func(table string) {
		records[table] = append(records[table], e.buf...)
		e.buf = nil
	}
	writeAppID(ed, e)
	flush("APPID")
	if s := ed.style; s.needed && s.adopted == nil {
		writeStyle(ed, e)
		flush("STYLE")
		counts["STYLE"]++
	} else if s.needed {
		e.mark(kindStyle, s.adopted.handle, 0)
		splices = append(splices, splice{s.adopted.end, s.adopted.end, e.buf})
		e.buf = nil
	}
	for i, l := range ed.layers {
		var n []string
		if i == 0 {
			n = notes
		}
		if l.adopted != nil {
			e.mark(kindLayer, l.adopted.handle, 0, n...)
			splices = append(splices, splice{l.adopted.end, l.adopted.end, e.buf})
			e.buf = nil
			continue
		}
		writeLayer(ed, e, l, n)
		flush("LAYER")
		counts["LAYER"]++
	}
	for _, table := range []string{"LAYER", "STYLE", "APPID"} {
		if t := ed.o.tables[table]; t != nil {
			splices = append(splices, splice{t.endtab, t.endtab, records[table]})
		}
	}
	return append(splices, writeMissing(ed, e, records, counts)...)
}

// writeMissing writes whole tables, and the TABLES section around them.
func writeMissing(ed *editor, e *emitter, records map[string][]byte, counts map[string]int) []splice {
	section := false
	for _, table := range ed.made {
		if table == "TABLES" {
			section = true
			continue
		}
		e.raw(0, "TABLE")
		e.raw(2, table)
		e.int(70, counts[table])
		e.buf = append(e.buf, records[table]...)
		e.raw(0, "ENDTAB")
	}
	if !section {
		if len(e.buf) == 0 {
			return nil
		}
		return []splice{{ed.o.tablesEnd, ed.o.tablesEnd, e.buf}}
	}
	body := e.buf
	e.buf = nil
	e.raw(0, "SECTION")
	e.raw(2, "TABLES")
	e.buf = append(e.buf, body...)
	e.raw(0, "ENDSEC")
	return []splice{{ed.o.firstBody, ed.o.firstBody, e.buf}}
}

// beginRecord writes the head of a table record.
func beginRecord(ed *editor, e *emitter, typ, class string, h tags.Handle) {
	e.raw(0, typ)
	if !ed.o.rel.owned() {
		return
	}
	e.handle(5, h)
	e.handle(330, ed.o.TableOwner(typ))
	e.raw(100, "AcDbSymbolTableRecord")
	e.raw(100, class)
}

func writeAppID(ed *editor, e *emitter) {
	beginRecord(ed, e, "APPID", "AcDbRegAppTableRecord", tags.Handle(ed.o.max)+1)
	e.raw(2, AppID)
	e.int(70, 0)
}

func writeStyle(ed *editor, e *emitter) {
	beginRecord(ed, e, "STYLE", "AcDbTextStyleTableRecord", ed.style.handle)
	e.str(2, ed.style.as)
	e.int(70, 0)
	e.float(40, 0) // no fixed height: every text has its own
	e.float(41, 1)
	e.float(50, 0)
	e.int(71, 0)
	e.float(42, 2.5)
	e.str(3, styleFont)
	e.str(4, "")
	e.mark(kindStyle, ed.style.handle, 0)
}

// writeLayer writes a LAYER. Linetype, plot style, material and visual style
// are those of layer 0, as stored there: right for drawings with named plot
// styles and without, and nothing is invented.
func writeLayer(ed *editor, e *emitter, l editLayer, notes []string) {
	look := ed.o.layer0
	beginRecord(ed, e, "LAYER", "AcDbLayerTableRecord", l.handle)
	e.str(2, l.as)
	e.int(70, 0)
	e.int(62, l.Color)
	if look.hasLinetype {
		e.raw(6, look.linetype)
	} else {
		e.raw(6, "CONTINUOUS")
	}
	if ed.o.rel >= relR2000 {
		weight := l.Lineweight
		if weight == 0 {
			weight = -3
		}
		e.int(370, weight)
		if look.hasPlot {
			e.raw(390, look.plot)
		}
		if look.hasMaterial && ed.o.rel >= relR2007 {
			e.raw(347, look.material)
		}
		if look.hasVisual && ed.o.rel >= relR2013 {
			e.raw(348, look.visual)
		}
	}
	e.mark(kindLayer, l.handle, 0, notes...)
}

// keptNames are the names of table records that were ours before.
func keptNames(kept []mark, typ string) []string {
	var names []string
	for _, m := range kept {
		if m.typ == typ {
			names = append(names, foldName(m.name))
		}
	}
	slices.Sort(names)
	return names
}
