package dxf

import (
	"fmt"
	"strings"
)

// Stripped is a drawing without anything of ours, and what was found on the way.
type Stripped struct {
	Bytes   []byte
	Removed []Mark   // in file order; Copy tells those that a person copied
	Kept    []Mark   // layers and text styles of ours that the drawing now uses for something else
	Notes   []string // references to removed records that stay behind
}

// Strip removes what WithAddition put into a drawing and restores what it
// changed. A drawing that was not saved by another program in between comes
// back byte for byte.
func Strip(name string, b []byte) ([]byte, error) {
	s, err := StripAll(name, b)
	if err != nil {
		return nil, err
	}
	return s.Bytes, nil
}

// StripAll is Strip with an account of it. Records are known by their extended
// data, so it also works after a CAD program has saved the drawing. Copies that
// a person made are removed like the originals, since they would show stale
// text; layers and styles that somebody else's entities use stay and lose their
// extended data only.
func StripAll(name string, b []byte) (*Stripped, error) {
	src := sourceOf(name, b)
	o, err := readOutline(src, nil)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return o.strip(), nil
}

func sourceOf(name string, b []byte) *Source {
	s := &Source{Name: name, Bytes: b}
	s.sniff()
	return s
}

// hasOurs reports whether there is anything to strip.
func (o *outline) hasOurs() bool {
	_, app := o.appids[AppID]
	return app || len(o.marks) > 0
}

func (o *outline) strip() *Stripped {
	out := &Stripped{Bytes: o.src.Bytes}
	if !o.hasOurs() {
		return out
	}
	uses := findUses(o)
	out.Notes = uses.notes
	var cuts []splice
	removed := map[*tableSpan]int{}
	for i, m := range o.marks {
		switch {
		case m.Type == "ATTRIB" && m.hasValue && m.Kind == kindAttrib:
			out.Removed = append(out.Removed, m)
			cuts = append(cuts, restoreAttrib(m)...)
		case !m.removable():
			out.Notes = append(out.Notes, fmt.Sprintf("a %s in section %s carries our extended data; they are removed, it stays", m.Type, m.Section))
			cuts = append(cuts, m.dropXData()...)
		case uses.kept[i]:
			out.Kept = append(out.Kept, m)
			cuts = append(cuts, m.dropXData()...)
		default:
			out.Removed = append(out.Removed, m)
			cuts = append(cuts, splice{start: m.start, end: m.end})
			removed[m.table]++
		}
	}
	if app, ok := o.appids[AppID]; ok {
		cuts = append(cuts, splice{start: app.start, end: app.end})
		removed[app.table]++
	}
	cuts = append(cuts, o.unmake(removed)...)
	cuts = append(cuts, o.restoreSeed()...)
	out.Bytes = applySplices(o.src.Bytes, cuts)
	return out
}

// unmake removes the tables, and the section, that we had to make, unless
// something else lives in them now.
func (o *outline) unmake(removed map[*tableSpan]int) []splice {
	made := map[string]bool{}
	for i := range o.marks {
		for _, n := range o.marks[i].notes {
			if v, ok := strings.CutPrefix(n, noteMade); ok {
				made[v] = true
			}
		}
	}
	var cuts []splice
	emptied := 0
	for _, t := range o.allTables {
		if made[t.name] && t == o.tables[t.name] && t.endtab >= 0 && removed[t] == t.records {
			cuts = append(cuts, splice{start: t.start, end: t.end})
			emptied++
		}
	}
	if made["TABLES"] && emptied == len(o.allTables) && o.tablesEnd >= 0 {
		cuts = append(cuts, splice{start: o.tablesSpan[0], end: o.tablesSpan[1]})
	}
	return cuts
}

// restoreSeed puts the old $HANDSEED back where the value is still ours. A
// program that saved the drawing has set its own, which must stay.
func (o *outline) restoreSeed() []splice {
	if !o.hasSeed {
		return nil
	}
	start, end := trimmedSpan(o.src.Bytes, o.seed)
	for i := range o.marks {
		m := &o.marks[i]
		raised, _ := m.note(noteRaised)
		old, ok := m.note(noteSeed)
		if ok && m.Section == "TABLES" && raised == string(o.src.Bytes[start:end]) {
			return []splice{{start: start, end: end, text: []byte(old)}}
		}
	}
	return nil
}

