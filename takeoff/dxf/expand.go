package dxf

import (
	"fmt"
	"slices"
)

// pathNode is the chain of blocks around an entity; equal chains share one.
type pathNode struct {
	names    []string
	children map[string]*pathNode
}

// maxPathNames bounds the memory for paths of one unit of work.
const maxPathNames = 4 << 20

func (p *pathNode) child(name string, budget *int) *pathNode {
	if c := p.children[name]; c != nil {
		return c
	}
	c := &pathNode{names: append(slices.Clip(slices.Clone(p.names)), name)}
	*budget += len(c.names)
	if p.children == nil {
		p.children = map[string]*pathNode{}
	}
	p.children[name] = c
	return c
}

// unit is a run of records that one worker expands.
type unit struct {
	span
	tops    []top
	inserts float64 // expanded, at most
	texts   float64
	shapes  float64
}

// top is an INSERT of model or paper space, as far as counting needs it.
type top struct {
	rec   int32
	block *Block
	times float64
	paper bool
}

// unitRecords is how many records one unit of work holds.
const unitRecords = 16384

// plan is the work of expanding a drawing, counted before anything is expanded.
type plan struct {
	units    []unit
	findings []Finding // cycles and depth
}

// blockNode is a block in the graph of blocks.
type blockNode struct {
	state               uint8 // 0 new, 1 being counted, 2 done
	ownTexts, ownShapes int
	// what one insert of the block shows, itself not counted
	inserts, texts, shapes float64
}

// work returns the plan, made at the first call.
func (d *Drawing) work() *plan {
	d.planOnce.Do(func() {
		p := &d.plan
		for _, s := range d.spans {
			for i := s.first; i < s.last; i += unitRecords {
				p.units = append(p.units, unit{span: span{i, min(i+unitRecords, s.last), s.paper}})
			}
		}
		eachParallel(len(p.units), func(k int) {
			p.units[k].peek(d)
			d.releaseUnit(&p.units[k])
		})
		for k := range p.units {
			for _, t := range p.units[k].tops {
				d.countBlock(t.block, p)
			}
		}
		for _, b := range d.Blocks {
			d.countBlock(b, p)
		}
		for k := range p.units {
			u := &p.units[k]
			for _, t := range u.tops {
				u.inserts += t.times
				if t.block != nil {
					u.inserts += t.times * t.block.node.inserts
					u.texts += t.times * t.block.node.texts
					u.shapes += t.times * t.block.node.shapes
				}
			}
		}
	})
	return &d.plan
}

func (d *Drawing) releaseUnit(u *unit) { d.release(d.idx.start(u.first), d.idx.stop(u.last-1)) }

// peek reads of each insert only what counting needs.
func (u *unit) peek(d *Drawing) {
	n := newNames(d)
	for i := u.first; i < u.last; i++ {
		switch k := d.idx.kind(i); k {
		case kText, kMText:
			u.texts++
		default:
			if _, ok := shapeKindOf(k); ok {
				u.shapes++
			}
		case kInsert:
			u.tops = append(u.tops, n.peek(i, u.paper))
		}
	}
}

func (n *names) peek(i int, paper bool) top {
	d := n.d
	t := top{rec: int32(i), times: 1, paper: paper}
	pos, end, width := d.idx.start(i), d.idx.stop(i), d.width()
	var tag Tag
	cols, rows := 1, 1
	for pos < end {
		if _, ok := readTag(d.Bytes, pos, end, width, &tag); !ok || tag.Code >= 1000 {
			break
		}
		pos = tag.End
		switch tag.Code {
		case 2:
			t.block = n.block(tag).block
		case 67:
			v, _ := d.Int(tag)
			t.paper = t.paper || v&1 != 0
		case 70:
			cols = n.count(tag)
		case 71:
			rows = n.count(tag)
		}
	}
	t.times = float64(cols) * float64(rows)
	return t
}

// countBlock counts what one insert of a block expands to, and breaks cycles: an
// insert of a block inside itself, however deep, is marked and not entered.
func (d *Drawing) countBlock(b *Block, p *plan) {
	if b == nil || b.node.state != 0 {
		return
	}
	b.node.state = 1
	inserts := b.content(d)
	b.node.texts, b.node.shapes = float64(b.node.ownTexts), float64(b.node.ownShapes)
	for k := range inserts {
		r := &inserts[k]
		n := r.times()
		if r.block != nil && r.block.node.state == 1 {
			r.broken = true
			p.findings = append(p.findings, d.finding(CodeCycle, r.offset, r.handle,
				"block %q contains itself by way of block %q; the insert that closes the circle is left out", r.name, b.Name))
			continue
		}
		b.node.inserts += n
		if r.block != nil {
			d.countBlock(r.block, p)
			b.node.inserts += n * r.block.node.inserts
			b.node.texts += n * r.block.node.texts
			b.node.shapes += n * r.block.node.shapes
		}
	}
	b.node.state = 2
}

