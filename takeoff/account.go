package takeoff

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/recognize"
)

// account makes the account of all drawings of the job.
func (t *taker) account() {
	accounts := make([][]recognize.AccountRow, len(t.files.names))
	known, look := t.known(), t.files.look
	parallel.For(len(accounts), func(i int) {
		accounts[i] = look.Account(i, append(known[t.files.names[i]], look.OtherTrades(i)...))
	})
	t.res.Account = slices.Concat(accounts...)
}

// known lists by drawing what became of each symbol that a rule fits.
func (t *taker) known() map[string][]recognize.Known {
	out := map[string][]recognize.Known{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Type == "" || d.Drawing == "" {
			continue
		}
		k := recognize.Known{Form: d.form, Name: d.Block, At: d.At, Box: d.Symbol, Fate: recognize.FateCounted, Call: d.Type}
		if d.Status == Excluded {
			k.Fate = string(d.Reason)
		}
		out[d.Drawing] = append(out[d.Drawing], k)
	}
	for _, m := range t.marks {
		out[m.drawing] = append(out[m.drawing], m.Known)
	}
	for _, spots := range [][]Spot{t.res.Panels, t.res.Risers} {
		for _, s := range spots {
			if s.Handle == "" { // given by its place
				out[s.Drawing] = append(out[s.Drawing], recognize.Known{At: s.At, Fate: recognize.FateLandmark})
			}
		}
	}
	return out
}

// mostNamed is how many figures one finding names.
const mostNamed = 5

// reportFigures reports the loose figures and texts that repeat where devices stand and
// that nothing explains; blocks are told one by one.
func (t *taker) reportFigures() {
	byDrawing := map[string][]recognize.AccountRow{}
	for _, a := range t.res.Account {
		if a.Unexplained() && a.Ours && a.Rest > 1 && a.Form != recognize.Block.String() {
			byDrawing[a.Drawing] = append(byDrawing[a.Drawing], a)
		}
	}
	for _, d := range slices.Sorted(maps.Keys(byDrawing)) {
		rows := byDrawing[d]
		n := 0
		for _, a := range rows {
			n += a.Rest
		}
		t.find(Finding{Code: codeRepeats, Severity: Warning, Drawing: d, At: geom.Pt(rows[0].X, rows[0].Y), Placed: true, Message: fmt.Sprintf(
			"%s repeat where devices stand, are no blocks, and match no rule: %s; if they are devices, match them by text or by sample", symbols(n), named(rows))})
	}
}

// named names the figures that matter most, each with how many and a place.
func named(rows []recognize.AccountRow) string {
	var names []string
	for _, a := range rows[:min(len(rows), mostNamed)] {
		names = append(names, fmt.Sprintf("%s %q (%d on %s, the first at %.6g, %.6g)", a.Form, a.Name, a.Rest, a.Drawing, a.X, a.Y))
	}
	if more := len(rows) - mostNamed; more > 0 {
		names = append(names, fmt.Sprintf("and %d more kinds", more))
	}
	return strings.Join(names, ", ")
}

// first puts what holds before what does not.
func first(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// nothingCounts reports a job in which no device counts, with the figures that look most like devices.
func (t *taker) nothingCounts() {
	if slices.ContainsFunc(t.res.Devices, func(d Device) bool { return d.Status == Counted }) {
		return
	}
	rows := slices.DeleteFunc(slices.Clone(t.res.Account), func(a recognize.AccountRow) bool { return !a.Unexplained() || a.Rest < 2 })
	slices.SortStableFunc(rows, func(a, b recognize.AccountRow) int {
		return cmp.Or(first(a.Ours, b.Ours), cmp.Compare(a.Form, b.Form), cmp.Compare(b.Rest, a.Rest))
	})
	f := Finding{Code: codeNothing, Severity: Error, Message: "nothing is counted: no symbol on any level matches a rule under types"}
	if len(t.files.byName) == 0 {
		f.Message = "nothing is counted: the lists of devices name none of a type under types"
	}
	if len(t.req.Types) == 0 {
		f.Message = "nothing counts: the job lists no types; say under types which symbols are devices, or let loopwright begin propose them"
	}
	if len(rows) > 0 {
		f.Message += "; unexplained symbols that repeat: " + named(rows)
		f.Drawing, f.At, f.Placed = rows[0].Drawing, geom.Pt(rows[0].X, rows[0].Y), true
	}
	t.find(f)
}
