package recognize

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/words"
)

// Result is what some drawings show, looked at together.
type Result struct {
	Pages     []*Page
	Languages []string // in order of votes
	Legends   []Legend
	Maybe     []Legend // short columns of figures beside texts that may be legends: they count, and a person is asked
	Plans     []Plan   // in the order of the pages
	Kinds     []Kind   // what was recognised, in the order met
	Figures   []Figure
	Remarks   []Remark
	words     *reader
}

// Plan is a part of a drawing that shows a storey, or a part of one.
type Plan struct {
	Page  int
	Box   geom.Box // drawing units: the lines that hang together
	own   geom.Box // in the frame of the page
	Only  bool     // the drawing shows no other
	Whole bool     // no lines tell where it ends: all of the drawing
	Title string
	Level
}

// Kind is one rule: figures that are alike, and what they are.
type Kind struct {
	Form    Form
	Name    string // of the block, or the text
	Tag     string // the attribute that tells such blocks apart, "" for none
	Value   string
	Figure  *Template
	Sample  Mark    // in the legend
	Scale   float64 // of the sample, times which it stands in plans; 1 where both are in one space
	Concept words.Concept
	Text    string // of the legend, "" if none explains it
	Reason  string
	Ours    bool // a device; else what is known to be none
	Count   int  // in plans, to be seen
	Hidden  int  // in plans, on layers that are off or frozen, or invisible
	Outside int  // elsewhere: in legends, details, paper space
	Layers  map[string]int
}

// Figure is one figure that was recognised.
type Figure struct {
	Mark
	Kind int // of Result.Kinds
	Plan int // of Result.Plans, -1 outside
	// Status is why it is no new work: demolition, existing or others; "" if nothing says so.
	Status string
}

// Legends finds the legends of some pages, and looks at nothing else on them.
func Legends(pages []*Page, v *words.Vocabulary) []Legend { return legendsOf(pages, v).Legends }

// Look recognises what stands on the pages.
func Look(pages []*Page, v *words.Vocabulary) *Result {
	r := legendsOf(pages, v)
	for i, p := range pages {
		r.findPlans(i, p)
	}
	rd := r.words
	r.name(rd)
	r.kinds(rd)
	r.match()
	r.statuses(rd)
	return r
}

// legendsOf votes on the languages of some pages and finds their legends.
func legendsOf(pages []*Page, v *words.Vocabulary) *Result {
	r := &Result{Pages: pages}
	var texts []string
	seen := map[string]bool{}
	for _, p := range pages {
		for i := range p.lines {
			if s := p.lines[i].text; !seen[s] && len(s) < 200 {
				seen[s] = true
				texts = append(texts, s)
			}
		}
	}
	r.Languages = v.Languages(texts)
	r.words = &reader{v: v, languages: r.Languages, known: map[string]words.Reading{}, names: map[string]words.Reading{}}
	for i, p := range pages {
		ls, maybe := p.legends(i, r.words)
		r.Legends, r.Maybe = append(r.Legends, ls...), append(r.Maybe, maybe...)
	}
	return r
}

func (r *Result) findPlans(i int, p *Page) {
	var own []Legend
	for _, l := range r.Legends {
		if l.Page == i {
			own = append(own, l)
		}
	}
	heaps := p.heaps(own)
	at := r.lookLikePlans(p, heaps, p.showing(heaps, p.plans(heaps, own)))
	at = append(at, r.smallPlans(p, heaps, own, at)...)
	for _, k := range at {
		r.Plans = append(r.Plans, Plan{Page: i, Box: heaps[k].box, own: heaps[k].own, Only: len(at) == 1})
	}
	if len(at) > 0 || len(own) > 0 && len(heaps) == 0 {
		return
	}
	all := geom.EmptyBox() // no lines that tell: all figures of the drawing
	for _, m := range p.Marks {
		if !m.Paper && !r.inLegend(i, false, m.Box.Center()) {
			all = all.Union(m.Box)
		}
	}
	if !all.Empty() {
		r.Plans = append(r.Plans, Plan{Page: i, Box: all, own: framed(all, p.turn), Only: true, Whole: true})
	}
}

