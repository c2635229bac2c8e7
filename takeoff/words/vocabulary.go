// Package words reads what stands on drawings: names of blocks and layers, and
// what their texts say, in the languages and habits of any office.
package words

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Concept is what words stand for, whatever the language: a group, a dot and a
// name, such as device.smoke, other.sprinkler, level.ground or room.corridor.
type Concept string

// Group is the part before the dot.
func (c Concept) Group() string { g, _, _ := strings.Cut(string(c), "."); return g }

// kind says in which form a drawing uses a word.
type kind uint8

// The kinds. Abbreviations mean several things and need a second sign.
const (
	word kind = iota
	abbreviation
	layer
	block
	tag
)

var kinds = map[string]kind{"word": word, "abbreviation": abbreviation, "layer": layer, "block": block, "attribute tag": tag}

// Row is one word of a vocabulary.
type Row struct {
	Concept  Concept
	Language string // ISO 639-1
	Word     string // as people write it
	Kind     kind
}

// The table holds single words, with where each was seen; single words are facts.
// A row marked memory was written from general knowledge and seen nowhere.
//
//go:embed data/words.csv
var gathered []byte

// own holds what the table lacked.
//
//go:embed data/own.csv
var own []byte

// Usual is the vocabulary that the program brings.
var Usual = sync.OnceValue(func() *Vocabulary { return New(usualRows()) })

// With is the usual vocabulary with a job's own words before it. A row without a
// language counts in every drawing, as English ones do.
func With(rows []Row) *Vocabulary {
	if len(rows) == 0 {
		return Usual()
	}
	all := slices.Clone(rows)
	for i := range all {
		if all[i].Language == "" {
			all[i].Language = "en"
		}
	}
	return New(append(all, usualRows()...))
}