// trimmedSpan is the span of a value without the blanks around it.
func trimmedSpan(b []byte, t Tag) (start, end int) {
	start, end = t.ValStart, t.ValEnd
	for start < end && (b[start] == ' ' || b[start] == '\t') {
		start++
	}
	for end > start && (b[end-1] == ' ' || b[end-1] == '\t') {
		end--
	}
	return start, end
}

// restoreAttrib puts the value back that an ATTRIB had and removes our
// extended data.
func restoreAttrib(m Mark) []splice {
	cuts := m.dropXData()
	if old, ok := m.note(noteWas); ok && m.hasValue {
		cuts = append(cuts, splice{start: m.value.ValStart, end: m.value.ValEnd, text: []byte(old)})
	}
	return cuts
}

// removable reports whether a record is of a kind that we write, so that it can
// go as a whole. Anything else that carries our extended data is not ours.
func (m Mark) removable() bool {
	switch m.Section {
	case "TABLES":
		return m.table != nil && (m.Type == "LAYER" || m.Type == "STYLE") && m.Type == m.table.name
	case "ENTITIES", "BLOCKS":
		switch m.Type {
		case "TEXT", "MTEXT", "LINE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND", "CIRCLE", "ARC", "SOLID":
			return true
		}
	}
	return false
}

// dropXData removes our extended data from a record.
func (m Mark) dropXData() []splice {
	var cuts []splice
	for _, x := range m.xdata {
		cuts = append(cuts, splice{start: x[0], end: x[1]})
	}
	return cuts
}

// uses tells which records of ours other parts of the drawing lean on.
type uses struct {
	kept  map[int]bool // index into marks
	notes []string
}

// nameUse finds the records of ours that a name means. Drawings repeat few
// names very often, so what a value means is looked up once.
type nameUse struct {
	byName map[string]int // folded name -> index into marks
	seen   map[string]int // value as stored -> the same, or -1
}

func (n *nameUse) find(src *Source, t Tag) int {
	if len(n.byName) == 0 {
		return -1
	}
	raw := src.Raw(t)
	if i, ok := n.seen[string(raw)]; ok {
		return i
	}
	i, ok := n.byName[foldName(src.Text(t))]
	if !ok {
		i = -1
	}
	if n.seen == nil {
		n.seen = map[string]int{}
	}
	n.seen[string(raw)] = i
	return i
}

// findUses looks for names and handles of our records outside of them. In a
// drawing that nobody else has touched there are none.
func findUses(o *outline) uses {
	u := uses{kept: map[int]bool{}}
	names := map[int]*nameUse{7: {byName: map[string]int{}}, 8: {byName: map[string]int{}}}
	handles := map[Handle]int{}
	for i, m := range o.marks {
		if !m.removable() {
			continue
		}
		if m.Handle != 0 {
			handles[m.Handle] = i
		}
		if m.Section != "TABLES" {
			continue
		}
		switch m.Type {
		case "LAYER":
			names[8].byName[foldName(m.Name)] = i
		case "STYLE":
			names[7].byName[foldName(m.Name)] = i
		}
	}
	sc := o.src.Scanner(o.src.Body, len(o.src.Bytes))
	next := 0
	for {
		t, ok := sc.Next()
		if !ok {
			return u
		}
		for next < len(o.marks) && t.Start >= o.marks[next].end {
			next++
		}
		inside := next < len(o.marks) && t.Start >= o.marks[next].start && o.marks[next].removable()
		if inside || t.Code == 0 {
			continue
		}
		u.look(o, t, names, handles)
	}
}

func (u *uses) look(o *outline, t Tag, names map[int]*nameUse, handles map[Handle]int) {
	switch {
	case t.Code == 7 || t.Code == 8 || t.Code == 1003:
		code := min(t.Code, 8) // 1003 is a layer name in extended data
		if i := names[code].find(o.src, t); i >= 0 {
			u.kept[i] = true
		}
	case refersByHandle(t.Code):
		h, ok := o.src.Handle(t)
		if !ok || h == 0 {
			return
		}
		i, ok := handles[Handle(h)]
		if !ok {
			return
		}
		if o.marks[i].Section == "TABLES" {
			u.kept[i] = true
		} else if len(u.notes) < 100 {
			u.notes = append(u.notes, fmt.Sprintf("byte %d refers to the removed %s %s", t.Start, o.marks[i].Type, o.marks[i].Handle))
		}
	}
}
