package takeoff

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// mark is a symbol of a panel or a riser, for the account.
type mark struct {
	drawing string
	recognize.Known
}

// landmark notes an insert that shows a panel or a riser, and reports whether it does.
func (r *reader) landmark(i int, outer dxf.Handle, s words.Symbol) bool {
	hit := false
	spot := func(marks []Landmark, spots *[]Spot) {
		for _, m := range marks {
			if !words.AnyFits(m.Match, s) {
				continue
			}
			hit = true
			d := r.device(i, outer, s)
			in := &r.s.Inserts[i]
			why := r.exclusion(d, shown{in.Visible, in.Paper, in.Style})
			if r.claims(&d, in.Paper) {
				r.out.marks = append(r.out.marks, mark{d.Drawing, recognize.Known{Form: recognize.Block, Name: d.Block, At: d.At, Box: d.Symbol,
					Fate: cmp.Or(string(why), recognize.FateLandmark)}})
			}
			if why != "" {
				r.out.aside = append(r.out.aside, aside{m.Name, d, why, r.index})
			} else {
				*spots = append(*spots, Spot{Name: m.Name, Level: r.level.Name, Pos: d.Pos, At: d.At, Drawing: d.Drawing, Handle: d.Handle})
			}
		}
	}
	spot(r.t.req.Panels, &r.out.panels)
	spot(r.t.req.Risers, &r.out.risers)
	return hit
}

// placeLandmarks sets down the landmarks that are given by place, and reports
// panels that were not found or found more than once.
func (t *taker) placeLandmarks() {
	t.res.Panels = append(t.res.Panels, t.given(t.req.Panels)...)
	t.res.Risers = append(t.res.Risers, t.given(t.req.Risers)...)
	for k, m := range t.req.Panels {
		n := 0
		var last Spot
		for i, s := range t.res.Panels {
			same := func(o Spot) bool {
				return o.Name == s.Name && o.Drawing == s.Drawing && o.Handle == s.Handle && o.At == s.At
			}
			if s.Name == m.Name && !slices.ContainsFunc(t.res.Panels[:i], same) { // one drawing may stand for several levels
				n++
				last = s
			}
		}
		switch {
		case n == 0:
			t.res.missing = append(t.res.missing, t.whyMissing(k))
			t.find(t.res.missing[len(t.res.missing)-1].Finding)
		case n > 1:
			t.find(Finding{Code: codeLandmark, Severity: Error, Drawing: last.Drawing, Handle: last.Handle, At: last.At, Placed: true, Key: fmt.Sprintf("panels[%d].match", k),
				Message: fmt.Sprintf("panel %s was found %d times: narrow its match rule, or give its place with at; the first one is used", m.Name, n)})
		}
	}
}

func (t *taker) given(marks []Landmark) []Spot {
	var out []Spot
	for _, m := range marks {
		if m.At == nil {
			continue
		}
		for _, l := range t.res.Levels {
			if (m.Level == "" || m.Level == l.Name) && len(l.Sheets) > 0 {
				s := l.Sheets[0]
				out = append(out, Spot{Name: m.Name, Level: l.Name, Pos: s.ToBuilding.Apply(*m.At), At: *m.At, Drawing: s.Plan.Drawing})
			}
		}
	}
	return out
}
