package edit

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/tags"
)

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
	out, err := run(ed)
	if err != nil {
		return fail(err)
	}
	return out, nil
}

// newEditor checks everything that can be refused before a byte is written.
func newEditor(o *Outline, a Addition, kept []mark) (*editor, error) {
	ed := &editor{o: o, a: a, kept: kept, out: &Result{Layers: map[string]string{}}}
	ed.handles = o.Handles()
	if len(ed.a.Layers) == 0 {
		ed.a.Layers = []Layer{{Name: "LOOPWRIGHT", Color: 7}}
	}
	for _, step := range []func(*editor) error{place, nameLayers, nameStyle, checkEntities, findAttribs, numberTables} {
		if err := step(ed); err != nil {
			return nil, err
		}
	}
	return ed, nil
}

// place finds where records go, and refuses drawings in which they cannot.
func place(ed *editor) error {
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
			return fmt.Errorf("the table %s is missing, which this version requires; recover the drawing in a CAD program", name)
		default:
			ed.made = append(ed.made, name)
		}
	}
	if o.tablesEnd < 0 {
		if o.firstBody < 0 {
			return fmt.Errorf("there is no BLOCKS or ENTITIES section for a TABLES section to precede")
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
func checkEntities(ed *editor) error {
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
			err = fmt.Errorf("its layer %q is not one of the addition's layers", b.Layer)
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
func run(ed *editor) (*Result, error) {
	o := ed.o
	entities := writeEntities(ed)
	if err := checkHandles(ed); err != nil {
		return nil, err
	}
	splices, notes, err := raiseSeed(ed)
	if err != nil {
		return nil, err
	}
	for _, m := range ed.made {
		notes = append(notes, noteMade+m)
	}
	splices = append(splices, writeTables(ed, notes)...)
	splices = append(splices, writeAttribs(ed)...)
	splices = append(splices, splice{o.entitiesEnd, o.entitiesEnd, entities})
	ed.out.Bytes = applySplices(o.src.Bytes, splices)
	return ed.out, nil
}

func writeEntities(ed *editor) []byte {
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
func checkHandles(ed *editor) error {
	if ed.handles && uint64(ed.next) <= ed.o.max {
		return fmt.Errorf("the highest handle in the drawing, %X, leaves no room for new ones; recover the drawing in a CAD program", ed.o.max)
	}
	return nil
}

// raiseSeed raises $HANDSEED above the new handles where it is not already.
// It is the only value of the drawing that is ever replaced, and the old text
// goes into our notes.
func raiseSeed(ed *editor) (splices []splice, notes []string, err error) {
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
func numberTables(ed *editor) error {
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