// lookLikePlans leaves out heaps that hold no names of rooms where the others do, or
// titles of details and diagrams.
func (r *Result) lookLikePlans(p *Page, heaps []Heap, at []int) []int {
	if len(at) < 2 {
		return at
	}
	rooms, other := make([]int, len(heaps)), make([]bool, len(heaps))
	most, turn := 0, p.turn
	for i := range p.lines {
		l := &p.lines[i]
		if l.paper || len(l.text) > 60 {
			continue
		}
		c := l.box.Center().Turn(l.turn - turn)
		for _, k := range at {
			if !heaps[k].own.Contains(c) {
				continue
			}
			for _, d := range r.words.v.Read(l.text, r.Languages, "room", "title") {
				switch {
				case d.Concept.Group() == "room" && d.Evidence < words.Shortened && 2*d.Letters >= letters(l.text):
					rooms[k]++
					most = max(most, rooms[k])
				case d.Concept == "title.riser" || d.Concept == "title.schedule" || d.Concept == "title.key_plan":
					other[k] = other[k] || d.Evidence < words.Shortened && 2*d.Letters >= letters(l.text)
				}
			}
		}
	}
	if most < 3 {
		return at
	}
	return slices.DeleteFunc(slices.Clone(at), func(k int) bool { return 5*rooms[k] < most || other[k] && 3*rooms[k] < most })
}

// smallPlans are heaps smaller than plans are that are storeys all the same, such as a
// penthouse: a title that names a level stands beside them and beside no other, and
// rooms or figures in them.
func (r *Result) smallPlans(p *Page, heaps []Heap, legends []Legend, at []int) []int {
	if len(at) == 0 {
		return nil
	}
	h, greatest := p.H[0], heaps[at[0]].own.Area()
	rooms := make([]int, len(heaps))
	titled, other := make([]float64, len(heaps)), make([]float64, len(heaps)) // how near a title of a level stands, and one of something else
	for k := range heaps {
		titled[k], other[k] = math.Inf(1), math.Inf(1)
	}
	for i := range p.lines {
		l := &p.lines[i]
		if l.paper || len(l.text) > 80 {
			continue
		}
		b := framed(l.box, p.turn-l.turn)
		near, gap := -1, titleReach*h
		for k := range heaps {
			if g := apart(heaps[k].own, b); g < gap || near < 0 && g <= gap {
				near, gap = k, g
			}
		}
		if near < 0 || slices.Contains(at, near) {
			continue
		}
		for _, d := range r.words.v.Read(l.text, r.Languages, "room", "title", "level") { // a title may name the roof
			switch {
			case d.Evidence >= words.Shortened || 2*d.Letters < letters(l.text):
			case d.Concept.Group() == "room" && gap == 0:
				rooms[near]++
			case d.Concept != "title.plan" && d.Concept.Group() == "title":
				other[near] = min(other[near], gap)
			}
		}
		if gap > 0 && l.height >= 1.25*h && r.words.titleKind(l.text, true) == "level" {
			titled[near] = min(titled[near], gap)
		}
	}
	figures := p.evidence(heaps)
	var out []int
	for k, hp := range heaps {
		if titled[k] < other[k] && rooms[k]+figures[k] >= 2 && hp.lines >= 4 && hp.own.Area() >= leastShareOfPlan*greatest &&
			!slices.Contains(at, k) && !p.tabular(hp, legends) {
			out = append(out, k)
		}
	}
	return out
}

// plan is the plan that a place of a page stands in, -1 for none.
func (r *Result) plan(page int, at geom.Point) int {
	best, turn := -1, r.Pages[page].turn
	for i := range r.Plans {
		pl := &r.Plans[i]
		if pl.Page != page || !pl.own.Grow(1.5*r.Pages[page].H[0]).Contains(at.Turn(-turn)) {
			continue
		}
		if best < 0 || pl.own.Area() < r.Plans[best].own.Area() {
			best = i
		}
	}
	return best
}

// inLegend reports whether a place lies in a legend of its page and space.
func (r *Result) inLegend(page int, paper bool, at geom.Point) bool {
	return slices.ContainsFunc(r.Legends, func(l Legend) bool { return l.Page == page && l.Paper == paper && l.own.Contains(at.Turn(-l.turn)) })
}

// kinds makes a rule of each row of a legend, and of each block whose name tells what it is.
func (r *Result) kinds(rd *reader) {
	tags := map[string]string{}
	var samples []Mark
	for _, l := range r.Legends {
		for _, row := range l.Rows {
			samples = append(samples, row.Sample)
		}
	}
	for _, m := range samples {
		if m.Form == Block {
			tags[strings.ToUpper(m.Name)] = tellingTag(samples, m.Name)
		}
	}
	known := map[string]bool{}
	for _, l := range r.Legends {
		for _, row := range l.Rows {
			k := Kind{Form: row.Sample.Form, Name: row.Sample.Name, Sample: row.Sample, Figure: row.Figure, Scale: 1, Concept: row.Reading.Concept, Text: row.Text, Layers: map[string]int{}}
			if row.Sample.joined() {
				k.Text = strings.TrimLeftFunc(strings.TrimPrefix(row.Text, k.Name), func(c rune) bool { return strings.ContainsRune(" -–—=:", c) })
				if rr := rd.device(k.Text); rr.Concept != "" {
					k.Concept = rr.Concept
				}
			}
			if k.Form == Block {
				if t := tags[strings.ToUpper(k.Name)]; t != "" {
					k.Tag, k.Value = t, attribOf(row.Sample, t)
				}
			}
			k.Ours = k.Concept.Group() == "device"
			key := k.key()
			if k.Form != Loose && known[key] {
				continue
			}
			known[key] = true
			r.Kinds = append(r.Kinds, k)
		}
	}
	r.byValue(rd)
	r.byName(rd, known)
}

