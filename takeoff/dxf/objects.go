package dxf

import (
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// objectIndex maps handles to the objects that inserts refer to.
func objectIndex(d *Drawing) map[tags.Handle]int {
	d.objectsMu.Do(func() {
		d.objects = map[tags.Handle]int{}
		for _, s := range d.sections {
			if s.name != "OBJECTS" {
				continue
			}
			for i := s.first; i < s.last; i++ {
				switch d.idx.Kind(i) {
				case tags.Dictionary, tags.SpatialFilter, tags.RepData:
					if h := d.handleOf(i); h != 0 {
						d.objects[h] = i
					}
				}
			}
		}
	})
	return d.objects
}

// lookup returns the handle under a key of a dictionary. DXF reference,
// DICTIONARY: 3 names an entry, 350 or 360 is its value.
func lookup(d *Drawing, dict tags.Handle, name string) (tags.Handle, bool) {
	i, ok := objectIndex(d)[dict]
	if !ok || d.idx.Kind(i) != tags.Dictionary {
		return 0, false
	}
	found := false
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok {
			return 0, false
		}
		switch t.Code {
		case 3:
			found = strings.EqualFold(d.Text(t), name)
		case 350, 360, 340, 330:
			if h, ok := d.Handle(t); ok && found {
				return tags.Handle(h), true
			}
		}
	}
}

// representedBlock follows an insert's extension dictionary to the block that it
// represents: AcDbBlockRepresentation, AcDbRepData, group 340.
func representedBlock(d *Drawing, extension tags.Handle) (string, bool) {
	rep, ok := lookup(d, extension, "AcDbBlockRepresentation")
	if !ok {
		return "", false
	}
	data, ok := lookup(d, rep, "AcDbRepData")
	if !ok {
		return "", false
	}
	i, ok := objectIndex(d)[data]
	if !ok {
		return "", false
	}
	t, ok := d.tagIn(i, 340)
	if !ok {
		return "", false
	}
	h, _ := d.Handle(t)
	r := d.recByHand[tags.Handle(h)]
	if r == nil || r.name == "" {
		return "", false
	}
	return r.name, true
}

// clipOf returns the boundary in block coordinates to which an insert is cut
// (XCLIP), nil if it has none or if it is switched off. Inverted clips need no
// care: the stored boundary runs around the part that is hidden.
func clipOf(d *Drawing, extension tags.Handle) []Vec3 {
	filters, ok := lookup(d, extension, "ACAD_FILTER")
	if !ok {
		return nil
	}
	spatial, ok := lookup(d, filters, "SPATIAL")
	if !ok {
		return nil
	}
	i, ok := objectIndex(d)[spatial]
	if !ok || d.idx.Kind(i) != tags.SpatialFilter {
		return nil
	}
	return readFilter(d, i)
}

// readFilter reads a clip boundary. DXF reference, SPATIAL_FILTER: the boundary
// is given in its own coordinates; the second matrix leads from the world (as it
// was when the insert was clipped) to them, the first from that world to the
// block.
func readFilter(d *Drawing, i int) []Vec3 {
	var points []Vec3
	var numbers []float64
	enabled, front := true, false
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok {
			break
		}
		f, good := d.Float(t)
		switch t.Code {
		case 10:
			points = append(points, Vec3{X: f})
		case 20:
			if len(points) > 0 {
				points[len(points)-1].Y = f
			}
		case 71:
			enabled = f != 0
		case 72:
			front = f != 0
		case 40:
			if !good {
				return nil
			}
			numbers = append(numbers, f)
		}
	}
	if front && len(numbers) > 24 {
		numbers = numbers[1:]
	}
	if !enabled || len(points) < 2 || len(numbers) < 24 {
		return nil
	}
	if len(points) == 2 {
		a, b := points[0], points[1]
		points = []Vec3{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}}
	}
	toBlock := rows(numbers[:12])
	toWorld, ok := rows(numbers[12:24]).inverse()
	if !ok {
		return nil
	}
	all := toBlock.then(toWorld)
	for k := range points {
		points[k] = all.Apply(points[k])
	}
	return points
}

// rows makes a map from the twelve numbers of a stored matrix: three rows of
// three factors and a displacement.
func rows(n []float64) Affine {
	return Affine{
		x: Vec3{n[0], n[4], n[8]}, y: Vec3{n[1], n[5], n[9]},
		z: Vec3{n[2], n[6], n[10]}, t: Vec3{n[3], n[7], n[11]},
	}
}

// inside tells in plan whether a place lies within a boundary (even-odd rule).
func inside(world []Vec3, p Vec3) bool {
	in := false
	for i, j := 0, len(world)-1; i < len(world); j, i = i, i+1 {
		a, b := world[i], world[j]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y)+a.X {
			in = !in
		}
	}
	return in
}

// touches tells in plan whether any of a line of points lies within a boundary:
// one of its points, or a piece that crosses the boundary.
func touches(boundary, points []Vec3, closed bool) bool {
	for i, p := range points {
		if inside(boundary, p) {
			return true
		}
		if i == 0 && !closed {
			continue
		}
		before := points[(i+len(points)-1)%len(points)]
		for k, b := range boundary {
			if crosses(before, p, boundary[(k+len(boundary)-1)%len(boundary)], b) {
				return true
			}
		}
	}
	return false
}

// crosses tells in plan whether two pieces of line cross.
func crosses(a, b, c, d Vec3) bool {
	side := func(p, q, r Vec3) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
