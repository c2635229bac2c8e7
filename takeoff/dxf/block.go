package dxf

import (
	"strings"

	"loopwright/takeoff/dxf/tags"
)

// readBlocks finds the block definitions. DXF reference, BLOCKS section.
func readBlocks(d *Drawing) {
	d.blockByKey = map[string]*Block{}
	x := &d.idx
	for _, s := range d.Sections {
		if s.Name != "BLOCKS" {
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
		closeBlock(d, open, s.last, false, s.Closed)
	}
	// Entities of model space stand in ENTITIES; some programs leave (part of)
	// them in the block of the layout.
	var layouts []span
	for _, b := range d.Blocks {
		if b.first < b.last && (b.ModelSpace() || b.PaperSpace()) {
			layouts = append(layouts, span{b.first, b.last, b.PaperSpace()})
		}
	}
	d.spans = append(layouts, d.spans...)
	for _, b := range d.Blocks {
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
		d.add(CodeSection, b.Start, b.Handle, "block %q is not closed by ENDBLK: part of it may be missing", b.Name)
	}
	d.Blocks = append(d.Blocks, b)
	if b.Name == "" {
		d.add(CodeNoName, b.Start, b.Handle, "a block has no name")
		return
	}
	k := key(b.Name)
	if d.blockByKey[k] != nil {
		d.add(CodeDupBlock, b.Start, b.Handle, "block %q is defined twice; the first definition is used", b.Name)
		return
	}
	d.blockByKey[k] = b
}

// readBlock reads a block header. DXF reference, BLOCK.
func readBlock(d *Drawing, i int) *Block {
	b := &Block{Handle: d.handleOf(i), Start: d.idx.Start(i), first: i + 1}
	second := ""
	for sc := d.tags(i); ; {
		t, ok := sc.Next()
		if !ok || t.Code >= 1000 {
			break
		}
		switch t.Code {
		case 1:
			b.XrefTo = d.Text(t)
		case 2:
			b.Name = d.Text(t)
		case 3:
			second = d.Text(t)
		case 10:
			b.Base.X, _ = d.Float(t)
		case 20:
			b.Base.Y, _ = d.Float(t)
		case 30:
			b.Base.Z, _ = d.Float(t)
		case 70:
			n, _ := d.Int(t)
			b.Flags = int(n)
		}
	}
	if b.Name == "" {
		b.Name = second
	}
	b.record = d.recByKey[key(b.Name)]
	return b
}

// sourceBlock names the block that a block stands for: a dynamic block that was
// changed is drawn by an anonymous one whose record points at its source. False
// means that the source of an anonymous block is not to be found there.
func sourceBlock(d *Drawing, b *Block) (string, bool) {
	if !strings.HasPrefix(b.Name, "*") {
		return b.Name, true
	}
	if b.record != nil && b.record.repOf != 0 {
		if source := d.recByHand[b.record.repOf]; source != nil && source.name != "" {
			return source.name, true
		}
	}
	return b.Name, false
}