// Inserts lists every insert of model space (and paper space, if wanted) in
// drawing order: an insert, then what its block contains. Content of DIMENSION,
// table and multileader blocks is not entered. The error says that there are
// more than the limit; nothing is expanded then.
func (d *Drawing) Inserts(opt Options) ([]Insert, []Finding, error) {
	p := d.work()
	count := func(u *unit) float64 { return u.inserts }
	if err := d.checkLimit(p, opt, "inserts", count); err != nil {
		return nil, nil, err
	}
	sizes := p.windows(count)
	out := make([]Insert, sizes[len(p.units)])
	counts := make([]int, len(p.units))
	notes := make([]notebook, len(p.units))
	eachParallel(len(p.units), func(k int) {
		e := expander{d: d, opt: opt, names: newNames(d), root: &pathNode{}, notes: &notes[k]}
		e.inserts = out[sizes[k]:sizes[k]:sizes[k+1]]
		e.unit(&p.units[k])
		counts[k] = len(e.inserts)
		d.releaseUnit(&p.units[k])
	})
	return closeGaps(out, sizes, counts), append(slices.Clone(p.findings), mergeNotes(d, notes)...), nil
}

// closeGaps moves together what the units wrote into their windows of out, which
// begin at offsets and hold counts.
func closeGaps[T any](out []T, offsets, counts []int) []T {
	n := 0
	for k, c := range counts {
		if n != offsets[k] {
			copy(out[n:], out[offsets[k]:offsets[k]+c])
		}
		n += c
	}
	clear(out[n:])
	return out[:n:n]
}

// windows divides one slice among the units by their counts.
func (p *plan) windows(count func(*unit) float64) (offsets []int) {
	offsets = make([]int, len(p.units)+1)
	for k := range p.units {
		offsets[k+1] = offsets[k] + int(count(&p.units[k]))
	}
	return offsets
}

// checkLimit refuses drawings whose blocks multiply beyond the limit.
func (d *Drawing) checkLimit(p *plan, opt Options, what string, count func(*unit) float64) error {
	total := 0.0
	for k := range p.units {
		total += count(&p.units[k])
	}
	if total <= opt.limit() {
		return nil
	}
	worst := top{}
	for _, u := range p.units {
		for _, t := range u.tops {
			if t.block != nil && (worst.block == nil || t.times*(1+t.block.node.inserts) > worst.times*(1+worst.block.node.inserts)) {
				worst = t
			}
		}
	}
	msg := ""
	if worst.block != nil {
		msg = fmt.Sprintf("; the insert of block %q at %s alone stands for %.3g",
			worst.block.Name, d.where(d.idx.start(int(worst.rec))), worst.times*(1+worst.block.node.inserts))
	}
	return fmt.Errorf("%s: blocks nested in blocks amount to %.3g %s, more than the limit of %.0f%s",
		d.Name, total, what, opt.limit(), msg)
}

// expander walks one unit of work.
type expander struct {
	d       *Drawing
	opt     Options
	names   *names
	root    *pathNode
	budget  int // names held by paths
	notes   *notebook
	inserts []Insert
	texts   []Text
	shapes  []Shape
	points  []Vec3 // not yet handed out by arena
}

func (e *expander) unit(u *unit) {
	for _, t := range u.tops {
		if t.paper && !e.opt.Paper {
			continue
		}
		r := e.names.insert(int(t.rec))
		r.paper = t.paper
		e.insert(&r, &context{m: Identity, path: e.root, paper: t.paper})
	}
}

// insert lists an insert, all elements of its array, and what they contain.
func (e *expander) insert(r *rawInsert, c *context) {
	if !e.usable(r) {
		return
	}
	var base Vec3
	if r.block != nil {
		base = r.block.Base
	}
	for row := range r.rows {
		for col := range r.cols {
			pl := r.place(c, base, col, row)
			if !pl.m.finite() {
				e.notes.note(CodeBadNumber, r.name, r, pl.pos)
				return
			}
			e.list(r, c, &pl)
			if r.block == nil || r.block.node.inserts == 0 {
				continue
			}
			inner, ok := e.enter(r, c, &pl)
			if !ok {
				continue
			}
			children := r.block.content(e.d)
			for k := range children {
				e.insert(&children[k], &inner)
			}
		}
	}
}

