package rooms

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/words"
)

// Label is a room's number and name as found on a drawing.
type Label struct {
	Number, Name string
	Sheet        int        // of those that were looked at
	At           geom.Point // drawing units
	Pos          geom.Point // metres, building's frame: where the label stands, or its leader points
	Handle       string
}

// Text is number and name as one text, e.g. "103 READING ROOM".
func (n Label) Text() string { return strings.Trim(n.Number+" "+n.Name, " ") }

// piece is a text, or an insert with attributes, that may be a room's number, its name, or both.
type piece struct {
	number, name string
	at           geom.Point // drawing units
	box          geom.Box   // drawing units, in the frame in which the lettering runs to the right
	turn         float64
	height       float64
	style        style
	strong       bool // its layer or block is named for rooms
	handle       string
}

// style is what the labels of one drawing share.
type style struct {
	layer  string
	block  string // effective name; "" for texts
	height int    // of the lettering in steps of a tenth
	number bool   // labels of a room's number, with or without a name: furniture may be lettered like them
}

func styleOf(layer, block string, height float64) style {
	s := style{layer: layer, block: block}
	if block == "" && height > 0 {
		s.height = int(math.Round(10 * math.Log(height)))
	}
	return s
}

// group is a label as it may be: pieces that stand together.
type group struct {
	Label
	style  style
	strong bool
	known  bool     // a word says that it names a room
	box    geom.Box // drawing units, in the frame of its turn
	turn   float64
	height float64
	to     *geom.Point // metres: where a leader leads
	legend bool        // a legend seems to stand there
}

// named says whether layers and blocks are named for rooms.
func named(name string) bool {
	return words.IsRoomPlace(name) || words.NamesRoom(words.Unbound(name), nil)
}

// groups lists what may be labels of rooms on a sheet.
func groups(s *Sheet, index int, languages []string) []group {
	ps := append(tagPieces(s), textPieces(s)...)
	var out []group
	for _, members := range together(ps) {
		g := group{Label: Label{Sheet: index}, turn: ps[members[0]].turn, box: geom.EmptyBox()}
		slices.SortStableFunc(members, func(a, b int) int {
			return cmp.Or(cmp.Compare(ps[b].box.Center().Y, ps[a].box.Center().Y), cmp.Compare(ps[a].box.Min.X, ps[b].box.Min.X))
		})
		for _, i := range members {
			p := ps[i]
			g.box = g.box.Union(p.box)
			g.strong = g.strong || p.strong
			if p.number != "" {
				g.Number = p.number
			}
			if g.Handle == "" || p.name != "" && g.Name == "" {
				g.Handle, g.style, g.height = p.handle, p.style, p.height
			}
			g.Name = strings.TrimSpace(g.Name + " " + p.name)
		}
		g.style.number = g.Number != ""
		g.At = g.box.Center().Turn(g.turn)
		if len(members) == 1 {
			g.At = ps[members[0]].at
		}
		g.Pos, g.legend = s.ToBuilding.Apply(g.At), s.Legend(g.At)
		g.known = words.NamesRoom(g.Name, languages) && !words.NamesDevice(g.Name)
		out = append(out, g)
	}
	return out
}

// tagPieces reads inserts whose attributes give number or name.
func tagPieces(s *Sheet) []piece {
	named := words.Remembered(named)
	var out []piece
	for i := range s.Page.Inserts {
		in := &s.Page.Inserts[i]
		at := plan.At(in.Pos)
		if in.Paper || !in.Visible || len(in.Attribs) == 0 || len(in.Attribs) > 12 || !s.Keep(at) || s.Device(in) {
			continue
		}
		p := piece{at: at, box: geom.BoxOf(at), handle: in.Handle.String(), style: styleOf(in.EffLayer, in.Effective, 0)}
		p.strong = named(in.Effective) || named(in.EffLayer)
		var names, others []string
		for _, a := range in.Attribs {
			number, name := words.RoomValue(a.Tag, a.Value)
			switch {
			case number != "" && p.number == "":
				p.number = number
			case name != "":
				names = append(names, name)
			default:
				others = append(others, a.Value)
				continue
			}
			p.strong = p.strong || words.IsRoomTag(a.Tag)
		}
		p.name = strings.Join(names, " ")
		if p.number == "" && p.name == "" { // keys that say nothing: the values may
			p.number, p.name = words.Room(strings.Join(others, "\n"))
		}
		if p.number+p.name != "" && words.Letters(p.number+p.name) < 60 {
			out = append(out, p)
		}
	}
	return out
}

