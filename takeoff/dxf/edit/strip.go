package edit

import (
	"fmt"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// Strip removes what Edit put into a drawing and restores what it changed. A
// drawing that was not saved by another program in between comes back byte for
// byte. Records are known by their extended data, so Strip also works after a
// CAD program has saved the drawing. Copies that a person made are removed like
// the originals, since they would show stale text; layers and styles that
// somebody else's entities use stay and lose their extended data only.
func Strip(name string, b []byte) ([]byte, error) {
	o, err := ReadOutline(tags.NewSource(name, b))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	bare, _ := strip(o)
	return bare, nil
}

// Stripped is Strip of a drawing that has been read.
func Stripped(o *Outline) []byte {
	bare, _ := strip(o)
	return bare
}

// strip returns the drawing without anything of ours, and the layers and text
// styles of ours that it now uses for something else.
func strip(o *Outline) (bare []byte, kept []mark) {
	if !o.HasOurs() {
		return o.src.Bytes, nil
	}
	used := findUses(o)
	var cuts []splice
	removed := map[*tableSpan]int{}
	for i, m := range o.marks {
		switch {
		case m.typ == "ATTRIB" && m.hasValue && m.kind == kindAttrib:
			cuts = append(cuts, restoreAttrib(m)...)
		case !m.removable():
			cuts = append(cuts, m.dropXData()...)
		case used[i]:
			kept = append(kept, m)
			cuts = append(cuts, m.dropXData()...)
		default:
			cuts = append(cuts, splice{start: m.start, end: m.end})
			removed[m.table]++
		}
	}
	if app, ok := o.appids[AppID]; ok {
		cuts = append(cuts, splice{start: app.start, end: app.end})
		removed[app.table]++
	}
	cuts = append(cuts, unmake(o, removed)...)
	cuts = append(cuts, restoreSeed(o)...)
	return applySplices(o.src.Bytes, cuts), kept
}

// unmake removes the tables, and the section, that we had to make, unless
// something else lives in them now.
func unmake(o *Outline, removed map[*tableSpan]int) []splice {
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
func restoreSeed(o *Outline) []splice {
	if !o.hasSeed {
		return nil
	}
	start, end := trimmedSpan(o.src.Bytes, o.seed)
	for i := range o.marks {
		m := &o.marks[i]
		raised, _ := m.note(noteRaised)
		old, ok := m.note(noteSeed)
		if ok && m.section == "TABLES" && raised == string(o.src.Bytes[start:end]) {
			return []splice{{start: start, end: end, text: []byte(old)}}
		}
	}
	return nil
}

// trimmedSpan is the span of a value without the blanks around it.
func trimmedSpan(b []byte, t tags.Tag) (start, end int) {
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
func restoreAttrib(m mark) []splice {
	cuts := m.dropXData()
	if old, ok := m.note(noteWas); ok && m.hasValue {
		cuts = append(cuts, splice{start: m.value.ValStart, end: m.value.ValEnd, text: []byte(old)})
	}
	return cuts
}

// nameUse finds the records of ours that a name means. Drawings repeat few
// names very often, so what a value means is looked up once.
type nameUse struct {
	byName map[string]int // folded name -> index into marks
	seen   map[string]int // value as stored -> the same, or -1
}

func (n *nameUse) find(src *tags.Source, t tags.Tag) int {
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

// findUses says which layers and text styles of ours, as indices into the
// marks, something outside our records refers to by name or handle. In a drawing
// that nobody else has touched there are none.
func findUses(o *Outline) map[int]bool {
	used := map[int]bool{}
	names := map[int]*nameUse{7: {byName: map[string]int{}}, 8: {byName: map[string]int{}}}
	handles := map[tags.Handle]int{}
	for i, m := range o.marks {
		if m.section != "TABLES" || !m.removable() {
			continue
		}
		if m.handle != 0 {
			handles[m.handle] = i
		}
		switch m.typ {
		case "LAYER":
			names[8].byName[foldName(m.name)] = i
		case "STYLE":
			names[7].byName[foldName(m.name)] = i
		}
	}
	sc := o.src.Scanner(o.src.Body, len(o.src.Bytes))
	next := 0
	for {
		t, ok := sc.Next()
		if !ok {
			return used
		}
		for next < len(o.marks) && t.Start >= o.marks[next].end {
			next++
		}
		inside := next < len(o.marks) && t.Start >= o.marks[next].start && o.marks[next].removable()
		if inside || t.Code == 0 {
			continue
		}
		if i := useOf(o.src, t, names, handles); i >= 0 {
			used[i] = true
		}
	}
}

// useOf is the record of ours that a tag refers to, -1 for none.
func useOf(src *tags.Source, t tags.Tag, names map[int]*nameUse, handles map[tags.Handle]int) int {
	switch {
	case t.Code == 7 || t.Code == 8 || t.Code == 1003:
		return names[min(t.Code, 8)].find(src, t) // 1003 is a layer name in extended data
	case tags.RefersByHandle(t.Code):
		if h, ok := src.Handle(t); ok && h != 0 {
			if i, ok := handles[tags.Handle(h)]; ok {
				return i
			}
		}
	}
	return -1
}