// usable notes what is wrong with an insert and tells whether it can be listed.
func (e *expander) usable(r *rawInsert) bool {
	switch {
	case r.broken:
		return false
	case r.bad:
		e.notes.note(CodeBadNumber, r.name, r, r.pos)
		return false
	case r.name == "":
		e.notes.note(CodeNoName, "", r, r.pos)
		return false
	}
	return true
}

// list appends one insert.
func (e *expander) list(r *rawInsert, c *context, pl *placement) {
	eff := c.effective(r.layer)
	in := Insert{
		Block: r.name, Effective: r.effective, EffectiveBy: r.by, Layer: r.layer.name, EffLayer: eff.name,
		Handle: r.handle, Path: c.path.names, Pos: pl.pos, Transform: pl.m, Paper: c.paper,
		Clipped: r.clip != nil, Offset: r.offset, Defined: r.block != nil && !r.block.Xref(),
	}
	in.Hidden = c.hides(eff, r.invisible, pl.pos)
	in.Visible = in.Hidden == NotHidden
	in.angles(pl, r.scale)
	in.Attribs = e.attribs(r, c, pl)
	e.inserts = append(e.inserts, in)
	e.noteInsert(r, pl.pos)
}

func (e *expander) noteInsert(r *rawInsert, pos Vec3) {
	switch {
	case r.block == nil:
		e.notes.note(CodeMissingBlock, r.name, r, pos)
	case r.block.Xref():
		e.notes.note(CodeXref, r.name, r, pos)
	case r.by == AnonymousName:
		e.notes.note(CodeAnonymous, "", r, pos)
	}
	if r.scale.X == 0 || r.scale.Y == 0 {
		e.notes.note(CodeZeroScale, r.name, r, pos)
	}
	if r.clip != nil {
		e.notes.note(CodeClip, r.name, r, pos)
	}
}

// enter makes the context for the content of an insert.
func (e *expander) enter(r *rawInsert, c *context, pl *placement) (context, bool) {
	if c.depth+1 >= maxDepth || e.budget > maxPathNames {
		e.notes.note(CodeTooDeep, r.name, r, pl.pos)
		return context{}, false
	}
	inner := context{
		m: pl.m, path: c.path.child(r.name, &e.budget), layer: c.effective(r.layer),
		hidden: c.hidden, clips: c.clips, paper: c.paper, depth: c.depth + 1,
	}
	if inner.hidden == NotHidden {
		switch def := inner.layer.def; {
		case r.invisible:
			inner.hidden = HiddenInvisible
		case def != nil && def.Frozen:
			inner.hidden = HiddenFrozen
		}
	}
	if r.clip != nil {
		world := make([]Vec3, len(r.clip))
		for i, p := range r.clip {
			world[i] = pl.m.Apply(p)
		}
		inner.clips = append(slices.Clip(inner.clips), world)
	}
	return inner, true
}

// attribs places the attributes of an insert: its own, and the constant ones of
// its block that it does not have itself.
func (e *expander) attribs(r *rawInsert, c *context, pl *placement) []Attrib {
	n := len(r.attribs)
	if r.block != nil {
		r.block.content(e.d)
		n += len(r.block.constants)
	}
	if n == 0 {
		return nil
	}
	out := make([]Attrib, 0, n)
	for k := range r.attribs {
		a := r.attribs[k].public()
		if c.depth > 0 {
			a.Pos = c.m.Apply(a.Pos)
		}
		a.Pos = a.Pos.add(pl.shift)
		out = append(out, a)
	}
	if r.block == nil {
		return out
	}
	own := out
	for k := range r.block.constants {
		a := r.block.constants[k].public()
		if slices.ContainsFunc(own, func(b Attrib) bool { return b.Tag == a.Tag }) {
			continue
		}
		a.Pos, a.Constant = pl.m.Apply(a.Pos), true
		out = append(out, a)
	}
	return out
}

func (a *rawAttrib) public() Attrib {
	return Attrib{Tag: a.tag, Value: a.value, Pos: a.pos, Height: a.height, Layer: a.layer.name,
		Handle: a.handle, Offset: a.offset, Invisible: a.invisible}
}
