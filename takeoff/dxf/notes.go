package dxf

import (
	"fmt"

	"loopwright/takeoff/dxf/tags"
)

// note counts one kind of trouble with the inserts of one block.
type note struct {
	code, name string
	count      int
	offset     int
	handle     tags.Handle
	pos        Vec3
}

// notebook gathers notes in order of first appearance: a drawing with a thousand
// inserts of a missing block has one thing wrong, not a thousand.
type notebook struct {
	list []note
	find map[[2]string]int
}

func (n *notebook) note(code, name string, r *rawInsert, pos Vec3) {
	n.merge(note{code, name, 1, r.offset, r.handle, pos})
}

func (n *notebook) merge(m note) {
	k := [2]string{m.code, m.name}
	if i, ok := n.find[k]; ok {
		n.list[i].count += m.count
		return
	}
	if n.find == nil {
		n.find = map[[2]string]int{}
	}
	n.find[k] = len(n.list)
	n.list = append(n.list, m)
}

func mergeNotes(d *Drawing, books []notebook) []Finding {
	var all notebook
	for k := range books {
		for _, m := range books[k].list {
			all.merge(m)
		}
	}
	var out []Finding
	for i, m := range all.list {
		if i == maxListed*4 {
			break
		}
		out = append(out, m.finding(d))
	}
	return out
}

func (m note) finding(d *Drawing) Finding {
	f := newFinding(d.Source, m.code, m.offset, m.handle, "%s", m.message(d))
	f.X, f.Y, f.HasPlace = m.pos.X, m.pos.Y, true
	return f
}

func (m note) message(d *Drawing) string {
	n := "once"
	if m.count > 1 {
		n = fmt.Sprintf("%d times", m.count)
	}
	switch m.code {
	case codeMissingBlock:
		return fmt.Sprintf("block %q is inserted %s but not defined in this file", m.name, n)
	case codeXref:
		path := ""
		if b, ok := d.Block(m.name); ok {
			path = b.xrefTo
		}
		return fmt.Sprintf("external reference %q (file %q), inserted %s, is not part of this file", m.name, path, n)
	case codeZeroScale:
		return fmt.Sprintf("block %q is inserted %s with an x or y scale of zero", m.name, n)
	case codeClip:
		return fmt.Sprintf("block %q is inserted %s with a clip boundary; anything outside it counts as hidden", m.name, n)
	case codeAnonymous:
		return fmt.Sprintf("anonymous blocks whose source block cannot be found are inserted %s", n)
	case codeNoName:
		return fmt.Sprintf("an insert without a block name occurs %s", n)
	case codeTooDeep:
		return fmt.Sprintf("block %q is nested deeper than %d levels; its contents are left out (%s)", m.name, maxDepth, n)
	case codeBadNumber:
		return fmt.Sprintf("%q cannot be placed and is left out (%s): its tags are damaged, or a number is invalid or too large", m.name, n)
	}
	return m.name
}
