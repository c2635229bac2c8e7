package edit

import (
	"fmt"

	"loopwright/takeoff/dxf/tags"
)

// Outline is what an edit must know about a drawing, gathered in one pass over
// its tags. It reads tables and sections leniently and keeps offsets only.
type Outline struct {
	src *tags.Source
	rel release

	seed          tags.Tag // value of $HANDSEED
	hasSeed       bool
	handling      bool // $HANDLING says 1
	entityHandles bool
	markers       bool

	tables       map[string]*tableSpan // by name, the first of each
	tablesEnd    int                   // the ENDSEC of TABLES, -1 without that section
	firstBody    int                   // where BLOCKS or ENTITIES begin, -1 if neither is there
	entitiesFrom int                   // the last SECTION ENTITIES
	entitiesEnd  int                   // the ENDSEC of the last ENTITIES, -1 without that section
	tablesSpan   [2]int                // from SECTION to ENDSEC of TABLES
	allTables    []*tableSpan

	max    uint64 // highest handle, defined or referred to
	layers map[string]namedRecord
	styles map[string]namedRecord
	appids map[string]namedRecord
	layer0 layerLook

	usedLayers map[string]bool // names as stored that entities and the like refer to
	usedStyles map[string]bool

	modelSpace   tags.Handle // block record named *Model_Space
	trueName     tags.Handle // block record whose extended data say so
	firstOwner   tags.Handle // owner of the first entity outside paper space
	layoutOwner  tags.Handle // block record of the layout "Model"
	blockRecords map[tags.Handle]bool

	marks []mark // records with our extended data, in file order
}

// layerLook is what a new layer copies from layer 0, as stored.
type layerLook struct {
	linetype, plot, material, visual             string
	hasLinetype, hasPlot, hasMaterial, hasVisual bool
}

// HasOurs reports whether something of ours is in the drawing.
func (o *Outline) HasOurs() bool {
	_, app := o.appids[AppID]
	return app || len(o.marks) > 0
}

// Marked lists where the records begin that carry our extended data.
func (o *Outline) Marked() []int {
	var at []int
	for i := range o.marks {
		at = append(at, o.marks[i].start)
	}
	return at
}

// Owned reports whether records carry owners and subclass markers: from R13 on.
func (o *Outline) Owned() bool { return o.rel.owned() }

// Handles reports whether records carry handles: always from R13 on, before that
// where the drawing has switched them on or its entities have them.
func (o *Outline) Handles() bool { return o.rel.owned() || o.entityHandles || o.handling }

// Seed is the tag with the value of $HANDSEED, false if the drawing has none.
func (o *Outline) Seed() (tags.Tag, bool) { return o.seed, o.hasSeed }

// ModelSpace finds the block record of model space, which owns new entities: by its name, else by what
// its extended data say, else as the owner of the first entity, else from the
// layout of model space.
func (o *Outline) ModelSpace() (tags.Handle, error) {
	for _, h := range []tags.Handle{o.modelSpace, o.trueName, o.firstOwner, o.layoutOwner} {
		if h != 0 && o.blockRecords[h] {
			return h, nil
		}
	}
	return 0, fmt.Errorf("the block record of model space cannot be found, so new entities would have no owner; recover the drawing in a CAD program")
}

// TableOwner is the handle that owns the records of a table, 0 if none is known;
// a few programs leave the table's own handle out and only its records tell.
func (o *Outline) TableOwner(table string) tags.Handle {
	t := o.tables[table]
	switch {
	case t == nil:
		return 0
	case t.handle != 0:
		return t.handle
	}
	return t.recordOwner
}

// Record is where a record of the table LAYER, STYLE or APPID begins, false if
// the table does not list the name.
func (o *Outline) Record(table, name string) (start int, ok bool) {
	rec, ok := map[string]map[string]namedRecord{"LAYER": o.layers, "STYLE": o.styles, "APPID": o.appids}[table][foldName(name)]
	return rec.start, ok
}

// Layer0 is what layer 0 has under the group code 6, 390, 347 or 348, as stored:
// linetype, plot style, material and visual style.
func (o *Outline) Layer0(code int) string {
	l := o.layer0
	return map[int]string{6: l.linetype, 390: l.plot, 347: l.material, 348: l.visual}[code]
}
