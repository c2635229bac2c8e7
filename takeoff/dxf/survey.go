package dxf

import (
	"maps"
	"slices"
)

// SurveyOptions say what a survey lists.
type SurveyOptions struct {
	Options
	Inserts bool // list every insert, not only the summary by block
	// Legend returns what the legend of a drawing says about a block, "" if nothing;
	// nil means no legend. The survey has its inserts and texts by then.
	Legend func(s *Survey, effective string) string
	// Units overrides the units of a drawing, for instance by those of a job; from
	// is "job", "header", "assumed" or "unknown". Nil takes those of the drawing.
	Units func(d *Drawing) (name, from string)
	// Each, if set, is called with every survey that WriteSurveyJSON writes.
	Each func(*Survey)
}

// Survey is what stands on one drawing.
type Survey struct {
	Drawing   *Drawing
	Units     string
	UnitsFrom string
	Blocks    []BlockSummary // by effective name
	Inserts   []Insert
	Texts     []Text
	Findings  []Finding
}

// BlockSummary counts the inserts of one block.
type BlockSummary struct {
	Effective string
	Inserts   int
	Hidden    int            // of these: on frozen or off layers, or invisible
	Layers    map[string]int // by layer as stored
	Attribs   []string       // tags, sorted
	Legend    string
}

// Survey reads all that a survey shows. The error is that of Inserts and Texts.
func (d *Drawing) Survey(opt SurveyOptions) (*Survey, error) {
	s := &Survey{Drawing: d, Findings: slices.Clone(d.Findings)}
	u := d.Units()
	s.Units, s.UnitsFrom = u.Name, u.From
	if opt.Units != nil {
		s.Units, s.UnitsFrom = opt.Units(d)
	}
	var found, more []Finding
	var err error
	if s.Inserts, found, err = d.Inserts(opt.Options); err != nil {
		return nil, err
	}
	if s.Texts, more, err = d.Texts(opt.Options); err != nil {
		return nil, err
	}
	s.Findings = append(s.Findings, found...)
	s.Findings = append(s.Findings, d.duplicateHandles()...)
	for _, f := range more { // what concerns inserts was found above already
		if !slices.Contains(found, f) {
			s.Findings = append(s.Findings, f)
		}
	}
	s.Blocks = summarize(s.Inserts)
	if opt.Legend != nil {
		for k := range s.Blocks {
			s.Blocks[k].Legend = opt.Legend(s, s.Blocks[k].Effective)
		}
	}
	return s, nil
}

// summarize counts inserts by effective name.
func summarize(inserts []Insert) []BlockSummary {
	type gather struct {
		n      int
		hidden int
		layers map[string]int
		tags   map[string]bool
	}
	all := map[string]*gather{}
	for k := range inserts {
		in := &inserts[k]
		g := all[in.Effective]
		if g == nil {
			g = &gather{layers: map[string]int{}, tags: map[string]bool{}}
			all[in.Effective] = g
		}
		g.n++
		if !in.Visible {
			g.hidden++
		}
		g.layers[in.Layer]++
		for a := range in.Attribs {
			g.tags[in.Attribs[a].Tag] = true
		}
	}
	out := make([]BlockSummary, 0, len(all))
	for _, name := range slices.Sorted(maps.Keys(all)) {
		g := all[name]
		out = append(out, BlockSummary{name, g.n, g.hidden, g.layers, slices.Sorted(maps.Keys(g.tags)), ""})
	}
	return out
}
