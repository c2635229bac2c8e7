package dxf

import (
	"math"
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// names resolves layer and block names once per spelling. Each worker has its
// own, so none has to wait for another.
type names struct {
	d      *Drawing
	layers map[string]*layerRef
	blocks map[string]namedBlock
	tags   map[string]string
}

type namedBlock struct {
	name  string
	block *Block
}

func newNames(d *Drawing) *names {
	return &names{d, map[string]*layerRef{}, map[string]namedBlock{}, map[string]string{}}
}

func (n *names) layer(t tags.Tag) *layerRef {
	raw := n.d.Raw(t)
	if l := n.layers[string(raw)]; l != nil {
		return l
	}
	name := n.d.Text(t)
	l := &layerRef{name: name, def: n.d.layerByKey[key(name)], zero: name == "0"}
	n.layers[string(raw)] = l
	return l
}

func (n *names) block(t tags.Tag) namedBlock {
	raw := n.d.Raw(t)
	if b, ok := n.blocks[string(raw)]; ok {
		return b
	}
	b := namedBlock{name: n.d.Text(t)}
	b.block = n.d.blockByKey[key(b.name)]
	n.blocks[string(raw)] = b
	return b
}

func (n *names) tag(t tags.Tag) string {
	raw := n.d.Raw(t)
	if s, ok := n.tags[string(raw)]; ok {
		return s
	}
	s := n.d.Text(t)
	n.tags[string(raw)] = s
	return s
}

// style reads the groups that say how an entity is drawn. DXF reference, common group codes.
func (n *names) style(s *Style, t tags.Tag) {
	switch t.Code {
	case 6:
		if name := n.tag(t); !strings.EqualFold(name, "BYLAYER") && !strings.EqualFold(name, "BYBLOCK") {
			s.Linetype = name
		}
	case 62:
		if v, ok := n.d.Int(t); ok && v > 0 && v < 256 {
			s.Color = int(v)
		}
	case 420:
		if v, ok := n.d.Int(t); ok {
			if r, g, b := v>>16&255, v>>8&255, v&255; max(r, g, b)-min(r, g, b) <= 16 && r >= 48 && r <= 224 {
				s.Color = Grey
			}
		}
	}
}

var noLayer = &layerRef{name: "0", zero: true}

// readInsert reads INSERT i with the ATTRIBs that follow it. DXF reference, INSERT.
func readInsert(n *names, i int) rawInsert {
	d := n.d
	r := rawInsert{
		layer: noLayer, scale: Vec3{1, 1, 1}, extrusion: Vec3{0, 0, 1}, cols: 1, rows: 1,
		handle: d.handleOf(i), offset: d.idx.Start(i),
	}
	dictionary := false
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var t tags.Tag
	for pos < end {
		if fault, ok := d.ReadTag(pos, end, &t); !ok || t.Code >= 1000 {
			r.bad = r.bad || fault != tags.FaultNone
			break
		}
		pos = t.End
		switch t.Code {
		case 2:
			b := n.block(t)
			r.name, r.block = b.name, b.block
		case 6, 62, 420:
			n.style(&r.style, t)
		case 8:
			r.layer = n.layer(t)
		case 10, 20, 30, 41, 42, 43, 44, 45, 50, 210, 220, 230:
			f, ok := d.Float(t)
			if !ok {
				r.bad = true
				continue
			}
			r.number(t.Code, f)
		case 60:
			v, _ := d.Int(t)
			r.invisible = v&1 != 0
		case 67:
			v, _ := d.Int(t)
			r.paper = v&1 != 0
		case 70:
			r.cols = readCount(n, t)
		case 71:
			r.rows = readCount(n, t)
		case 102:
			dictionary = string(d.Raw(t)) == "{ACAD_XDICTIONARY"
		case 360:
			if h, ok := d.Handle(t); ok && dictionary && r.dict == 0 {
				r.dict = tags.Handle(h)
			}
		}
	}
	r.cols, r.rows = elements(r.cols, r.dcol), elements(r.rows, r.drow)
	r.resolve(d)
	readAttribs(n, i, &r)
	return r
}

// readTable reads ACAD_TABLE i: the anonymous block that shows it, where it stands and in
// which direction it runs. DXF reference, ACAD_TABLE. The cells repeat other groups with other meanings.
func readTable(n *names, i int) rawInsert {
	d := n.d
	r := rawInsert{layer: noLayer, scale: Vec3{1, 1, 1}, extrusion: Vec3{0, 0, 1}, cols: 1, rows: 1, handle: d.handleOf(i), offset: d.idx.Start(i)}
	cells := false
	var along Vec3
	sc := d.tags(i)
	for {
		t, ok := sc.Next()
		if !ok || t.Code >= 1000 {
			break
		}
		if t.Code == 100 {
			cells = string(d.Raw(t)) == "AcDbTable"
			continue
		}
		switch {
		case !cells && t.Code == 2:
			b := n.block(t)
			r.name, r.block = b.name, b.block
		case t.Code == 8:
			r.layer = n.layer(t)
		case !cells && t.Code == 67:
			v, _ := d.Int(t)
			r.paper = v&1 != 0
		case !cells && t.Code == 60:
			v, _ := d.Int(t)
			r.invisible = v&1 != 0
		case !cells && (t.Code == 10 || t.Code == 20 || t.Code == 30):
			f, ok := d.Float(t)
			r.bad = r.bad || !ok
			r.number(t.Code, f)
		case t.Code == 11:
			along.X, _ = d.Float(t)
		case t.Code == 21:
			along.Y, _ = d.Float(t)
		}
	}
	r.bad = r.bad || len(sc.Faults) > 0
	if along != (Vec3{}) {
		r.rotation = math.Atan2(along.Y, along.X) * 180 / math.Pi
	}
	return r
}

func (r *rawInsert) number(code int, f float64) {
	switch code {
	case 10:
		r.pos.X = f
	case 20:
		r.pos.Y = f
	case 30:
		r.pos.Z = f
	case 41:
		r.scale.X = f
	case 42:
		r.scale.Y = f
	case 43:
		r.scale.Z = f
	case 44:
		r.dcol = f
	case 45:
		r.drow = f
	case 50:
		r.rotation = f
	case 210:
		r.extrusion.X = f
	case 220:
		r.extrusion.Y = f
	case 230:
		r.extrusion.Z = f
	}
}

// readCount reads a number of columns or rows; less than one means one.
func readCount(n *names, t tags.Tag) int {
	v, _ := n.d.Int(t)
	return int(max(v, 1))
}

// elements is how many elements an array really shows: with a spacing of zero
// all fall on one place and draw one.
func elements(count int, spacing float64) int {
	if spacing == 0 {
		return 1
	}
	return count
}

// resolve finds the block that the insert stands for and its clip boundary.
func (r *rawInsert) resolve(d *Drawing) {
	r.effective, r.traced = r.name, true
	if r.block != nil {
		r.effective, r.traced = r.block.effective, r.block.traced
	}
	if r.dict == 0 {
		return
	}
	if !r.traced {
		if name, ok := representedBlock(d, r.dict); ok {
			r.effective, r.traced = name, true
		}
	}
	r.clip = clipOf(d, r.dict)
}

// readAttribs reads the ATTRIBs after INSERT i.
func readAttribs(n *names, i int, r *rawInsert) {
	last := i + 1
	for last < n.d.idx.Len() && n.d.idx.Kind(last) == tags.Attrib {
		last++
	}
	if last == i+1 {
		return
	}
	r.attribs = make([]rawAttrib, 0, last-i-1)
	for k := i + 1; k < last; k++ {
		r.attribs = append(r.attribs, readAttrib(n, k))
	}
}

// readAttrib reads an ATTRIB or ATTDEF. DXF reference, ATTRIB and ATTDEF. From
// R2018 on (and in attributes of several lines) an embedded MTEXT follows group
// 101; its groups are not the attribute's, but its text is the whole text.
func readAttrib(n *names, i int) rawAttrib {
	d := n.d
	a := rawAttrib{layer: noLayer, handle: d.handleOf(i), offset: d.idx.Start(i)}
	extrusion := Vec3{0, 0, 1}
	var anchor rawAnchor
	var long []byte
	var value tags.Tag
	embedded, hasValue := false, false
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var t tags.Tag
	for pos < end {
		if _, ok := d.ReadTag(pos, end, &t); !ok || t.Code >= 1000 {
			break
		}
		pos = t.End
		if embedded {
			if t.Code == 1 || t.Code == 3 {
				long = append(long, d.Raw(t)...)
			}
			continue
		}
		switch t.Code {
		case 1:
			value, hasValue = t, true
		case 2:
			a.tag = n.tag(t)
		case 8:
			a.layer = n.layer(t)
		case 10, 20, 30, 11, 21, 31:
			anchor.number(d, t)
		case 40:
			a.height, _ = d.Float(t)
		case 70:
			v, _ := d.Int(t)
			a.invisible, a.constant = v&1 != 0, v&2 != 0
		case 72:
			v, _ := d.Int(t)
			anchor.horizontal = int(v)
		case 74:
			v, _ := d.Int(t)
			anchor.vertical = int(v)
		case 101:
			embedded = true
		case 210:
			extrusion.X, _ = d.Float(t)
		case 220:
			extrusion.Y, _ = d.Float(t)
		case 230:
			extrusion.Z, _ = d.Float(t)
		}
	}
	a.pos = ocs(extrusion).Apply(anchor.point())
	switch {
	case len(long) > 0:
		a.value = plainMText(d.Decode(long))
	case hasValue:
		a.value = plainText(d.Text(value))
	}
	return a
}

// rawAnchor is where a TEXT or ATTRIB is placed: its first point and, if it is
// aligned otherwise than left on the baseline, its second.
type rawAnchor struct {
	first, second        Vec3
	hasSecond            bool
	horizontal, vertical int
}

// point is the place that governs: the second point if the text is aligned
// otherwise than left on the baseline or between two points (DXF reference,
// TEXT, groups 11, 72 and 73).
func (a *rawAnchor) point() Vec3 {
	if a.hasSecond && a.horizontal != 3 && a.horizontal != 5 && (a.horizontal != 0 || a.vertical != 0) {
		return a.second
	}
	return a.first
}

func (a *rawAnchor) number(d *Drawing, t tags.Tag) bool {
	f, ok := d.Float(t)
	switch t.Code {
	case 10:
		a.first.X = f
	case 20:
		a.first.Y = f
	case 30:
		a.first.Z = f
	case 11:
		a.second.X, a.hasSecond = f, true
	case 21:
		a.second.Y = f
	case 31:
		a.second.Z = f
	}
	return ok
}

// insertsOf reads the inserts of a block, once.
func insertsOf(d *Drawing, b *Block) []rawInsert {
	b.contentOnce.Do(func() {
		n := newNames(d)
		for i := b.first; i < b.last; i++ {
			switch k := d.idx.Kind(i); k {
			default:
				if _, ok := shapeKindOf(k); ok {
					b.node.ownShapes++
				}
			case tags.Insert:
				b.inserts = append(b.inserts, readInsert(n, i))
			case tags.Attdef:
				if a := readAttrib(n, i); a.constant && a.tag != "" {
					b.constants = append(b.constants, a)
				}
			case tags.Text, tags.MText:
				b.node.ownTexts++
			}
		}
	})
	return b.inserts
}