// Concepts lists what words can stand for, in the order of the alphabet.
func Concepts() []Concept {
	var out []Concept
	for _, r := range usualRows() {
		out = append(out, r.Concept)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// usualRows are the rows of the embedded tables, our own first.
var usualRows = sync.OnceValue(func() []Row {
	var rows []Row
	for _, b := range [][]byte{own, gathered} {
		rs, err := parseRows(b)
		if err != nil {
			panic("words: the embedded table: " + err.Error()) // held by a test
		}
		rows = append(rows, rs...)
	}
	return rows
})

// parseRows reads a table: concept, language, word, kind; further columns are for people.
func parseRows(b []byte) ([]Row, error) {
	records, err := csv.NewReader(bytes.NewReader(b)).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []Row
	for i, r := range records[1:] {
		k, ok := kinds[r[3]]
		if !ok {
			return nil, fmt.Errorf("line %d: kind %q is not known", i+2, r[3])
		}
		out = append(out, Row{Concept(r[0]), r[1], r[2], k})
	}
	return out, nil
}

// Vocabulary finds the concepts that texts and names name. It is safe for use by several goroutines.
type Vocabulary struct {
	entries []entry
	full    map[string][]ref // by whole word or stem
	tails   map[string][]ref // by whole word, where a language puts the head of a compound last
	heads   map[string][]ref // by the first letters of words of devices, which names of blocks shorten
	signs   map[string][]int // by the first two signs, or the only one: ideographic entries
	parts   map[string][]ref // as full, but of devices and their like only, for readings by part
	rare    map[string]map[string]float64
}

// entry is one word, taken apart.
type entry struct {
	Row
	words  []entryWord
	signs  string // ideographic: without spaces
	length int    // letters, small words not counted
}

type entryWord struct {
	text, stem string
	runes      int
}

type ref struct{ entry, word int }

// New makes a vocabulary of rows. Of words that mean two things in one language
// the row that stands first decides.
func New(rows []Row) *Vocabulary {
	v := &Vocabulary{full: map[string][]ref{}, tails: map[string][]ref{}, heads: map[string][]ref{}, signs: map[string][]int{}, parts: map[string][]ref{}}
	for _, r := range rows {
		if strings.Contains(r.Word, "{") { // a pattern of numbers, which is not looked up
			continue
		}
		v.add(r, r.Word)
		if sp := spelled[r.Language]; sp != nil {
			if w := sp.Replace(r.Word); w != r.Word {
				v.add(r, w)
			}
		}
	}
	v.weigh()
	return v
}

func (v *Vocabulary) add(r Row, written string) {
	e := entry{Row: r}
	ts := tokens(Fold(written))
	signs := len(ts) > 0
	for _, t := range ts {
		signs = signs && (t.signs || r.Language == "zh" || r.Language == "ja" || r.Language == "ko")
	}
	small := func(t token) bool { return len(ts) > 1 && smallWords[t.text] && !signs && r.Kind != abbreviation }
	// "1.OG" is no number and a small word of another language.
	telling := slices.ContainsFunc(ts, func(t token) bool { return !small(t) && strings.IndexFunc(t.text, unicode.IsLetter) >= 0 })
	for _, t := range ts {
		if telling && small(t) {
			continue
		}
		e.words = append(e.words, entryWord{t.text, stem(t, r), t.runes})
		e.length += t.runes
	}
	if len(e.words) == 0 {
		return
	}
	i := len(v.entries)
	if signs && slices.ContainsFunc(ts, func(t token) bool { return t.signs }) {
		for _, w := range e.words {
			e.signs += w.text
		}
		e.length *= 2 // a sign says as much as letters do
		v.signs[firstSigns(e.signs)] = append(v.signs[firstSigns(e.signs)], i)
		v.entries = append(v.entries, e)
		return
	}
	if e.length < 2 && r.Kind != word && r.Concept.Group() == "status" { // E and N stand in the names of all layers
		return
	}
	device := r.Concept.Group() == "device" || r.Concept.Group() == "other"
	for k, w := range e.words {
		v.full[w.text] = append(v.full[w.text], ref{i, k})
		if w.stem != w.text {
			v.full[w.stem] = append(v.full[w.stem], ref{i, k})
		}
		if compounding[r.Language] && w.runes >= 5 && r.Kind == word {
			v.tails[w.text] = append(v.tails[w.text], ref{i, k})
		}
		if device && r.Kind == word {
			v.parts[w.stem] = append(v.parts[w.stem], ref{i, k})
			for n := 3; n < w.runes; n++ {
				h := firstRunes(w.text, n)
				v.heads[h] = append(v.heads[h], ref{i, k})
			}
		}
	}
	v.entries = append(v.entries, e)
}

// smallWords join words and say nothing by themselves.
var smallWords = map[string]bool{}

func init() {
	for w := range strings.FieldsSeq("the of for and with to on in by w de del della dello dei di da do dos das du des d l la le les el los las il lo y e et und mit fur an am im zu zur der die das den " +
		"con per par pour avec sur a en van voor met het een och med for av til og i z w na do dla ze s se k v u pro od а и с для в на по із та з și si cu pentru και με για του της ve ile icin es ja") {
		smallWords[w] = true
	}
}

// compounding are the languages that put words together with the head last.
var compounding = map[string]bool{"de": true, "nl": true, "sv": true, "da": true, "nb": true, "fi": true, "hu": true}

// inflecting are the languages in which the ends of words change by more than a letter.
var inflecting = map[string]int{"pl": 2, "cs": 2, "ru": 2, "uk": 2, "fi": 2, "hu": 2, "el": 2, "tr": 2, "ro": 2, "es": 1, "it": 1, "pt": 1, "fr": 1, "de": 1, "nl": 1, "sv": 1, "da": 1, "nb": 1}

// stem is the part of a word that inflection leaves: at least five letters.
func stem(t token, r Row) string {
	cut := inflecting[r.Language]
	if t.signs || r.Kind != word || cut == 0 {
		return t.text
	}
	return firstRunes(t.text, max(5, t.runes-cut))
}

// longestEnding is how many letters inflection puts to a stem.
const longestEnding = 4

func firstRunes(s string, n int) string {
	for i := range s {
		if n == 0 {
			return s[:i]
		}
		n--
	}
	return s
}

func firstSigns(s string) string { return firstRunes(s, 2) }

// weigh works out how telling each word of a device's names is in its language:
// one that stands in the names of a single concept tells most.
func (v *Vocabulary) weigh() {
	in := map[string]map[string]map[Concept]bool{}
	for i := range v.entries {
		e := &v.entries[i]
		if g := e.Concept.Group(); g != "device" && g != "other" || e.Kind != word {
			continue
		}
		for _, w := range e.words {
			if in[e.Language] == nil {
				in[e.Language] = map[string]map[Concept]bool{}
			}
			if in[e.Language][w.stem] == nil {
				in[e.Language][w.stem] = map[Concept]bool{}
			}
			in[e.Language][w.stem][e.Concept] = true
		}
	}
	v.rare = map[string]map[string]float64{}
	for l, stems := range in {
		v.rare[l] = map[string]float64{}
		for s, cs := range stems {
			v.rare[l][s] = 1 / float64(len(cs))
		}
	}
}

func runes(s string) int { return utf8.RuneCountInString(s) }
