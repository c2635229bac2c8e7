package dxf

import (
	"fmt"
	"math"
	"slices"

	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/where"
)

// Insert is one block reference as it appears in the world: nested ones and the
// elements of arrays each count.
type Insert struct {
	Block     string // name of the block as stored
	Effective string // name of the block it stands for: the source of a dynamic block
	Layer     string // as stored
	EffLayer  string // the insert's layer for an entity on layer 0 inside a block
	Style     Style
	Handle    tags.Handle
	Path      []string // blocks it sits in, outermost first; shared, do not change
	Pos       Vec3     // insertion point in the world
	Rotation  float64  // direction of the block's x axis in plan, degrees in [0,360)
	XScale    float64  // length of the block's x axis in the world, not negative
	YScale    float64  // length of its y axis, negative where mirrored in plan
	Transform Affine   // block coordinates to world
	Attribs   []Attrib
	Visible   bool
	Paper     bool // in paper space
}

// Attrib is an attribute of an insert.
type Attrib struct {
	Tag, Value string
	Pos        Vec3 // alignment point in the world
	Height     float64
	Handle     tags.Handle
	Constant   bool // from the block definition
	Invisible  bool // flag 70 bit 1
}

// angles fills in rotation and scales in the form that callers rely on: the x axis gives the
// rotation and is positive, mirroring shows in the y scale.
func (in *Insert) angles(p *placement, scale Vec3) {
	dx, dy := p.dx, p.dy
	if scale.X < 0 {
		dx = dx.times(-1)
	}
	if scale.Y < 0 {
		dy = dy.times(-1)
	}
	in.XScale = dx.length() * math.Abs(scale.X)
	in.YScale = dy.length() * math.Abs(scale.Y)
	if in.YScale != 0 && dx.X*dy.Y-dx.Y*dy.X < 0 {
		in.YScale = -in.YScale
	}
	in.Rotation = angle(dx)
}

// angle is the direction of a vector in plan, degrees in [0,360).
func angle(v Vec3) float64 {
	if v.X == 0 && v.Y == 0 {
		return 0
	}
	a := math.Atan2(v.Y, v.X) * 180 / math.Pi
	if a < 0 {
		a += 360
	}
	if a >= 360 || a == 0 { // also turns -0 into 0
		a = 0
	}
	return a
}

// Inserts lists every insert of model space (and paper space, if wanted) in
// drawing order: an insert, then what its block contains. Content of DIMENSION,
// table and multileader blocks is not entered. The error says that there are
// more than the limit; nothing is expanded then.
func (d *Drawing) Inserts(opt Options) ([]Insert, []Finding, error) {
	p := work(d)
	if err := limitInserts(d, opt); err != nil {
		return nil, nil, err
	}
	sizes := p.windows(countInserts)
	out := make([]Insert, sizes[len(p.units)])
	counts := make([]int, len(p.units))
	notes := make([]notebook, len(p.units))
	parallel.For(len(p.units), func(k int) {
		e := insertLister{newWalker(d, opt, &notes[k]), out[sizes[k]:sizes[k]:sizes[k+1]]}
		e.unit(&p.units[k])
		counts[k] = len(e.out)
		releaseUnit(d, &p.units[k])
	})
	return closeGaps(out, sizes, counts), append(slices.Clone(p.findings), mergeNotes(d, notes)...), nil
}

