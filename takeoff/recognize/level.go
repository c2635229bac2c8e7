package recognize

import (
	"cmp"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Level is what a plan is called and where it stands among the others.
type Level struct {
	Name  string
	Order float64 // lowest first; unknown ones after the others
	Why   string
	sheet bool // one of several sheets of its level
}

const unknownOrder = 1000.0

// titleReach is how far in h above or below a plan its title stands.
const titleReach = 40.0

// ownReach is the same in heights of the title, where the lettering of the symbols is much smaller.
const ownReach = 16.0

// title is a text that may name a level.
type title struct {
	text   string
	box    geom.Box
	height float64
	level  bool // it names one by words
	attrib bool
}

// name gives each plan its level: by the title above or below it, else by a title
// block, else by the name of its file.
func (r *Result) name(rd *reader) {
	for i, p := range r.Pages {
		var own []int
		for k := range r.Plans {
			if r.Plans[k].Page == i {
				own = append(own, k)
			}
		}
		r.nameOn(rd, i, p, own)
	}
	r.nameByFile()
	for i := range r.Plans {
		pl := &r.Plans[i]
		if pl.Title != "" {
			name, sheet := withoutSheet(pl.Title)
			pl.sheet = sheet
			pl.Name, pl.Order = rd.levelOf(name)
		}
	}
	r.part()
}

// part gives plans that share a name and are not sheets of one level names of their own.
func (r *Result) part() {
	seen := map[string]int{}
	for i := range r.Plans {
		pl := &r.Plans[i]
		if pl.Name == "" {
			pl.Name, pl.Order, pl.Why = "Plan "+strconv.Itoa(i+1), unknownOrder+float64(i), "no title was found"
		}
		k := strings.ToLower(pl.Name)
		if j, ok := seen[k]; ok && !(r.Plans[j].sheet && pl.sheet) && r.Plans[j].Page == pl.Page {
			pl.Name += " (" + strconv.Itoa(i+1) + ")"
		} else if !ok {
			seen[k] = i
		}
	}
}

// nameOn finds the titles of the plans of one page.
func (r *Result) nameOn(rd *reader, page int, p *Page, plans []int) {
	h := p.H[0]
	if h == 0 || len(plans) == 0 {
		return
	}
	turn := p.turn
	listed := p.listed()
	var ts []title
	for i := range p.lines {
		l := &p.lines[i]
		if l.paper || l.of > 2 || len([]rune(l.text)) > 70 || l.height < 0.9*h {
			continue
		}
		b := framed(l.box, -l.turn)
		if r.inLegend(page, false, b.Center()) || strings.IndexFunc(l.text, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) }) < 0 {
			continue
		}
		inside := slices.ContainsFunc(plans, func(k int) bool { return r.Plans[k].own.Contains(b.Center().Turn(-turn)) })
		if inside {
			continue
		}
		kind := rd.titleKind(l.text, l.height >= 1.4*h)
		if listed[l] && (kind == "name" || 2*letters(rd.levelPart(l.text)) < letters(l.text)) || kind == "name" && r.onPages(l.text) > 1 || numbered(l.text) && letters(l.text) == 0 { // the job's name; a room's number
			continue
		}
		if kind == "none" || rd.device(l.text).Concept != "" && (kind != "level" || len([]rune(l.text)) > 6) { // "2.EM" is no module
			continue
		}
		ts = append(ts, title{l.text, b, l.height, kind == "level", l.index < 0})
	}
	// Numbers alone are titles where one stands for itself: those of a grid are many.
	plain := 0
	for _, t := range ts {
		if letters(t.text) == 0 {
			plain++
		}
	}
	if plain > len(plans) {
		ts = slices.DeleteFunc(ts, func(t title) bool { return letters(t.text) == 0 })
	}
	// One title beside each plan: the largest lettering, and what names a level by words before what does not.
	for _, k := range plans {
		pl := &r.Plans[k]
		best, score := -1, math.Inf(-1)
		for i, t := range ts {
			gap := min(beside(pl.Box, t.box), beside(pl.own, framed(t.box, turn)))
			if gap > max(titleReach*h, ownReach*t.height) || (!t.level || letters(t.text) == 0) && t.height < 1.25*h {
				continue
			}
			s := 2*t.height/h - gap/(10*h)
			if t.level {
				s += 4
			}
			if slices.ContainsFunc(plans, func(j int) bool {
				return j != k && apart(r.Plans[j].own, framed(t.box, turn)) < apart(pl.own, framed(t.box, turn))
			}) {
				s -= 6
			}
			if s > score {
				best, score = i, s
			}
		}
		if best >= 0 {
			pl.Title, pl.Why = ts[best].text, "its title reads "+strconv.Quote(ts[best].text)
		}
	}
	if len(plans) == 1 && r.Plans[plans[0]].Title == "" {
		r.titleOnPaper(rd, p, &r.Plans[plans[0]])
	}
	// A title block, where nothing stands beside the plan.
	if len(plans) == 1 && r.Plans[plans[0]].Title == "" {
		best := -1
		for i, t := range ts {
			if t.level && (best < 0 || t.height > ts[best].height || t.attrib && !ts[best].attrib) {
				best = i
			}
		}
		if best >= 0 {
			pl := &r.Plans[plans[0]]
			pl.Title, pl.Why = ts[best].text, "the title block reads "+strconv.Quote(ts[best].text)
		}
	}
}

