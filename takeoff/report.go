package takeoff

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// report adds the findings that need the whole takeoff.
func (t *taker) report() {
	t.nothingCounts()
	t.mostlyHidden()
	t.reportUnexplained()
	t.reportFigures()
	t.reportExcluded()
	t.reportNoRoom()
	t.reportUnseen()
	t.unusedRules()
	t.mistakes()
}

// mostlyHidden reports the types of which more symbols are hidden than counted:
// the drawing was most likely saved from another discipline's view.
func (t *taker) mostlyHidden() {
	type where struct{ drawing, layer string }
	for _, ty := range t.req.Types {
		counted, hidden := 0, 0
		at := map[where]int{}
		var first *Device
		for i := range t.res.Devices {
			d := &t.res.Devices[i]
			switch {
			case d.Type != ty.Type:
			case d.Status == Counted:
				counted++
			case d.Reason == HiddenLayer:
				hidden++
				at[where{d.Drawing, d.Layer}]++
				if first == nil {
					first = d
				}
			}
		}
		if hidden <= counted {
			continue
		}
		keys := slices.SortedFunc(maps.Keys(at), func(a, b where) int {
			return cmp.Or(cmp.Compare(at[b], at[a]), cmp.Compare(a.drawing, b.drawing), cmp.Compare(a.layer, b.layer))
		})
		var parts []string
		for _, k := range keys {
			parts = append(parts, fmt.Sprintf("%d on layer %s of %s (%s)", at[k], k.layer, k.drawing, t.layerState(k.drawing, k.layer)))
		}
		t.find(Finding{Code: codeMostlyHidden, Severity: Error, Drawing: first.Drawing, Handle: first.Handle, At: first.At, Placed: true,
			Message: fmt.Sprintf("%s: %d count and %d are hidden, so the count is probably wrong: %s; to count them, write hidden: count in the row of %s under plans",
				ty.Type, counted, hidden, strings.Join(parts, ", "), keys[0].drawing)})
	}
}

// layerState says in words why what is on a layer cannot be seen.
func (t *taker) layerState(drawing, layer string) string {
	l, ok := t.files.byName[drawing].Drawing.Layer(layer)
	if !ok {
		return "invisible"
	}
	var parts []string
	if l.Off {
		parts = append(parts, "off")
	}
	if l.Frozen {
		parts = append(parts, "frozen")
	}
	if l.Locked {
		parts = append(parts, "locked")
	}
	if len(parts) == 0 || !l.Off && !l.Frozen {
		parts = append(parts, "symbols invisible")
	}
	return strings.Join(parts, " and ")
}

// reasonWords say what an exclusion means.
var reasonWords = map[Reason]string{
	InLegend:    "as samples in a legend",
	Duplicate:   "as copies on the same spot",
	Overlap:     "as already seen on another sheet of the level",
	HiddenLayer: "as hidden: frozen, off or invisible",
	OnPaper:     "as drawn in paper space",
	Demolition:  "as demolition",
	Existing:    "as existing",
	ByOthers:    "as by others",
	Unknown:     "as unknown: no rule matches them",
	OutOfRegion: "as outside the level's region or in an ignored part",
}

// reasonOrder is the order in which reasons are reported.
var reasonOrder = []Reason{HiddenLayer, Duplicate, Overlap, InLegend, OutOfRegion, OnPaper, Demolition, Existing, ByOthers, Unknown}

// reportExcluded sums up what was left out and why, with a place of each kind. A typed
// device that falls out of the count is a warning; samples of a legend and what another
// sheet of the level shows are none.
func (t *taker) reportExcluded() {
	for _, reason := range reasonOrder {
		type kind struct{ what, drawing string }
		n := 0
		byKind := map[kind][]*Device{}
		for i := range t.res.Devices {
			if d := &t.res.Devices[i]; d.Status == Excluded && d.Reason == reason {
				n++
				k := kind{cmp.Or(d.Type, "block "+d.Block) + place(d.Level), d.Drawing}
				byKind[k] = append(byKind[k], d)
			}
		}
		if n == 0 {
			continue
		}
		var parts []string
		var one *Device
		for _, k := range slices.SortedFunc(maps.Keys(byKind), func(a, b kind) int { return cmp.Or(cmp.Compare(a.what, b.what), cmp.Compare(a.drawing, b.drawing)) }) {
			d := byKind[k][0]
			if one == nil {
				one = d
			}
			first := ""
			if len(byKind[k]) > 1 {
				first = "the first "
			}
			parts = append(parts, fmt.Sprintf("%d %s (%sat %.6g, %.6g on %s)", len(byKind[k]), k.what, first, d.At.X, d.At.Y, d.Drawing))
		}
		f := Finding{Code: codeExcluded, Severity: Warning, Drawing: one.Drawing, Handle: one.Handle, At: one.At, Placed: true,
			Message: fmt.Sprintf("%s left out %s: %s", symbols(n), reasonWords[reason], strings.Join(parts, ", "))}
		switch reason {
		case Overlap:
			f.Severity = Note
		case InLegend:
			if !t.crowdedLegend() {
				f.Severity = Note
			}
		case Demolition, Existing, ByOthers:
			f.Code = codeStatus
			f.Message += "; they may still need wiring decisions"
		}
		t.find(f)
	}
}

