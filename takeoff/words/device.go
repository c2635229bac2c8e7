package words

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"slices"
	"strings"
	"sync"
)

// Device tells what device, or what other thing that is none of ours, a text
// names; false if it names neither. The longest words decide, so that a smoke damper
// is no smoke detector; then what the parts of words add, so that a smoke detector
// with a word for a duct beside it is a duct detector.
func (v *Vocabulary) Device(text string, languages []string) (Reading, bool) {
	return compose(v.Read(text, languages, "device", "other", "place"), tokens(Fold(text)))
}

// DeviceName tells what device a name of a block names; the evidence tells how far it is to be trusted.
func (v *Vocabulary) DeviceName(name string, languages []string) (Reading, bool) {
	ts := nameTokens(name)
	r, ok := compose(v.disjoint(v.candidates(ts, true, []string{"device", "other", "place"}), languages), ts)
	if !ok {
		return v.partly(ts, languages)
	}
	return r, ok
}

// stemsOf are parts of words by what they mean, in all languages of the table, folded.
//
//go:embed data/parts.csv
var stemsOf []byte

type stemOf struct {
	part, text string
	signs      bool
}

var stems = sync.OnceValue(func() []stemOf {
	records, err := csv.NewReader(bytes.NewReader(stemsOf)).ReadAll()
	if err != nil {
		panic("words: the embedded parts: " + err.Error()) // held by a test
	}
	var out []stemOf
	for _, r := range records[1:] {
		for _, s := range strings.Fields(Fold(r[1])) {
			out = append(out, stemOf{r[0], s, slices.ContainsFunc([]rune(s), ideographic)})
		}
	}
	return out
})

// parts tells what the parts of some words mean. A short stem stands at the
// beginning of its word, a longer one anywhere.
func parts(ts []token) map[string]bool {
	out := map[string]bool{}
	for _, t := range ts {
		for _, s := range stems() {
			if s.signs != t.signs || out[s.part] {
				continue
			}
			if strings.HasPrefix(t.text, s.text) || (s.signs || len(s.text) >= 5) && strings.Contains(t.text, s.text) {
				out[s.part] = true
			}
		}
	}
	return out
}

// compose is the first of some readings, changed by what the parts of words add.
func compose(rs []Reading, ts []token) (Reading, bool) {
	var best Reading
	if len(rs) > 0 {
		best = rs[0]
	}
	if g := best.Concept.Group(); g == "other" || g == "place" {
		return best, true
	}
	has := func(c Concept) bool {
		return slices.ContainsFunc(rs, func(r Reading) bool { return r.Concept == c })
	}
	p := parts(ts)
	p["sound"] = p["sound"] || has("device.sounder") || has("device.bell")
	p["light"] = p["light"] || has("device.strobe")
	is := func(cs ...Concept) bool { return best.Concept == "" || slices.Contains(cs, best.Concept) }
	smoky := p["detector"] || best.Concept == "device.smoke"
	composed := Concept("")
	switch {
	case has("device.sounder_base"):
		composed = "device.sounder_base"
	case has("device.speaker") && p["light"] && is("device.speaker", "device.strobe"):
		composed = "device.speaker_strobe"
	case p["sound"] && (p["light"] || p["combined"]) && !p["detector"] && is("device.sounder", "device.bell", "device.strobe"):
		composed = "device.sounder_strobe"
	case smoky && p["duct"] && is("device.smoke"):
		composed = "device.duct"
	case smoky && p["aspirating"] && is("device.smoke"):
		composed = "device.aspirating"
	case smoky && p["beam"] && is("device.smoke"):
		composed = "device.beam"
	case p["detector"] && (p["smoke"] && p["heat"] || p["combined"]) && is("device.smoke", "device.heat"):
		composed = "device.multi"
	case best.Concept != "":
	case p["detector"] && p["smoke"]:
		composed = "device.smoke"
	case p["detector"] && p["heat"]:
		composed = "device.heat"
	case p["module"] && p["isolating"]:
		composed = "device.isolator"
	case p["door"] && p["holding"]:
		composed = "device.door_holder"
	case p["module"] && p["input"] && !p["output"]:
		composed = "device.input_module"
	case p["module"] && p["output"] && !p["input"]:
		composed = "device.output_module"
	}
	if composed != "" {
		if best.Concept == "" {
			best.Evidence = Composed
		}
		best.Concept = composed
	}
	return best, best.Concept != ""
}

// partly reads a name by words that stand in the names of a single concept, in one of the two languages
// that are trusted most or in English.
func (v *Vocabulary) partly(ts []token, languages []string) (Reading, bool) {
	for _, l := range append(slices.Clone(languages[:min(len(languages), 2)]), "en") {
		told := map[Concept]bool{}
		for _, t := range ts {
			if t.signs || t.runes < 4 {
				continue
			}
			look := func(key string) {
				for _, r := range v.parts[key] {
					e := &v.entries[r.entry]
					w := e.words[r.word]
					if e.Language == l && (w.text == t.text || w.stem == key && runes(key) >= 5 && t.runes-w.runes < longestEnding) && v.rare[l][w.stem] == 1 {
						told[e.Concept] = true
					}
				}
			}
			for i := range t.text {
				if i > 0 {
					look(t.text[:i])
				}
			}
			look(t.text)
		}
		if len(told) == 1 {
			for c := range told {
				return Reading{Concept: c, Language: l, Evidence: Partly}, true
			}
		}
	}
	return Reading{}, false
}
