package job

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
)

// parse reads one value; a complaint of its own goes with false.
type parse[V any] func(d *decoder, n ast.Node, path string) (V, bool)

// to stores what p reads in the field that at points to.
func to[T, V any](p parse[V], at func(*T) *V) field[T] {
	return field[T]{read: func(d *decoder, n ast.Node, path string, into *T) {
		if v, ok := p(d, n, path); ok {
			*at(into) = v
		}
	}}
}

// toPtr stores what p reads behind a pointer that is nil without it.
func toPtr[T, V any](p parse[V], at func(*T) **V) field[T] {
	return field[T]{read: func(d *decoder, n ast.Node, path string, into *T) {
		if v, ok := p(d, n, path); ok {
			*at(into) = &v
		}
	}}
}

// section reads a nested mapping.
func section[T, R any](t *table[R], at func(*T) *R) field[T] {
	return field[T]{doc: t, read: func(d *decoder, n ast.Node, path string, into *T) {
		t.decode(d, n, path, at(into))
	}}
}

// sectionPtr reads a nested mapping that may be left out.
func sectionPtr[T, R any](t *table[R], at func(*T) **R) field[T] {
	return field[T]{doc: t, optional: true, read: func(d *decoder, n ast.Node, path string, into *T) {
		var r R
		if t.decode(d, n, path, &r) {
			*at(into) = &r
		}
	}}
}

// rows reads a list of mappings. The row is stored even if parts of it are
// wrong, so that names in it can be referred to without a second complaint.
func rows[T, R any](t *table[R], at func(*T) *[]R) field[T] {
	return field[T]{doc: t, rows: true, optional: true, read: func(d *decoder, n ast.Node, path string, into *T) {
		list, ok := n.(*ast.SequenceNode)
		if !ok {
			d.complain(path, "expected %s, each with a dash before it, as in - %s: %s; found %s",
				strings.Replace(t.title, "a row", "rows", 1), t.keys[0].name, t.keys[0].sampleLine(), describe(n))
			return
		}
		if len(list.Values) == 0 {
			return
		}
		rs := make([]R, len(list.Values)) // in one piece: what is worked out later goes into the row where it stands
		*at(into) = rs
		for i, item := range list.Values {
			t.decode(d, item, d.item(path, i, item), &rs[i])
		}
	}}
}

// list reads a list of values; one value alone stands for a list of one.
func list[V any](p parse[V]) parse[[]V] {
	return func(d *decoder, n ast.Node, path string) ([]V, bool) {
		seq, ok := n.(*ast.SequenceNode)
		if !ok {
			v, ok := p(d, n, path)
			return []V{v}, ok
		}
		out, good := make([]V, 0, len(seq.Values)), true
		for i, item := range seq.Values {
			v, ok := p(d, item, d.item(path, i, item))
			good = good && ok
			out = append(out, v)
		}
		return out, good
	}
}

// item marks a list's item and returns its path.
func (d *decoder) item(path string, i int, n ast.Node) string {
	p := fmt.Sprintf("%s[%d]", path, i)
	if !d.made {
		d.job.marks[p] = nodePlace(n)
	}
	return p
}

// numbers reads exactly len(names) plain numbers.
func numbers(d *decoder, n ast.Node, path string, shape string, count int) ([]float64, bool) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok || len(seq.Values) != count {
		d.complain(path, "expected %s, found %s", shape, listed(n))
		return nil, false
	}
	return list(number(-1e12, 1e12))(d, n, path)
}

func listed(n ast.Node) string {
	if seq, ok := n.(*ast.SequenceNode); ok {
		return fmt.Sprintf("a list of %d", len(seq.Values))
	}
	return describe(n)
}

// point reads [x, y] in drawing units.
func point(d *decoder, n ast.Node, path string) (geom.Point, bool) {
	v, ok := numbers(d, n, path, "a point as [x, y] in drawing units", 2)
	if !ok {
		return geom.Point{}, false
	}
	return geom.Pt(v[0], v[1]), true
}

// box reads [x1, y1, x2, y2] in drawing units, any two opposite corners.
func box(d *decoder, n ast.Node, path string) (geom.Box, bool) {
	v, ok := numbers(d, n, path, "a rectangle as [x1, y1, x2, y2], two opposite corners in drawing units", 4)
	if !ok {
		return geom.Box{}, false
	}
	b := geom.BoxOf(geom.Pt(v[0], v[1]), geom.Pt(v[2], v[3]))
	if b.Min.X == b.Max.X || b.Min.Y == b.Max.Y {
		d.complain(path, "the rectangle has no area: give two opposite corners [x1, y1, x2, y2]")
		return geom.Box{}, false
	}
	return b, true
}

// boxes reads a list of rectangles.
func boxes(d *decoder, n ast.Node, path string) ([]geom.Box, bool) {
	if seq, ok := n.(*ast.SequenceNode); ok && len(seq.Values) > 0 {
		if _, flat := seq.Values[0].(ast.ScalarNode); flat {
			d.complain(path, "expected a list of rectangles, as in [[x1, y1, x2, y2]]: add another pair of brackets")
			return nil, false
		}
	}
	return list(box)(d, n, path)
}

// outline reads a ring of at least three points.
func outline(d *decoder, n ast.Node, path string) (geom.Ring, bool) {
	ps, ok := list(point)(d, n, path)
	if ok && len(ps) < 3 {
		d.complain(path, "an outline needs at least three corners, as in [[0, 0], [2400, 0], [2400, 1600]]")
		return nil, false
	}
	return geom.Ring(ps), ok
}

// pair reads [across, down] as two lengths.
func pair(d *decoder, n ast.Node, path string) (geom.Point, bool) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok || len(seq.Values) != 2 {
		d.complain(path, "expected two lengths [across, down], as in [2.75 in, 1 in], found %s", listed(n))
		return geom.Point{}, false
	}
	v, ok := list(quantity(measure.Small, 0, 10))(d, n, path)
	if !ok {
		return geom.Point{}, false
	}
	return geom.Pt(v[0], v[1]), true
}
