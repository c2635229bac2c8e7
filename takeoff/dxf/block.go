package dxf

import (
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// readBlocks finds the block definitions. DXF reference, BLOCKS section.
func readBlocks(d *Drawing) {
	d.blockByKey = map[string]*Block{}
	x := &d.idx
	for _, s := range d.sections {
		if s.name != "BLOCKS" {
			continue
		}
		var open *Block
		for i := s.first; i < s.last; i++ {
			switch x.Kind(i) {
			case tags.Block:
				closeBlock(d, open, i, false, true)
				open = readBlock(d, i)
			case tags.EndBlk:
				closeBlock(d, open, i, true, true)
				open = nil
			}
		}
		closeBlock(d, open, s.last, false, s.closed)
	}
	// Entities of model space stand in ENTITIES; some programs leave (part of)
	// them in the block of the layout.
	var layouts []span
	for _, b := range d.blocks {
		if b.first < b.last && (b.modelSpace() || b.paperSpace()) {
			layouts = append(layouts, span{b.first, b.last, b.paperSpace()})
		}
	}
	d.spans = append(layouts, d.spans...)
	for _, b := range d.blocks {
		b.effective, b.traced = sourceBlock(d, b)
	}
}

// closeBlock ends a block, if there is one, before record i. Where its section is
// not whole either, that has been reported.
func closeBlock(d *Drawing, b *Block, i int, closed, whole bool) {
	if b == nil {
		return
	}
	b.last = i
	if !closed && whole {
		d.add(codeSection, b.start, b.handle, "block %q has no ENDBLK: part of it may be missing", b.name)
	}
	d.blocks = append(d.blocks, b)
	if b.name == "" {
		d.add(codeNoName, b.start, b.handle, "a block has no name")
		return
	}
	k := key(b.name)
	if d.blockByKey[k] != nil {
		d.add(codeDupBlock, b.start, b.handle, "block %q is defined twice; the first definition is used", b.name)
		return
	}
	d.blockByKey[k] = b
}

// readBlock reads a block header. DXF reference, BLOCK.
func readBlock(d *Drawing, i int) *Block {
	b := &Block{handle: d.handleOf(i), start: d.idx.Start(i), first: i + 1}
	second := ""
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok || t.Code >= 1000 {
			break
		}
		switch t.Code {
		case 1:
			b.xrefTo = d.Text(t)
		case 2:
			b.name = d.Text(t)
		case 3:
			second = d.Text(t)
		case 10:
			b.base.X, _ = d.Float(t)
		case 20:
			b.base.Y, _ = d.Float(t)
		case 30:
			b.base.Z, _ = d.Float(t)
		case 70:
			n, _ := d.Int(t)
			b.flags = int(n)
		}
	}
	if b.name == "" {
		b.name = second
	}
	b.record = d.recByKey[key(b.name)]
	return b
}

// sourceBlock names the block that a block stands for: a dynamic block that was
// changed is drawn by an anonymous one whose record points at its source. False
// means that the source of an anonymous block is not to be found there.
func sourceBlock(d *Drawing, b *Block) (string, bool) {
	if !strings.HasPrefix(b.name, "*") {
		return b.name, true
	}
	if b.record != nil && b.record.repOf != 0 {
		if source := d.recByHand[b.record.repOf]; source != nil && source.name != "" {
			return source.name, true
		}
	}
	return b.name, false
}