// titleOnPaper takes the largest lettering of paper space that names a level for the title of the only plan.
func (r *Result) titleOnPaper(rd *reader, p *Page, pl *Plan) {
	best := 0.0
	for i := range p.lines {
		l := &p.lines[i]
		if l.paper && l.of <= 2 && len([]rune(l.text)) <= 70 && l.height > best && l.height >= p.H[1] && rd.titleKind(l.text, true) == "level" && rd.device(l.text).Concept == "" {
			best = l.height
			pl.Title, pl.Why = l.text, "the layout reads "+strconv.Quote(l.text)
		}
	}
}

// listed are the lines that stand among others of their size under each other: notes and tables, no titles.
func (p *Page) listed() map[*line]bool {
	out := map[*line]bool{}
	for _, c := range p.columns() {
		if len(c.lines) < 4 || c.pitch > 4*c.lines[0].height {
			continue
		}
		for _, l := range c.lines {
			if l.height < 1.2*c.lines[len(c.lines)/2].height {
				out[l] = true
			}
		}
	}
	return out
}

// beside is how far a text stands from a plan above, below or beside it; infinite off its corners.
func beside(plan, text geom.Box) float64 {
	up := max(plan.Min.Y-text.Max.Y, text.Min.Y-plan.Max.Y, 0)
	along := max(plan.Min.X-text.Max.X, text.Min.X-plan.Max.X, 0)
	if up > 0 && along > 0 {
		return math.Inf(1)
	}
	return max(up, along)
}

// onPages is on how many pages a text stands as it is.
func (r *Result) onPages(text string) int {
	n := 0
	for _, p := range r.Pages {
		if slices.ContainsFunc(p.lines, func(l line) bool { return l.text == text }) {
			n++
		}
	}
	return n
}

// titleKind tells whether a text names a level, may be a name all the same, or is something else.
func (rd *reader) titleKind(text string, large bool) string {
	rs := rd.v.Read(text, rd.languages, "level", "title", "status", "legend", "scale", "room")
	level, other := false, false
	for _, d := range rs {
		switch g := d.Concept.Group(); {
		case g == "level" && (d.Evidence != words.Abbreviated || 2*d.Letters >= letters(text)):
			level = true
		case d.Concept == "title.plan":
		case g == "title" || g == "status" || g == "legend" || g == "scale" && len([]rune(text)) > 2:
			other = true
		case g == "room" && !level && !large && d.Letters >= letters(text)-1 && d.Evidence <= words.Inflected:
			other = true
		}
	}
	if name, order := rd.levelOf(text); order < unknownOrder && (len([]rune(text)) <= 6 || name != text && letters(name) > 0) {
		level = true
	}
	switch {
	case other:
		return "none"
	case level:
		return "level"
	case letters(text) < 3:
		return "none"
	}
	return "name"
}

