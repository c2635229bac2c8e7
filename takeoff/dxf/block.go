package dxf

import (
	"strings"
	"sync"

	"loopwright/takeoff/dxf/tags"
)

// Block is a block definition.
type Block struct {
	Name     string
	Handle   tags.Handle
	Layer    string
	Base     Vec3
	Flags    int    // 70
	XrefTo   string // path of the drawing that an external reference stands for
	Units    int    // of the block, as $INSUNITS; HasUnits tells whether it says
	Start    int    // offset of its BLOCK tag
	EndBlk   int    // offset of its ENDBLK tag, or where it stops without one
	HasUnits bool

	record      *BlockRecord
	first, last int
	effective   string
	by          EffectiveBy
	contentOnce sync.Once
	inserts     []rawInsert // in order
	constants   []rawAttrib // ATTDEFs whose value is the same for every insert
	textOnce    sync.Once
	texts       []rawText
	shapeMu     sync.Mutex
	shapes      map[int][]rawShape // flattened, by power of two of the chord error
	node        blockNode
}

// Xref tells whether the block stands for another drawing that is not part of
// this file.
func (b *Block) Xref() bool { return b.Flags&(4|8) != 0 }

// ModelSpace and PaperSpace tell whether the block is a layout.
func (b *Block) ModelSpace() bool { return isLayout(b.Name, "MODEL_SPACE") }

// PaperSpace tells whether the block is a paper space layout.
func (b *Block) PaperSpace() bool { return isLayout(b.Name, "PAPER_SPACE") }

func isLayout(name, want string) bool {
	if len(name) <= len(want) || name[0] != '*' && name[0] != '$' {
		return false
	}
	return strings.HasPrefix(strings.ToUpper(name[1:]), want)
}

// Block finds a block definition; names are compared without regard to case.
func (d *Drawing) Block(name string) (*Block, bool) {
	b := d.blockByKey[key(name)]
	return b, b != nil
}

// readBlocks finds the block definitions. DXF reference, BLOCKS section.
func (d *Drawing) readBlocks() {
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
				d.closeBlock(open, i, false, true)
				open = d.readBlock(i)
			case tags.EndBlk:
				d.closeBlock(open, i, true, true)
				open = nil
			}
		}
		d.closeBlock(open, s.last, false, s.Closed)
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
		b.effective, b.by = d.sourceBlock(b)
	}
}

// closeBlock ends a block, if there is one, before record i. Where its section is
// not whole either, that has been reported.
func (d *Drawing) closeBlock(b *Block, i int, closed, whole bool) {
	if b == nil {
		return
	}
	b.last, b.EndBlk = i, d.idx.End
	if i < d.idx.Len() {
		b.EndBlk = d.idx.Start(i)
	}
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
func (d *Drawing) readBlock(i int) *Block {
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
		case 8:
			b.Layer = d.Text(t)
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
	if r := d.recByKey[key(b.Name)]; r != nil {
		b.record, b.Units, b.HasUnits = r, r.Units, r.HasUnits
	}
	return b
}

// EffectiveBy says how the name of an insert's block was found.
type EffectiveBy uint8

const (
	OwnName        EffectiveBy = iota // the block's own name
	FromRecord                        // an anonymous block, by the extended data of its block record
	FromDictionary                    // an anonymous block, by the dictionary of the insert
	AnonymousName                     // an anonymous block whose source is not to be found
)

// sourceBlock names the block that a block stands for: a dynamic block that was
// changed is drawn by an anonymous one whose record points at its source.
func (d *Drawing) sourceBlock(b *Block) (string, EffectiveBy) {
	if !strings.HasPrefix(b.Name, "*") {
		return b.Name, OwnName
	}
	if b.record != nil && b.record.RepOf != 0 {
		if source := d.recByHand[b.record.RepOf]; source != nil && source.Name != "" {
			return source.Name, FromRecord
		}
	}
	return b.Name, AnonymousName
}