// crowdedLegend reports whether some legend holds a symbol more than twice, as a legend
// does not: devices in a plan may have been taken for samples.
func (t *taker) crowdedLegend() bool {
	n := map[string]int{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Reason != InLegend || d.Type == "" {
			continue
		}
		k := strings.Join([]string{d.Drawing, d.Type, d.Block, attribList(d.Attribs)}, "\x00")
		if n[k]++; n[k] > 2 {
			return true
		}
	}
	return false
}

func place(level string) string {
	if level == "" {
		return " between the levels"
	}
	return " on " + level
}

func symbols(n int) string {
	if n == 1 {
		return "1 symbol"
	}
	return fmt.Sprintf("%d symbols", n)
}

// Up to so many places of one kind are each given a finding; all are in the list of devices.
const (
	tellEach  = 10
	tellAlike = 2 // symbols that are alike in block, layer and attributes
)

// reportUnexplained names the symbols that no rule explains, with their places.
func (t *taker) reportUnexplained() {
	n := map[[4]string]int{}
	key := func(d *Device) [4]string { return [4]string{d.Drawing, d.Block, d.Layer, attribList(d.Attribs)} }
	for i := range t.res.Devices {
		if d := &t.res.Devices[i]; d.Reason == Unknown {
			n[key(d)]++
		}
	}
	told := map[[4]string]int{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Reason != Unknown {
			continue
		}
		k := key(d)
		told[k]++
		if told[k] > tellAlike {
			continue
		}
		msg := fmt.Sprintf("no rule matches block %s on layer %s: give it a type, or drop the layer from the rules", d.Block, d.Layer)
		if len(d.Attribs) > 0 {
			msg = fmt.Sprintf("no rule matches block %s on layer %s with %s: give it a type", d.Block, d.Layer, attribList(d.Attribs))
		}
		if told[k] == tellAlike && n[k] > tellAlike {
			msg += fmt.Sprintf(" (and %d more like it)", n[k]-tellAlike)
		}
		t.find(Finding{Code: codeUnexplained, Severity: Warning, Message: msg, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true})
	}
}

func attribList(a map[string]string) string {
	var parts []string
	for _, tag := range slices.Sorted(maps.Keys(a)) {
		parts = append(parts, fmt.Sprintf("%s %q", tag, a[tag]))
	}
	return strings.Join(parts, ", ")
}

// reportUnseen reports symbols that count although nothing is drawn in their
// block: a person who counts on the sheet does not see them.
func (t *taker) reportUnseen() {
	n := map[[2]string]int{}
	first := map[[2]string]*Device{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Status != Counted || d.Block == "" || len(d.Attribs) > 0 || max(d.Symbol.Width(), d.Symbol.Height()) > 0 {
			continue
		}
		k := [2]string{d.Type, d.Block}
		if n[k]++; n[k] == 1 {
			first[k] = d
		}
	}
	for _, k := range slices.SortedFunc(maps.Keys(n), func(a, b [2]string) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) }) {
		d := first[k]
		t.find(Finding{Code: codeUnseen, Severity: Warning, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true, Message: fmt.Sprintf(
			"%s of type %s count although block %s draws nothing: nobody will see them on the sheet; check whether they are meant", symbols(n[k]), k[0], k[1])})
	}
}

// reportNoRoom names the devices that count and stand in no named room.
func (t *taker) reportNoRoom() {
	n := map[string]int{}
	for _, d := range t.res.Devices {
		if d.Status == Counted && d.Room == "" {
			n[d.Level]++
		}
	}
	named := map[string]bool{}
	for _, r := range t.res.Rooms {
		named[r.Level] = true
	}
	told := map[string]int{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Status != Counted || d.Room != "" {
			continue
		}
		f := Finding{Code: codeNoRoom, Severity: Note, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true,
			Message: fmt.Sprintf("%s is in no named room on %s", d.Type, d.Level)}
		if d.Grid != "" {
			f.Message += ": the papers give it as " + d.Place()
		}
		told[d.Level]++
		switch {
		case !named[d.Level] && told[d.Level] > 1, told[d.Level] > tellEach:
			continue
		case !named[d.Level]:
			f.Message = fmt.Sprintf("no room names on %s: devices without a room: %d", d.Level, n[d.Level])
			f.Handle, f.Placed = "", false
		case told[d.Level] == tellEach && n[d.Level] > tellEach:
			f.Message += fmt.Sprintf(" (and %d more)", n[d.Level]-tellEach)
		}
		t.find(f)
	}
}