func (k *Kind) key() string {
	return strings.Join([]string{k.Form.String(), strings.ToUpper(k.Name), strings.ToUpper(k.Tag), k.Value}, "\x00")
}

// byName reads the names of blocks that no legend explains.
func (r *Result) byName(rd *reader, known map[string]bool) {
	explained := map[string]bool{}
	for i := range r.Kinds {
		if k := &r.Kinds[i]; k.Form == Block {
			explained[strings.ToUpper(k.Name)] = true
		}
	}
	type use struct {
		name   string
		layers map[string]int
	}
	uses := map[string]*use{}
	for i, p := range r.Pages {
		for _, m := range p.Marks {
			if m.Form != Block || m.Paper || explained[strings.ToUpper(m.Name)] || r.plan(i, m.Box.Center()) < 0 && r.plan(i, m.At) < 0 {
				continue
			}
			u := uses[strings.ToUpper(m.Name)]
			if u == nil {
				u = &use{m.Name, map[string]int{}}
				uses[strings.ToUpper(m.Name)] = u
			}
			u.layers[m.Layer]++
		}
	}
	// Layers on which known devices stand.
	onLayer := map[string]int{}
	for key := range r.legendLayers() {
		onLayer[key] += 2
	}
	readings := map[string]words.Reading{}
	for _, key := range slices.Sorted(maps.Keys(uses)) {
		u := uses[key]
		if d, ok := rd.v.DeviceName(u.name, r.Languages); ok {
			readings[key] = d
			if !d.Second() && d.Concept.Group() == "device" {
				for l := range u.layers {
					onLayer[l]++
				}
			}
		}
	}
	for _, key := range slices.Sorted(maps.Keys(readings)) {
		d, u := readings[key], uses[key]
		if d.Second() {
			sure := false
			for l := range u.layers {
				sure = sure || onLayer[l] >= 3 || d.Evidence != words.Partly && (onLayer[l] > 0 || r.alarmLayer(rd, l))
			}
			if !sure {
				continue
			}
		}
		k := Kind{Form: Block, Name: u.name, Scale: 1, Concept: d.Concept, Reason: d.Evidence.String(), Layers: map[string]int{}, Ours: d.Concept.Group() == "device"}
		if !known[k.key()] {
			known[k.key()] = true
			r.Kinds = append(r.Kinds, k)
		}
	}
}

// legendLayers are the layers on which figures stand that a legend explains as devices.
func (r *Result) legendLayers() map[string]bool {
	out := map[string]bool{}
	names := map[string]bool{}
	for i := range r.Kinds {
		if k := &r.Kinds[i]; k.Ours && k.Form == Block {
			names[strings.ToUpper(k.Name)] = true
		}
	}
	for i, p := range r.Pages {
		for _, m := range p.Marks {
			if m.Form == Block && names[strings.ToUpper(m.Name)] && r.plan(i, m.At) >= 0 {
				out[m.Layer] = true
			}
		}
	}
	return out
}

func (r *Result) alarmLayer(rd *reader, layer string) bool {
	for _, d := range rd.v.ReadName(layer, r.Languages, "draw") {
		if d.Concept == "draw.fire_alarm_layer" {
			return true
		}
	}
	return false
}

// match finds the figures of all kinds.
func (r *Result) match() {
	blocks := map[string][]int{}
	textOf := map[string]int{}
	for i := range r.Kinds {
		k := &r.Kinds[i]
		switch k.Form {
		case Block:
			blocks[strings.ToUpper(k.Name)] = append(blocks[strings.ToUpper(k.Name)], i)
		case Text:
			textOf[strings.ToUpper(k.Name)] = i
		}
	}
	for i, p := range r.Pages {
		for _, m := range p.Marks {
			k := -1
			switch m.Form {
			case Block:
				for _, j := range blocks[strings.ToUpper(m.Name)] {
					if q := &r.Kinds[j]; q.Tag == "" || attribOf(m, q.Tag) == q.Value {
						k = j
						break
					}
				}
			case Text:
				if j, ok := textOf[strings.ToUpper(m.Name)]; ok {
					k = j
				}
			}
			if k >= 0 {
				r.add(Figure{Mark: m, Kind: k, Plan: r.placed(i, m)})
			}
		}
	}
	r.matchLoose()
}

