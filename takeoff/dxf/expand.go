package dxf

import "slices"

// Options say what to list.
type Options struct {
	Paper bool // paper space too
	// limit bounds how many inserts, texts or shapes are listed in all; 0 means
	// defaultLimit (five times that for shapes) beyond what is stored outside blocks,
	// so that a long drawing is not taken for a bomb.
	limit int
	// Keep tells which shapes are wanted, by effective layer and kind; nil means all.
	Keep func(layer string, kind ShapeKind) bool
}

// defaultLimit is far more than the blocks of any plan expand to: 40 storeys of
// 300 rooms with 10 devices each make an eighth of it.
const defaultLimit = 1_000_000

// context is where an expansion stands.
type context struct {
	m      Affine
	path   *pathNode
	layer  *layerRef // of the insert around, for layer 0; nil outside blocks
	hidden bool      // an insert around is frozen or invisible
	clips  [][]Vec3  // boundaries in the world
	paper  bool
	depth  int
}

// effective returns the layer that governs an entity.
func (c *context) effective(l *layerRef) *layerRef {
	if l.zero && c.layer != nil {
		return c.layer
	}
	return l
}

// shows reports whether an entity on a layer is visible, clip boundaries aside. A
// frozen layer hides what an insert on it contains; a layer that is off hides only
// what is on it, as CAD programs do.
func (c *context) shows(l *layerRef, invisible bool) bool {
	return !c.hidden && !invisible && (l.def == nil || !l.def.Frozen && !l.def.Off)
}

// clipped reports whether a place lies outside a clip boundary.
func (c *context) clipped(p Vec3) bool {
	return slices.ContainsFunc(c.clips, func(boundary []Vec3) bool { return !inside(boundary, p) })
}

// placement is one element of an insert in the world.
type placement struct {
	m          Affine // block to world
	pos        Vec3
	shift      Vec3 // of this element against the first one, in the world
	dx, dy, dz Vec3 // images of the axes without the insert's own scales
}

// place computes where an element of an insert's array stands. Columns and rows
// are spaced along the insert's own turned axes and are not scaled (DXF
// reference, INSERT; MINSERT).
func place(r *rawInsert, c *context, base Vec3, col, row int) placement {
	o := ocs(r.extrusion)
	sin, cos := sincos(r.rotation)
	dx := o.direction(Vec3{cos, sin, 0})
	dy := o.direction(Vec3{-sin, cos, 0})
	dz := o.z
	shift := dx.times(float64(col) * r.dcol).add(dy.times(float64(row) * r.drow))
	local := Affine{x: dx.times(r.scale.X), y: dy.times(r.scale.Y), z: dz.times(r.scale.Z)}
	at := o.Apply(r.pos).add(shift)
	local.t = at.sub(local.direction(base))
	if c.depth == 0 { // the world is the space it stands in
		return placement{local, at, shift, dx, dy, dz}
	}
	return placement{
		m: c.m.then(local), pos: c.m.Apply(at), shift: c.m.direction(shift),
		dx: c.m.direction(dx), dy: c.m.direction(dy), dz: c.m.direction(dz),
	}
}

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

// walker goes through the blocks that a unit of work shows.
type walker struct {
	d      *Drawing
	opt    Options
	names  *names
	root   *pathNode
	budget int // names held by paths
	notes  *notebook
}

func newWalker(d *Drawing, opt Options, notes *notebook) *walker {
	return &walker{d: d, opt: opt, names: newNames(d), root: &pathNode{}, notes: notes}
}

// enter makes the context for the content of an insert.
func (w *walker) enter(r *rawInsert, c *context, pl *placement) (context, bool) {
	if c.depth+1 >= maxDepth || w.budget > maxPathNames {
		w.notes.note(codeTooDeep, r.name, r, pl.pos)
		return context{}, false
	}
	inner := context{
		m: pl.m, path: c.path.child(r.name, &w.budget), layer: c.effective(r.layer),
		clips: c.clips, paper: c.paper, depth: c.depth + 1,
	}
	inner.hidden = c.hidden || r.invisible || inner.layer.def != nil && inner.layer.def.Frozen
	if r.clip != nil {
		world := make([]Vec3, len(r.clip))
		for i, p := range r.clip {
			world[i] = pl.m.Apply(p)
		}
		inner.clips = append(slices.Clip(inner.clips), world)
	}
	return inner, true
}
