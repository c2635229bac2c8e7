package edit

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/tags"
)

// Addition is what is to be put into a drawing: layers and a text style of our
// own and entities in model space, all at height 0.
type Addition struct {
	Layers   []Layer  // at least those that Entities name; none: one layer LOOPWRIGHT
	Entities []Entity // in drawing order, the last on top
	Attribs  []AttribChange
}

// Layer is a layer of ours, on, thawed and plotting.
type Layer struct {
	Name       string // up to 31 letters, digits, $ - _; up to R14 it is written in capitals
	Color      int    // 1 to 255
	Lineweight int    // hundredths of a millimetre as in group code 370, 0 for the default; from R2000 on
}

// Our text style: a font that every CAD program has.
const (
	styleName = "LOOPWRIGHT"
	styleFont = "txt"
)

// Edited is a drawing with an addition, and how it came out.
type Result struct {
	Bytes   []byte
	Layers  map[string]string // layer as asked for -> as written; they differ where somebody else had the name
	Attribs []AttribChanged
}

// Add returns a drawing with a added and everything else as it was, byte for
// byte; only $HANDSEED is raised where it must be. What an earlier call added
// goes first, so adding twice gives the same bytes as adding once. A drawing
// that cannot be edited safely is an error that says why.
func Add(d *dxf.Drawing, a Addition) (*Result, error) {
	fail := func(err error) (*Result, error) { return nil, fmt.Errorf("%s: not edited: %w", d.Name, err) }
	devices := a.devices()
	o, err := watchOutline(d.Source, devices)
	if err != nil {
		return fail(err)
	}
	bare, kept := strip(o)
	if o.HasOurs() {
		if o, err = watchOutline(tags.NewSource(d.Name, bare), devices); err != nil {
			return fail(err)
		}
	}
	ed, err := newEditor(o, a, kept)
	if err != nil {
		return fail(err)
	}
	for i, e := range a.Entities {
		if e != nil && e.base().Device != 0 && !devices[e.base().Device] {
			return fail(fmt.Errorf("entity %d of the addition belongs to the device %s, which is not in the drawing", i+1, e.base().Device))
		}
	}
	out, err := ed.run()
	if err != nil {
		return fail(err)
	}
	return out, nil
}

// devices lists the devices that entities belong to, as not yet seen.
func (a Addition) devices() map[tags.Handle]bool {
	m := map[tags.Handle]bool{}
	for _, e := range a.Entities {
		if e != nil && e.base().Device != 0 {
			m[e.base().Device] = false
		}
	}
	return m
}

// editor turns one addition into splices.
type editor struct {
	o       *Outline
	a       Addition
	handles bool
	owner   tags.Handle // block record of model space, 0 up to R12
	next    tags.Handle // the next free handle
	layers  []editLayer
	style   editStyle
	changes []attribSpot
	made    []string // tables that the drawing lacks
	out     *Result
}

// editLayer is one layer of the addition: a new record, or one that an earlier
// addition left behind because the drawing came to use it.
type editLayer struct {
	Layer
	as      string
	handle  tags.Handle
	adopted *namedRecord
}

type editStyle struct {
	needed  bool
	as      string
	handle  tags.Handle
	adopted *namedRecord
}

// newEditor checks everything that can be refused before a byte is written.
func newEditor(o *Outline, a Addition, kept []mark) (*editor, error) {
	ed := &editor{o: o, a: a, out: &Result{Layers: map[string]string{}}}
	ed.handles = o.Handles()
	if len(ed.a.Layers) == 0 {
		ed.a.Layers = []Layer{{Name: "LOOPWRIGHT", Color: 7}}
	}
	for _, step := range []func() error{
		func() error { return ed.place() },
		func() error { return ed.nameLayers(kept) },
		func() error { return ed.nameStyle(kept) },
		ed.checkEntities,
		ed.findAttribs,
		ed.numberTables,
	} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return ed, nil
}

// place finds where records go, and refuses drawings in which they cannot.
func (ed *editor) place() error {
	o := ed.o
	if o.entitiesEnd < 0 {
		return fmt.Errorf("there is no ENTITIES section")
	}
	for _, name := range []string{"LAYER", "STYLE", "APPID"} {
		switch {
		case o.tables[name] != nil && o.rel.owned() && o.TableOwner(name) == 0:
			return fmt.Errorf("the table %s has no handle, so new records in it would have no owner; recover the drawing in a CAD program", name)
		case o.tables[name] != nil:
		case o.rel.owned():
			return fmt.Errorf("the table %s is missing, which no program of this version leaves out; recover the drawing in a CAD program", name)
		default:
			ed.made = append(ed.made, name)
		}
	}
	if o.tablesEnd < 0 {
		if o.firstBody < 0 {
			return fmt.Errorf("there is no section before which a TABLES section could stand")
		}
		ed.made = append(ed.made, "TABLES")
	}
	if o.rel.owned() {
		owner, err := o.ModelSpace()
		ed.owner = owner
		return err
	}
	return nil
}

