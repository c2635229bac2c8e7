package dxf

import (
	"slices"

	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/parallel"
)

// Shape is a piece of geometry in the world, curves flattened to straight pieces.
type Shape struct {
	Kind     ShapeKind
	Points   []Vec3 // in the world; shared, do not change. A closed shape does not repeat its first point.
	Closed   bool
	Layer    string // as stored
	EffLayer string
	Style    Style
	Handle   tags.Handle
	Path     []string // as Insert.Path
	Visible  bool
	Paper    bool
	Offset   int
}

// Shapes lists the geometry of model space (and paper space, if wanted), that
// inside blocks too, in drawing order. The error says that there is more than
// the limit.
func (d *Drawing) Shapes(opt Options) ([]Shape, []Finding, error) {
	p := work(d)
	if err := checkLimit(d, p, opt, "shapes", 5*defaultLimit, func(u *unit) float64 { return u.shapes }); err != nil {
		return nil, nil, err
	}
	parts := make([][]Shape, len(p.units))
	notes := make([]notebook, len(p.units))
	parallel.For(len(p.units), func(k int) {
		if p.units[k].shapes == 0 {
			return
		}
		e := shapeLister{walker: newWalker(d, opt, &notes[k])}
		e.unit(&p.units[k])
		parts[k] = e.out
		releaseUnit(d, &p.units[k])
	})
	return slices.Concat(parts...), mergeNotes(d, notes), nil
}

// shapeLister lists the shapes of a unit of work.
type shapeLister struct {
	*walker
	out    []Shape
	points []Vec3 // not yet handed out by arena
}

func (e *shapeLister) unit(u *unit) {
	c := context{m: identity, path: e.root, paper: u.paper}
	next := 0
	for i := u.first; i < u.last; i++ {
		k := e.d.idx.Kind(i)
		if k == tags.Insert {
			t := u.tops[next]
			next++
			if t.block == nil || t.block.node.shapes == 0 || t.paper && !e.opt.Paper {
				continue
			}
			r := readInsert(e.names, i)
			inner := c
			inner.paper = t.paper
			e.insert(&r, &inner)
			continue
		}
		if kind, ok := shapeKindOf(k); ok && e.wanted(i, kind) {
			for _, r := range readShape(e.names, i, kind) {
				e.shape(&r, &c)
			}
		}
	}
}

// wanted asks Options.Keep before a record of model space is read in full.
func (e *shapeLister) wanted(i int, kind ShapeKind) bool {
	if e.opt.Keep == nil {
		return true
	}
	layer := noLayer
	if t, ok := e.d.tagIn(i, 8); ok {
		layer = e.names.layer(t)
	}
	return e.opt.Keep(layer.name, kind)
}

func (e *shapeLister) insert(r *rawInsert, c *context) {
	if r.broken || r.bad || r.block == nil || r.block.node.shapes == 0 {
		return
	}
	for row := range r.rows {
		for col := range r.cols {
			pl := place(r, c, r.block.base, col, row)
			if !pl.m.near() {
				return
			}
			if inner, ok := e.enter(r, c, &pl); ok {
				e.block(r.block, &inner)
			}
		}
	}
}

// block lists the shapes of a block in drawing order.
func (e *shapeLister) block(b *Block, c *context) {
	shapes, inserts := shapesOf(e.d, b), insertsOf(e.d, b)
	for len(shapes) > 0 || len(inserts) > 0 {
		if len(inserts) == 0 || len(shapes) > 0 && shapes[0].offset < inserts[0].offset {
			e.shape(&shapes[0], c)
			shapes = shapes[1:]
			continue
		}
		e.insert(&inserts[0], c)
		inserts = inserts[1:]
	}
}

// shapesOf reads and flattens the shapes of a block, once.
func shapesOf(d *Drawing, b *Block) []rawShape {
	b.shapeOnce.Do(func() {
		n := newNames(d)
		for i := b.first; i < b.last; i++ {
			if kind, ok := shapeKindOf(d.idx.Kind(i)); ok {
				b.shapes = append(b.shapes, readShape(n, i, kind)...)
			}
		}
	})
	return b.shapes
}

// shape appends one shape.
func (e *shapeLister) shape(r *rawShape, c *context) {
	paper := c.paper || r.paper && c.depth == 0
	eff := c.effective(r.layer)
	if paper && !e.opt.Paper || e.opt.Keep != nil && !e.opt.Keep(eff.name, r.kind) {
		return
	}
	bad := r.bad
	points := r.points
	if c.depth > 0 {
		points = e.arena(len(r.points))
		for i, p := range r.points {
			points[i] = c.m.Apply(p)
			bad = bad || !points[i].Drawable()
		}
	}
	if bad {
		e.notes.merge(note{codeBadNumber, r.kind.String() + " on layer " + eff.name, 1, r.offset, r.handle, Vec3{}})
		return
	}
	s := Shape{Kind: r.kind, Points: points, Closed: r.closed, Layer: r.layer.name, EffLayer: eff.name, Style: r.style,
		Handle: r.handle, Path: c.path.names, Paper: paper, Offset: r.offset}
	outside := func(boundary []Vec3) bool { return !touches(boundary, points, r.closed) }
	s.Visible = c.shows(eff, r.invisible) && !slices.ContainsFunc(c.clips, outside) // it is enough that part of it shows
	e.out = append(e.out, s)
}

// arena hands out points from larger pieces of memory.
func (e *shapeLister) arena(n int) []Vec3 {
	if len(e.points) < n {
		e.points = make([]Vec3, max(n, 4096))
	}
	out := e.points[:n:n]
	e.points = e.points[n:]
	return out
}