// TableContent lists what the cells of table entities show, in drawing order: inserts
// and texts. Inserts and Texts leave it out: what stands in a table is no part of a
// plan. Each has the table's own block first in its Path. The error says that there is too much.
func (d *Drawing) TableContent() ([]Insert, []Text, error) {
	var notes notebook
	e := insertLister{newWalker(d, Options{Paper: true}, &notes), nil}
	t := textLister{newWalker(d, Options{Paper: true}, &notes), nil}
	total := 0.0
	for _, u := range work(d).units {
		for i := u.first; i < u.last; i++ {
			if d.idx.Kind(i) != tags.TableEntity {
				continue
			}
			r := readTable(e.names, i)
			if r.bad || r.block == nil {
				continue
			}
			if total += r.block.node.inserts + r.block.node.texts; total > defaultLimit {
				return nil, nil, where.In(d.Name, fmt.Errorf("%s: the tables on the drawing hold more than %d inserts and texts", d.Name, defaultLimit))
			}
			c := context{m: identity, path: e.root, paper: u.paper || r.paper}
			pl := place(&r, &c, r.block.base, 0, 0)
			if !pl.m.near() {
				continue
			}
			if inner, ok := e.enter(&r, &c, &pl); ok {
				children := insertsOf(d, r.block)
				for k := range children {
					e.insert(&children[k], &inner)
				}
				t.block(r.block, &inner)
			}
		}
	}
	return e.out, t.out, nil
}

// insertLister lists the inserts of a unit of work.
type insertLister struct {
	*walker
	out []Insert
}

func (e *insertLister) unit(u *unit) {
	for _, t := range u.tops {
		if t.paper && !e.opt.Paper {
			continue
		}
		r := readInsert(e.names, int(t.rec))
		r.paper = t.paper
		e.insert(&r, &context{m: identity, path: e.root, paper: t.paper})
	}
}

// insert lists an insert, all elements of its array, and what they contain.
func (e *insertLister) insert(r *rawInsert, c *context) {
	if !e.usable(r) {
		return
	}
	var base Vec3
	if r.block != nil {
		base = r.block.base
	}
	for row := range r.rows {
		for col := range r.cols {
			pl := place(r, c, base, col, row)
			if !pl.m.near() {
				e.notes.note(codeBadNumber, r.name, r, pl.pos)
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
			children := insertsOf(e.d, r.block)
			for k := range children {
				e.insert(&children[k], &inner)
			}
		}
	}
}

// usable notes what is wrong with an insert and tells whether it can be listed.
func (e *insertLister) usable(r *rawInsert) bool {
	switch {
	case r.broken:
		return false
	case r.bad:
		e.notes.note(codeBadNumber, r.name, r, r.pos)
		return false
	case r.name == "":
		e.notes.note(codeNoName, "", r, r.pos)
		return false
	}
	return true
}

// list appends one insert.
func (e *insertLister) list(r *rawInsert, c *context, pl *placement) {
	eff := c.effective(r.layer)
	in := Insert{
		Block: r.name, Effective: r.effective, Layer: r.layer.name, EffLayer: eff.name,
		Style: r.style, Handle: r.handle, Path: c.path.names, Pos: pl.pos, Transform: pl.m, Paper: c.paper,
	}
	in.Visible = c.shows(eff, r.invisible) && !c.clipped(pl.pos)
	in.angles(pl, r.scale)
	in.Attribs = e.attribs(r, c, pl)
	e.out = append(e.out, in)
	e.noteInsert(r, pl.pos)
}

func (e *insertLister) noteInsert(r *rawInsert, pos Vec3) {
	switch {
	case r.block == nil:
		e.notes.note(codeMissingBlock, r.name, r, pos)
	case r.block.Xref():
		e.notes.note(codeXref, r.name, r, pos)
	case !r.traced:
		e.notes.note(codeAnonymous, "", r, pos)
	}
	if r.scale.X == 0 || r.scale.Y == 0 {
		e.notes.note(codeZeroScale, r.name, r, pos)
	}
	if r.clip != nil {
		e.notes.note(codeClip, r.name, r, pos)
	}
}

// attribs places the attributes of an insert: its own, and the constant ones of
// its block that it does not have itself.
func (e *insertLister) attribs(r *rawInsert, c *context, pl *placement) []Attrib {
	n := len(r.attribs)
	if r.block != nil {
		insertsOf(e.d, r.block)
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
	return Attrib{Tag: a.tag, Value: a.value, Pos: a.pos, Height: a.height,
		Handle: a.handle, Invisible: a.invisible}
}