func letters(s string) int {
	n := 0
	for _, r := range s {
		if unicode.IsLetter(r) {
			n++
			if r > 0x2e80 {
				n++
			}
		}
	}
	return n
}

// withoutSheet takes the number of a sheet off a title: "... 1/2".
func withoutSheet(s string) (string, bool) {
	f := strings.Fields(s)
	if len(f) > 1 {
		a, b, ok := strings.Cut(strings.Trim(f[len(f)-1], "()"), "/")
		_, err1 := strconv.Atoi(a)
		_, err2 := strconv.Atoi(b)
		if ok && err1 == nil && err2 == nil {
			return strings.Join(f[:len(f)-1], " "), true
		}
	}
	return s, false
}

// nameByFile names plans without a title after their files.
func (r *Result) nameByFile() {
	for i := range r.Plans {
		if pl := &r.Plans[i]; pl.Title == "" {
			pl.Level = r.fileLevel(pl.Page)
			if pl.Order >= unknownOrder {
				pl.Order += float64(i)
			}
			if !pl.Only {
				pl.Name = ""
			}
		}
	}
}

// fileLevel is the level that the name of a page's file tells.
func (r *Result) fileLevel(page int) Level {
	var bases []string
	for _, p := range r.Pages {
		bases = append(bases, strings.TrimSuffix(filepath.Base(p.Name), filepath.Ext(p.Name)))
	}
	base := bases[page]
	for _, s := range slices.Backward(apartFrom(base, bases)) {
		if name, order := r.words.levelOf(s); order < unknownOrder {
			return Level{Name: name, Order: order, Why: "read from the name of its file"}
		}
	}
	return Level{Name: base, Order: unknownOrder, Why: "named after its file: no title was found"}
}

// apartFrom lists the parts of a file's name, cut at signs that join words; those that all files share are left out
// where there are several.
func apartFrom(base string, bases []string) []string {
	cutUp := func(s string) []string {
		return strings.FieldsFunc(s, func(c rune) bool { return c == '-' || c == '_' || c == ' ' || c == '(' || c == ')' })
	}
	var out []string
	own := cutUp(base)
	for _, w := range own {
		shared := len(bases) > 1
		for _, b := range bases {
			shared = shared && slices.Contains(cutUp(b), w)
		}
		if !shared {
			out = append(out, w)
		}
	}
	// "-1" and "+1": the sign is part of the name.
	for _, sign := range []string{"-", "+"} {
		if i := strings.LastIndex(base, sign+sign); i >= 0 {
			out = append(out, base[i+1:])
		}
	}
	return append(out, strings.Join(own, " "))
}

// levelOf is a level's name without the words that every title has, and its order; unknownOrder where nothing tells it.
func (rd *reader) levelOf(text string) (string, float64) {
	text = strings.Join(strings.Fields(text), " ")
	order := rd.orderOf(text)
	if order == unknownOrder || len([]rune(text)) <= 6 {
		return text, order
	}
	var names []string
	for part := range strings.SplitSeq(text, " / ") { // in two languages
		if n := rd.levelPart(part); n != "" {
			names = append(names, n)
		}
	}
	if len(names) == 0 {
		return text, order
	}
	name := strings.Join(names, " / ")
	if name == strings.ToUpper(name) && strings.IndexFunc(name, func(c rune) bool { return c > 0x7f }) < 0 && len(name) > 4 {
		f := strings.Fields(strings.ToLower(name))
		for i, w := range f {
			f[i] = strings.ToUpper(w[:1]) + w[1:]
		}
		name = strings.Join(f, " ")
	}
	return name, order
}

// speaks reports whether words of a language count for what needs no second sign:
// the drawing speaks it, or it is English.
func (rd *reader) speaks(language string) bool {
	return language == "en" || slices.Contains(rd.languages, language)
}

