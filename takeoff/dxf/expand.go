package dxf

import "slices"

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

// Inserts lists every insert of model space (and paper space, if wanted) in
// drawing order: an insert, then what its block contains. Content of DIMENSION,
// table and multileader blocks is not entered. The error says that there are
// more than the limit; nothing is expanded then.
func (d *Drawing) Inserts(opt Options) ([]Insert, []Finding, error) {
	p := d.work()
	count := func(u *unit) float64 { return u.inserts }
	if err := d.checkLimit(p, opt, "inserts", DefaultLimit, count); err != nil {
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