// checkEntities refuses an entity that would come out wrong.
func (ed *editor) checkEntities() error {
	known := map[string]bool{}
	for _, l := range ed.layers {
		known[foldName(l.Name)] = true
	}
	for i, e := range ed.a.Entities {
		if e == nil {
			return fmt.Errorf("entity %d of the addition is nil", i+1)
		}
		b := e.base()
		err := e.validate()
		switch {
		case err != nil:
		case !known[foldName(b.Layer)]:
			err = fmt.Errorf("its layer %q is none of the addition's layers", b.Layer)
		case b.Kind == "" || strings.ContainsFunc(b.Kind, func(r rune) bool { return r >= utf8.RuneSelf }) || len(b.Kind) > 100 || checkPlain(b.Kind, "kind") != nil:
			err = fmt.Errorf("its kind %q is not a short ASCII word", b.Kind)
		}
		if err != nil {
			return fmt.Errorf("entity %d of the addition (%s): %w", i+1, strings.TrimPrefix(fmt.Sprintf("%T", e), "edit."), err)
		}
	}
	return nil
}

// run writes the records and makes the splices.
func (ed *editor) run() (*Result, error) {
	o := ed.o
	entities := ed.writeEntities()
	if err := ed.checkHandles(); err != nil {
		return nil, err
	}
	splices, notes, err := ed.raiseSeed()
	if err != nil {
		return nil, err
	}
	for _, m := range ed.made {
		notes = append(notes, noteMade+m)
	}
	splices = append(splices, ed.writeTables(notes)...)
	splices = append(splices, ed.writeAttribs()...)
	splices = append(splices, splice{o.entitiesEnd, o.entitiesEnd, entities})
	ed.out.Bytes = applySplices(o.src.Bytes, splices)
	return ed.out, nil
}

func (ed *editor) writeEntities() []byte {
	w := &entityWriter{emitter: newEmitter(ed.o.src, ed.o.rel), rel: ed.o.rel, handles: ed.handles,
		owner: ed.owner, next: ed.next, layers: map[string]string{}, style: ed.style.as}
	for _, l := range ed.layers {
		w.layers[foldName(l.Name)] = l.as
	}
	for _, e := range ed.a.Entities {
		w.cur = e.base()
		e.emit(w)
	}
	ed.next = w.next
	return w.buf
}

// checkHandles refuses to run out of handles.
func (ed *editor) checkHandles() error {
	if ed.handles && uint64(ed.next) <= ed.o.max {
		return fmt.Errorf("the highest handle in the drawing, %X, leaves no room for new ones; recover the drawing in a CAD program", ed.o.max)
	}
	return nil
}

// raiseSeed raises $HANDSEED above the new handles where it is not already.
// It is the only value of the drawing that is ever replaced, and the old text
// goes into our notes.
func (ed *editor) raiseSeed() (splices []splice, notes []string, err error) {
	o := ed.o
	if !ed.handles || !o.hasSeed {
		return nil, nil, nil
	}
	start, end := trimmedSpan(o.src.Bytes, o.seed)
	old := string(o.src.Bytes[start:end])
	seed, _ := o.src.Handle(o.seed)
	if !cleanHandle(o.src, o.seed) || o.seed.Code != 5 {
		return nil, nil, fmt.Errorf("$HANDSEED %.20q is not a handle; recover the drawing in a CAD program", old)
	}
	if seed >= uint64(ed.next) {
		return nil, nil, nil
	}
	raised := ed.next.String()
	return []splice{{start, end, []byte(raised)}}, []string{noteSeed + old, noteRaised + raised}, nil
}

// numberTables gives the new table records their handles.
func (ed *editor) numberTables() error {
	ed.next = tags.Handle(ed.o.max) + 1
	if ed.next == 0 {
		return fmt.Errorf("the highest handle in the drawing, %X, leaves no room for new ones; recover the drawing in a CAD program", ed.o.max)
	}
	if !ed.o.rel.owned() {
		return nil // table records have no handles up to R12
	}
	ed.next++ // the APPID record takes the first
	if ed.style.needed && ed.style.adopted == nil {
		ed.style.handle = ed.next
		ed.next++
	}
	for i := range ed.layers {
		if ed.layers[i].adopted == nil {
			ed.layers[i].handle = ed.next
			ed.next++
		}
	}
	return nil
}

// keptNames are the names of table records that were ours before.
func keptNames(kept []mark, typ string) []string {
	var names []string
	for _, m := range kept {
		if m.typ == typ {
			names = append(names, foldName(m.name))
		}
	}
	slices.Sort(names)
	return names
}
