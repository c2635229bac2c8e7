package drafting

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
)

// attributesOf tells which marks go into an attribute of their symbol: those
// whose symbol is one insert of model space, has the attribute once, and
// carries no other label.
func attributesOf(d *dxf.Drawing, s *sheet) map[int]bool {
	if s.attribute == "" {
		return nil
	}
	ins, _, err := d.Inserts(dxf.Options{})
	if err != nil {
		return nil // reported already: the scene has been read from the same inserts
	}
	has, inserts := map[string]int{}, map[string]int{}
	for i := range ins {
		if len(ins[i].Path) > 0 {
			continue
		}
		h := ins[i].Handle.String()
		inserts[h]++
		for _, a := range ins[i].Attribs {
			if !a.Constant && strings.EqualFold(a.Tag, s.attribute) {
				has[h]++
			}
		}
	}
	marks := map[string]int{}
	for _, m := range s.marks {
		marks[m.handle]++
	}
	into := map[int]bool{}
	for i, m := range s.marks {
		if m.handle != "" && !m.nested && m.text != "" && has[m.handle] == 1 && inserts[m.handle] == 1 && marks[m.handle] == 1 {
			into[i] = true
		}
	}
	return into
}

func attributeFindings(s *sheet, e *edit.Result) []takeoff.Finding {
	byHandle := map[string]mark{}
	for _, m := range s.marks {
		byHandle[m.handle] = m
	}
	var fs []takeoff.Finding
	for _, c := range e.Attribs {
		h := c.InsertHandle.String()
		m := byHandle[h]
		fs = append(fs, takeoff.Finding{Code: codeAttribute, Severity: takeoff.Note, Drawing: s.drawing, Handle: h, At: m.at, Placed: true,
			Message: fmt.Sprintf("attribute %s of %s changed from %q to %q", c.Tag, m.id, c.Old, c.Value)})
	}
	return fs
}
