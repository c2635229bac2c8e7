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
	if s.Attribute == "" {
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
			if !a.Constant && strings.EqualFold(a.Tag, s.Attribute) {
				has[h]++
			}
		}
	}
	marks := map[string]int{}
	for _, m := range s.Marks {
		marks[m.Handle]++
	}
	into := map[int]bool{}
	for i, m := range s.Marks {
		if m.Handle != "" && !m.Nested && m.Text != "" && has[m.Handle] == 1 && inserts[m.Handle] == 1 && marks[m.Handle] == 1 {
			into[i] = true
		}
	}
	return into
}

func attributeFindings(s *sheet, e *edit.Result) []takeoff.Finding {
	byHandle := map[string]mark{}
	for _, m := range s.Marks {
		byHandle[m.Handle] = m
	}
	var fs []takeoff.Finding
	for _, c := range e.Attribs {
		h := c.InsertHandle.String()
		m := byHandle[h]
		fs = append(fs, takeoff.Finding{Code: codeAttribute, Severity: takeoff.Note, Drawing: s.Drawing, Handle: h, At: m.At, Placed: true,
			Message: fmt.Sprintf("attribute %s of %s changed from %q to %q", c.Tag, m.ID, c.Old, c.Value)})
	}
	return fs
}