// placed is the plan in which a mark stands, -1 for paper space, legends and what is outside.
func (r *Result) placed(page int, m Mark) int {
	at := m.Box.Center()
	if m.Paper || m.Table || r.inLegend(page, false, at) {
		return -1
	}
	if k := r.plan(page, at); k >= 0 {
		return k
	}
	return r.plan(page, m.At)
}

// PlanOf is the plan in which a figure stands, -1 for paper space, legends and what is outside.
func (r *Result) PlanOf(m *Mark) int { return r.placed(m.Page, *m) }

// Sampled reports whether a place of model space lies in a legend.
func (r *Result) Sampled(page int, at geom.Point) bool { return r.inLegend(page, false, at) }

// InLegend reports whether a figure stands in a legend.
func (r *Result) InLegend(m *Mark) bool { return r.inLegend(m.Page, m.Paper, m.Box.Center()) }

func (r *Result) add(f Figure) {
	k := &r.Kinds[f.Kind]
	if f.Plan >= 0 {
		if f.Visible {
			k.Count++
		} else {
			k.Hidden++
		}
		k.Layers[f.Layer]++
	} else {
		k.Outside++
	}
	r.Figures = append(r.Figures, f)
}

// matchLoose finds loose figures: those with most parts first, so that a circle does
// not take the place of a circle with a cross.
func (r *Result) matchLoose() {
	var order []int
	for i := range r.Kinds {
		if r.Kinds[i].Form == Loose && r.Kinds[i].Figure != nil {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.Kinds[b].Figure.Parts, r.Kinds[a].Figure.Parts) })
	for i, p := range r.Pages {
		if !slices.ContainsFunc(r.Plans, func(pl Plan) bool { return pl.Page == i }) {
			continue
		}
		b := p.loose(false)
		used := map[int]bool{}
		scales := map[[2]bool]float64{}
		for _, k := range order {
			kd := &r.Kinds[k]
			origin := [2]bool{kd.Sample.Paper, kd.Sample.Page != i}
			scale, ok := scales[origin]
			if !ok {
				scale = r.scaleFor(b, order, origin, i)
				scales[origin] = scale
			}
			if kd.Sample.Paper || kd.Sample.Page == i || kd.Scale == 1 {
				kd.Scale = scale
			}
			for s := range b.strokes {
				f, ok := b.at(kd.Figure, scale, s, used)
				if !ok {
					continue
				}
				for _, j := range f.strokes {
					used[j] = true
				}
				st := &b.strokes[f.strokes[0]]
				visible := true
				for _, j := range f.strokes {
					visible = visible && b.strokes[j].visible
				}
				m := Mark{Form: Loose, Page: i, At: f.at, Box: f.box, Layer: st.layer, Style: st.style, Handle: st.handle, Visible: visible}
				r.add(Figure{Mark: m, Kind: k, Plan: r.placed(i, m)})
			}
		}
	}
}

// scaleFor is the one scale by which most samples of an origin are found on a board; 1 for those drawn there.
func (r *Result) scaleFor(b *board, order []int, origin [2]bool, page int) float64 {
	if !origin[0] && !origin[1] {
		return 1
	}
	votes := map[int]float64{} // by the hundredth of a power of e
	for _, k := range order {
		kd := &r.Kinds[k]
		if (kd.Sample.Paper != origin[0]) || (kd.Sample.Page != page) != origin[1] || kd.Figure.Parts < 2 {
			continue
		}
		tried := map[int]bool{}
		for s := range b.strokes {
			st := &b.strokes[s]
			if st.kind != kd.Figure.anchor.kind || st.size == 0 {
				continue
			}
			q := int(math.Round(50 * math.Log(st.size/kd.Figure.anchor.size)))
			if tried[q] {
				continue
			}
			if _, ok := b.at(kd.Figure, st.size/kd.Figure.anchor.size, s, nil); ok {
				tried[q] = true
				votes[q] += float64(kd.Figure.Parts)
			}
		}
	}
	best, most := 0, 0.0
	for _, q := range slices.Sorted(maps.Keys(votes)) {
		v := votes[q-1]/2 + votes[q] + votes[q+1]/2
		if v > most {
			best, most = q, v
		}
	}
	if most == 0 {
		return 1
	}
	// The exact scale: the mean of what agrees.
	scale := math.Exp(float64(best) / 50)
	for _, nice := range []float64{1, 10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 12, 24, 48, 96, 0.001, 0.01, 0.1, 25.4, 1 / 25.4, 304.8, 1 / 304.8} {
		if math.Abs(scale/nice-1) < 0.03 {
			return nice
		}
	}
	return scale
}

// Names reports whether a text names a device of a concept.
func (r *Result) Names(text string, c words.Concept) bool {
	return c != "" && slices.ContainsFunc(r.words.v.Read(text, r.Languages, "device", "other"), func(d words.Reading) bool {
		return d.Concept == c && d.Evidence < words.Shortened
	})
}
