package verify

import (
	"strconv"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// layouts are the tags of every record that an edit may add, in order, after
// the published DXF reference. A word is a group code with
//
//	@  from R13 on only        %  from R2000 on only
//	#  where the drawing has handles
//	?  may be left out         *  any number of times (after a bracket)
//	>  its number is above 0   z  its number is 0   =V  its value is V
//
// X stands for our extended data.
var layouts = func() map[string][]layoutItem {
	const table = "@5 @330 @100=AcDbSymbolTableRecord "
	const entity = "#5 @330 @100=AcDbEntity 8 "
	m := map[string][]layoutItem{}
	for typ, words := range map[string]string{
		"APPID":      table + "@100=AcDbRegAppTableRecord 2=LOOPWRIGHT 70z",
		"STYLE":      table + "@100=AcDbTextStyleTableRecord 2 70z 40z 41> 50z 71z 42> 3 4 X",
		"LAYER":      table + "@100=AcDbLayerTableRecord 2 70z 62> 6 %370 %390? %347? %348? X",
		"TEXT":       entity + "@100=AcDbText 10 20 30z 40> 1 50? 7 ( 72 11 21 31z )? @100=AcDbText X",
		"LINE":       entity + "@100=AcDbLine 10 20 30z 11 21 31z X",
		"CIRCLE":     entity + "@100=AcDbCircle 10 20 30z 40> X",
		"SOLID":      entity + "@100=AcDbTrace 10 20 30z 11 21 31z 12 22 32z 13 23 33z X",
		"LWPOLYLINE": entity + "@100=AcDbPolyline 90> 70 43 10 20 42? ( 10 20 42? )* X",
		"POLYLINE":   entity + "@100=AcDb2dPolyline 66=1 10z 20z 30z 70 40 41 X",
		"VERTEX":     entity + "@100=AcDbVertex @100=AcDb2dVertex 10 20 30z 42? X",
		"SEQEND":     entity + "X",
	} {
		m[typ] = parseLayout(strings.ReplaceAll(words, "X", "1001=LOOPWRIGHT 1000 #1005? #1005? ( 1000 )*"))
	}
	return m
}()

// layoutItem is one word of a layout, or a bracket.
type layoutItem struct {
	group    []layoutItem
	code     int
	value    string // wanted, "" for any
	cond     byte   // @, %, # or 0
	num      byte   // >, z or 0
	optional bool
	repeat   bool
}

func parseLayout(words string) []layoutItem {
	items, _ := parseItems(strings.Fields(words))
	return items
}

func parseItems(words []string) (items []layoutItem, rest []string) {
	for len(words) > 0 {
		w := words[0]
		words = words[1:]
		switch {
		case w == "(":
			var group []layoutItem
			group, words = parseItems(words)
			end := words[0] // ")?" or ")*"
			words = words[1:]
			items = append(items, layoutItem{group: group, optional: true, repeat: end == ")*"})
		case w[0] == ')':
			return items, append([]string{w}, words...)
		default:
			items = append(items, parseItem(w))
		}
	}
	return items, nil
}

func parseItem(w string) layoutItem {
	var it layoutItem
	if strings.ContainsRune("@%#", rune(w[0])) {
		it.cond, w = w[0], w[1:]
	}
	w, it.value, _ = strings.Cut(w, "=")
	if s, ok := strings.CutSuffix(w, "?"); ok {
		w, it.optional = s, true
	}
	if last := w[len(w)-1]; last == '>' || last == 'z' {
		it.num, w = last, w[:len(w)-1]
	}
	it.code, _ = strconv.Atoi(w)
	return it
}

// applies reports whether the word counts in this drawing.
func applies(c *checker, it *layoutItem) bool {
	switch it.cond {
	case '@':
		return c.outline.Owned()
	case '%':
		return c.src.Version >= "AC1015"
	case '#':
		return c.handles
	}
	return true
}

// matchLayout holds tags against items and returns how many matched. miss is
// the item that was wanted where the tags went another way.
func matchLayout(c *checker, ts []tags.Tag, items []layoutItem) (n int, miss *layoutItem) {
	for i := range items {
		it := &items[i]
		if !applies(c, it) {
			continue
		}
		if it.group != nil {
			for {
				k, m := matchLayout(c, ts[n:], it.group)
				if m != nil {
					if k > 0 { // begun and not finished
						return n + k, m
					}
					break
				}
				n += k
				if !it.repeat || k == 0 {
					break
				}
			}
			continue
		}
		if n < len(ts) && ts[n].Code == it.code && (it.value == "" || valueIs(c, ts[n], it.value)) {
			checkNumber(c, ts[n], it.num)
			n++
			continue
		}
		if !it.optional {
			return n, it
		}
	}
	return n, nil
}

func valueIs(c *checker, t tags.Tag, want string) bool {
	if c.src.Binary { // numbers have to be written out
		return c.src.Text(t) == want
	}
	return c.src.Word(t) == want
}