// levelPart is the part of a title that names the level, with the number beside it.
func (rd *reader) levelPart(text string) string {
	from, to, best := 0, 0, 0
	rs := slices.DeleteFunc(rd.v.Read(text, rd.languages, "level", "ordinal"), func(d words.Reading) bool {
		return d.Evidence == words.Abbreviated && d.Letters < 3 || !rd.speaks(d.Language)
	})
	for _, d := range rs { // a name of a level, else a word for levels with a number beside it
		a, b, ok := d.In(text)
		if !ok {
			return text
		}
		score := 1
		switch {
		case d.Concept.Group() == "ordinal":
			score = 0
		case d.Concept != "level.word":
			score = 3
		case besideNumber(text, a, b):
			score = 2
		}
		if score > best {
			from, to, best = a, b, score
		}
	}
	if best == 0 {
		return ""
	}
	for _, d := range rs {
		if a, b, ok := d.In(text); ok && d.Concept.Group() == "ordinal" && a <= to+2 && b >= from-2 {
			from, to = min(from, a), max(to, b)
		}
	}
	// A number before or after, with what joins it.
	before, after := text[:numberEnd(text[:from])], strings.TrimLeftFunc(text[to:], joins)
	if n := len(before) - len(strings.TrimRightFunc(before, unicode.IsDigit)); n > 0 && n <= 2 {
		from = len(before) - n
	} else if n := len(after) - len(strings.TrimLeftFunc(after, unicode.IsDigit)); n > 0 && n <= 2 {
		to = len(text) - len(after) + n
	}
	if rest := text[to:]; strings.HasPrefix(rest, "ª") || strings.HasPrefix(rest, "º") { // PLANTA 1ª
		to += len("ª")
	} else if strings.HasPrefix(rest, ".") && strings.ContainsFunc(text[from:to], unicode.IsLetter) && to > from && unicode.IsLetter([]rune(text[from:to])[len([]rune(text[from:to]))-1]) { // an abbreviation
		to++
	}
	return text[from:to]
}

// joins tells the signs that stand between a word for levels and its number.
func joins(c rune) bool {
	return c == ' ' || c == '.' || c == '-' || c == '#' || c == '°' || c == 'º' || c == 'ª'
}

// numberEnd is where a text without what joins it to a word ends, and without the ending
// of a number: 1st, 2EME, 3ος.
func numberEnd(s string) int {
	s = strings.TrimRightFunc(s, joins)
	n := strings.TrimSuffix(strings.TrimRightFunc(s, unicode.IsLetter), "-") // 3-Й
	if ending := []rune(s[len(n):]); len(ending) <= 5 && n != strings.TrimRightFunc(n, unicode.IsDigit) {
		return len(n)
	}
	return len(s)
}

// besideNumber reports whether a number stands before or after a part of a text.
func besideNumber(text string, from, to int) bool {
	before, after := text[:numberEnd(text[:from])], strings.TrimLeftFunc(text[to:], joins)
	return before != strings.TrimRightFunc(before, unicode.IsDigit) || after != strings.TrimLeftFunc(after, unicode.IsDigit)
}

// orderOf tells the storey that a text names: basements below 0, the ground floor 0, the others by number.
func (rd *reader) orderOf(text string) float64 {
	n, hasNumber := numberIn(text)
	rs := rd.v.Read(text, rd.languages, "level", "ordinal")
	short := len([]rune(text)) <= 6
	base, ordinal := "", 0
	for _, d := range rs {
		if d.Evidence == words.Abbreviated && !short && d.Letters < 3 || !short && !rd.speaks(d.Language) {
			continue
		}
		switch d.Concept {
		case "ordinal.1", "ordinal.2", "ordinal.3", "ordinal.4":
			ordinal, _ = strconv.Atoi(string(d.Concept[len(d.Concept)-1:]))
		case "level.basement", "level.ground", "level.mezzanine", "level.roof", "level.gallery", "level.first", "level.word":
			if base == "" || base == "level.word" {
				base = string(d.Concept)
			}
		}
	}
	switch base {
	case "level.basement":
		if hasNumber {
			return -math.Abs(n)
		}
		return -1
	case "level.ground":
		if hasNumber && n > 0 {
			return n
		}
		return 0
	case "level.mezzanine":
		return 0.5
	case "level.gallery":
		return 0.6
	case "level.roof":
		return 99
	case "level.first", "level.word":
		switch {
		case hasNumber:
			return n
		case ordinal > 0:
			return float64(ordinal)
		case base == "level.first":
			return firstWords(text)
		}
	}
	if hasNumber && (letters(text) > 0 || strings.ContainsAny(text, "+-−") || len(text) == 1) && short && abbreviated(text) && !numbered(text) {
		return n
	}
	return unknownOrder
}