// textPieces reads the texts.
func textPieces(s *Sheet) []piece {
	named := words.Remembered(named)
	var out []piece
	for i := range s.Page.Texts {
		t := &s.Page.Texts[i]
		b := plan.TextBox(t)
		if t.Paper || !t.Visible || !s.Keep(b.Center()) || s.Taken[plan.At(t.Pos)] || s.Inside(t.Path) {
			continue
		}
		number, name := words.Room(t.Text)
		if number == "" && name == "" {
			continue
		}
		turn := math.Mod(math.Round(t.Rotation), 360)
		box := geom.EmptyBox()
		for _, v := range plan.TextCorners(t) {
			box = box.Extend(plan.At(v).Turn(-turn))
		}
		out = append(out, piece{number: number, name: name, at: b.Center(), box: box, turn: turn, height: t.Height,
			style: styleOf(t.EffLayer, "", t.Height), strong: named(t.EffLayer), handle: t.Handle.String()})
	}
	return out
}

// pair is two pieces that may stand together, the upper or left one first, and how far they are apart in heights.
type pair struct {
	a, b int
	gap  float64
}

// together joins lines of names that stand under each other, and numbers with
// the names that they stand beside. Pieces of two styles belong together where that is the habit of the drawing.
func together(ps []piece) [][]int {
	trees := map[float64]*rtree.RTreeG[int]{}
	count := map[style]int{}
	for i, p := range ps {
		count[p.style]++
		if p.style.block != "" {
			continue
		}
		if trees[p.turn] == nil {
			trees[p.turn] = &rtree.RTreeG[int]{}
		}
		trees[p.turn].Insert([2]float64{p.box.Min.X, p.box.Min.Y}, [2]float64{p.box.Max.X, p.box.Max.Y}, i)
	}
	var pairs []pair
	shared := map[[2]style]int{}
	for i, p := range ps {
		if p.style.block != "" {
			continue
		}
		near(trees[p.turn], p.box.Grow(2.5*p.height), func(j int) {
			if gap, ok := belongs(p, ps[j]); ok && i != j {
				pairs = append(pairs, pair{i, j, gap})
				shared[[2]style{p.style, ps[j].style}]++
			}
		})
	}
	slices.SortStableFunc(pairs, func(x, y pair) int { return cmp.Compare(x.gap, y.gap) })
	of := make([]int, len(ps)) // group of each
	members := make([][]int, len(ps))
	for i := range ps {
		of[i], members[i] = i, []int{i}
	}
	for _, x := range pairs {
		a, b := of[x.a], of[x.b]
		sa, sb := ps[x.a].style, ps[x.b].style
		if a == b || sa != sb && 2*shared[[2]style{sa, sb}] < min(count[sa], count[sb]) {
			continue
		}
		numbers, both := 0, 0
		for _, i := range slices.Concat(members[a], members[b]) {
			if ps[i].number != "" {
				numbers++
				if ps[i].name != "" {
					both++
				}
			}
		}
		if numbers > 1 || both > 0 && (ps[x.a].number == "" || ps[x.a].name == "") && sa != sb {
			continue
		}
		for _, i := range members[b] {
			of[i] = a
		}
		members[a] = append(members[a], members[b]...)
		members[b] = nil
	}
	return slices.DeleteFunc(members, func(m []int) bool { return len(m) == 0 })
}

// belongs reports whether q is the next line of p: close below it, over the same middle or
// edge, or number and name side by side; and how far off it is in heights.
func belongs(p, q piece) (float64, bool) {
	h := max(p.height, q.height)
	if h > 2*min(p.height, q.height) || p.number != "" && q.number != "" || p.strong != q.strong || p.number != "" && p.name != "" && p.style != q.style {
		return 0, false
	}
	c, d := p.box.Center(), q.box.Center()
	apart := p.number != "" && p.name == "" && q.number == "" || q.number != "" && q.name == "" && p.number == "" // one is the number, the other the name
	if p.style != q.style && !apart {
		return 0, false
	}
	if gap := q.box.Min.X - p.box.Max.X; apart && math.Abs(c.Y-d.Y) < 0.5*h && gap > -0.5*h && gap < 2.5*h {
		return max(gap, 0) / h, true
	}
	gap := p.box.Min.Y - q.box.Max.Y
	if gap > 1.6*h || gap < -0.6*h {
		return 0, false
	}
	aligned := math.Abs(c.X-d.X) < 1.2*h || math.Abs(p.box.Min.X-q.box.Min.X) < 0.8*h || math.Abs(p.box.Max.X-q.box.Max.X) < 0.8*h ||
		q.name == "" && d.X > p.box.Min.X && d.X < p.box.Max.X || p.name == "" && c.X > q.box.Min.X && c.X < q.box.Max.X
	return math.Abs(gap) / h, aligned
}

// languages votes on the languages of the sheets.
func languages(sheets []Sheet) []string {
	var texts []string
	seen := map[string]bool{}
	for i := range sheets {
		for k := range sheets[i].Page.Texts {
			if t := sheets[i].Page.Texts[k].Text; !seen[t] && len(t) < 200 {
				seen[t] = true
				texts = append(texts, t)
			}
		}
	}
	return words.Usual().Languages(texts)
}
