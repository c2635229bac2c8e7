package rooms

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Label is a room's number and name as found on a drawing.
type Label struct {
	Number, Name string
	At           geom.Point // drawing units
	Handle       string
}

// Text is number and name as one text, e.g. "103 READING ROOM".
func (n Label) Text() string { return strings.Trim(n.Number+" "+n.Name, " ") }

// How attributes, layers and blocks of room tags are named.
var (
	numberTags = regexp.MustCompile(`^(ROOM|RM|R|SPACE|SP|RAUM)?(NO|NUM|NUMBER|NR|NUMMER|ID|#)$|^(ROOM|RM|SPACE|RAUM)$`)
	nameTags   = regexp.MustCompile(`^(ROOM|RM|R|SPACE|SP|RAUM)?(NAME|TITLE|DESC|DESCRIPTION)[1-4]?$`)
	roomTags   = regexp.MustCompile(`^(ROOM|RM|SPACE|RAUM)`)
	tagRest    = regexp.MustCompile(`[^A-Z0-9#]`)
)

// tagName reads a room tag: an insert whose attributes give number or name.
func tagName(in *dxf.Insert) (Label, bool) {
	n := Label{At: plan.At(in.Pos), Handle: in.Handle.String()}
	strong := words.IsRoomPlace(in.Effective) || words.IsRoomPlace(in.EffLayer)
	var names []string
	for _, a := range in.Attribs {
		tag := tagRest.ReplaceAllString(strings.ToUpper(a.Tag), "")
		value := strings.Join(strings.Fields(a.Value), " ")
		switch {
		case value == "":
			continue
		case numberTags.MatchString(tag) && n.Number == "":
			n.Number = value
		case nameTags.MatchString(tag):
			names = append(names, value)
		default:
			continue
		}
		strong = strong || roomTags.MatchString(tag)
	}
	n.Name = strings.Join(names, " ")
	ok := n.Number != "" && n.Name != "" || strong && (n.Number != "" || n.Name != "")
	return n, ok && len(in.Attribs) <= 12 && words.Letters(n.Name+n.Number) < 60
}

// piece is a text that may be a room's number, its name, or both.
type piece struct {
	Label
	box    geom.Box
	height float64
	strong bool // on a layer for rooms
	turn   float64
}

// Labels finds the room names in the part of a drawing that keep admits.
func Labels(p *plan.Page, keep func(geom.Point) bool, isDevice func(*dxf.Insert) bool) []Label {
	var out []Label
	for i := range p.Inserts {
		in := &p.Inserts[i]
		if in.Paper || !in.Visible || len(in.Attribs) == 0 || !keep(plan.At(in.Pos)) || isDevice(in) {
			continue
		}
		if n, ok := tagName(in); ok {
			out = append(out, n)
		}
	}
	pieces, strong := pieces(p, keep)
	if strong { // the drawing has layers for rooms: texts elsewhere do not name rooms
		pieces = slices.DeleteFunc(pieces, func(q piece) bool { return !q.strong })
	}
	for _, q := range pairPieces(pieces) {
		// Without a layer for rooms, or a number beside it, a name must sound like a room's.
		if q.Name != "" && (q.strong || q.Number != "" || words.NamesRoom(q.Name)) || q.strong && q.Number != "" {
			if q.strong || q.Number == "" || words.NamesRoom(q.Name) || words.IsLongNumber(q.Number) {
				out = append(out, q.Label)
			}
		}
	}
	return out
}

// pieces lists the texts that may belong to room names, and whether some
// stand on layers for rooms.
func pieces(p *plan.Page, keep func(geom.Point) bool) (out []piece, strong bool) {
	place := words.Remembered(words.IsRoomPlace)
	for i := range p.Texts {
		t := &p.Texts[i]
		b := plan.TextBox(t)
		if t.Paper || !t.Visible || !keep(b.Center()) {
			continue
		}
		number, name := words.Room(t.Text)
		if number == "" && name == "" {
			continue
		}
		room := place(t.EffLayer)
		strong = strong || room && name != ""
		out = append(out, piece{Label{number, name, b.Center(), t.Handle.String()}, b, t.Height, room, t.Rotation})
	}
	return out, strong
}

// pairPieces puts lines of names together that stand under each other, and
// numbers with the names that they stand beside.
func pairPieces(ps []piece) []piece {
	slices.SortStableFunc(ps, func(a, b piece) int {
		return cmp.Or(cmp.Compare(b.At.Y, a.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	used := make([]bool, len(ps))
	var out []piece
	for i := range ps {
		if used[i] {
			continue
		}
		used[i] = true
		p := ps[i]
		for j := i + 1; j < len(ps) && p.box.Min.Y-ps[j].box.Max.Y < 2.5*p.height; j++ {
			if used[j] || !belongs(p, ps[j]) {
				continue
			}
			used[j] = true
			p = joined(p, ps[j])
		}
		out = append(out, p)
	}
	return out
}

// belongs reports whether q is the next line of p: close below it or beside it
// in height, over the same middle or edge, and not a second number.
func belongs(p, q piece) bool {
	h := max(p.height, q.height)
	if p.Number != "" && q.Number != "" || p.turn != q.turn || p.strong != q.strong || p.Number != "" && p.Name != "" && q.Name != "" {
		return false
	}
	if q.height > 1.6*p.height || p.height > 1.6*q.height {
		return false
	}
	gap := p.box.Min.Y - q.box.Max.Y
	if gap > 1.6*h || gap < -0.6*h {
		return false
	}
	c, d := p.box.Center(), q.box.Center()
	return math.Abs(c.X-d.X) < 1.2*h || math.Abs(p.box.Min.X-q.box.Min.X) < 0.8*h || q.Name == "" && d.X > p.box.Min.X && d.X < p.box.Max.X || p.Name == "" && c.X > q.box.Min.X && c.X < q.box.Max.X
}

func joined(p, q piece) piece {
	if p.Number == "" {
		p.Number = q.Number
	}
	if q.Name != "" {
		p.Name = strings.TrimSpace(p.Name + " " + q.Name)
	}
	p.box = p.box.Union(q.box)
	p.At = p.box.Center()
	return p
}