// firstWords tells first from second and third where the vocabulary has them as one.
func firstWords(text string) float64 {
	f := words.Fold(text)
	for n, stems := range [][]string{nil, {"first", "erst", "premier", "primer", "prim", "eerste", "pierw", "prvni", "forsta", "forste", "ensimm", "elso", "πρωτ", "birinci", "перв", "перш", "اول", "ראשונ", "一", "1"},
		{"second", "zweit", "deuxi", "segund", "tweede", "drug", "andra", "anden", "toinen", "masod", "al doilea", "δευτ", "ikinci", "втор", "друг", "ثان", "שני", "二", "2"},
		{"third", "dritt", "troisi", "tercer", "terz", "derde", "trzeci", "treti", "tredje", "kolmas", "harmad", "al treilea", "τριτ", "ucuncu", "трет", "ثالث", "שליש", "三", "3"},
		{"fourth", "viert", "quatri", "cuart", "quart", "vierde", "czwart", "ctvrt", "fjarde", "neljas", "negyed", "al patrulea", "τεταρτ", "dorduncu", "четвер", "رابع", "רביע", "四", "4"}} {
		for _, s := range stems {
			if strings.Contains(f, s) {
				return float64(n)
			}
		}
	}
	return 1
}

// numberIn is the first whole number of a text, with its sign.
func numberIn(s string) (float64, bool) {
	rs := []rune(s)
	for i, c := range rs {
		if !unicode.IsDigit(c) {
			continue
		}
		j := i
		for j < len(rs) && unicode.IsDigit(rs[j]) {
			j++
		}
		if j-i > 2 {
			return 0, false
		}
		n, err := strconv.Atoi(string(rs[i:j]))
		if err != nil {
			return 0, false
		}
		if i > 0 && (rs[i-1] == '-' || rs[i-1] == '−' || rs[i-1] == '–') && (i == 1 || !unicode.IsLetter(rs[i-2])) {
			n = -n
		}
		return float64(n), true
	}
	return 0, false
}

// numbered reports whether a text is a number in parts, as rooms have: 1.01, B-12, 101.
func numbered(s string) bool {
	digits, runs, in := 0, 0, false
	for _, c := range s {
		d := unicode.IsDigit(c)
		if d {
			digits++
			if !in {
				runs++
			}
		}
		in = d
	}
	return runs > 1 || digits > 1
}

// abbreviated reports whether a short text is one letter or sign with a number: F2, P1, +1, R+1, 2эт.
func abbreviated(s string) bool {
	n := 0
	for _, c := range s {
		if unicode.IsLetter(c) {
			n++
		}
	}
	return n <= 3
}

// InOrder lists the plans from the lowest level up; sheets of one level follow each other.
func (r *Result) InOrder() []int {
	out := make([]int, len(r.Plans))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(r.Plans[a].Order, r.Plans[b].Order) })
	return out
}

// FileLevel names a page as a whole by its file.
func (r *Result) FileLevel(page int) (name string, order float64, why string) {
	l := r.fileLevel(page)
	return l.Name, l.Order, l.Why
}

// Region is the part of a page that a plan takes, wide enough for what stands along
// its walls and narrower than half the way to the next plan or legend.
func (r *Result) Region(plan int) geom.Box {
	pl := &r.Plans[plan]
	return pl.Box.Grow(1.5 * r.Pages[pl.Page].H[0])
}
