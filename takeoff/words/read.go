package words

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Evidence says how a text names a concept, the strongest first.
type Evidence uint8

// The grades of evidence.
const (
	Named     Evidence = iota // every word of the vocabulary's entry is there
	Inflected                 // with other endings, or as the head of a compound
	Composed                  // by parts of words, such as one for smoke and one for a detector
	Shortened                 // a name of a block shortens words
	Abbreviated
	Partly // words that stand in the names of this concept only
)

func (e Evidence) String() string {
	return [...]string{"named", "inflected", "by parts of words", "shortened", "abbreviated", "partly named"}[e]
}

// Reading is a concept that a text names.
type Reading struct {
	Concept  Concept
	Language string // of the entry
	Word     string // the entry, as people write it
	Evidence Evidence
	Letters  int // how much of the text it explains
	first    int // token where it begins, for order
	used     uint64
	signs    bool // used counts signs, not words
}

// Second tells whether the reading needs a second sign, such as the layer or the block's shape.
func (r Reading) Second() bool { return r.Evidence >= Shortened }

// In tells where in the text the words of a reading begin and end, in bytes; false where
// folding has changed the text too much to tell.
func (r Reading) In(text string) (from, to int, ok bool) {
	folded, own := tokens(Fold(text)), tokens(text)
	if len(folded) != len(own) || r.used == 0 {
		return 0, 0, false
	}
	from, to = len(text), 0
	n, at := 0, 0
	for i, t := range own {
		k := strings.Index(text[at:], t.text) + at
		at = k + len(t.text)
		if !r.signs {
			if r.used&(1<<i) != 0 {
				from, to = min(from, k), max(to, at)
			}
			continue
		}
		for j := range t.text {
			if n < 64 && r.used&(1<<n) != 0 {
				_, size := utf8.DecodeRuneInString(t.text[j:])
				from, to = min(from, k+j), max(to, k+j+size)
			}
			n++
		}
	}
	return from, to, to > from
}

// mostTokens bounds how much of a text is read: what is longer is prose.
const mostTokens = 60

// Read lists what a text names of some groups (device, other, room ...; all if none is
// given): the longest words first, none on another's letters. The languages come in
// order of trust; those that are not among them count too, after them.
func (v *Vocabulary) Read(text string, languages []string, groups ...string) []Reading {
	ts := tokens(Fold(text))
	return v.disjoint(v.candidates(ts, false, groups), languages)
}

// trusted leaves out what only other endings of words make of a language that the drawing does not speak.
func trusted(all []Reading, languages []string) []Reading {
	if len(languages) == 0 {
		return all
	}
	return slices.DeleteFunc(all, func(r Reading) bool {
		return r.Evidence == Inflected && r.Language != "en" && !slices.Contains(languages, r.Language)
	})
}

// ReadName lists what a name of a block, a layer or an attribute names, as Read does: names shorten words.
func (v *Vocabulary) ReadName(name string, languages []string, groups ...string) []Reading {
	ts := nameTokens(name)
	return v.disjoint(v.candidates(ts, true, groups), languages)
}

// candidates lists every entry whose words are all among the tokens.
func (v *Vocabulary) candidates(ts []token, name bool, groups []string) []Reading {
	ts = ts[:min(len(ts), mostTokens)]
	type part struct {
		tokens   []int
		evidence []Evidence
	}
	found := map[int]*part{}
	hit := func(r ref, at int, ev Evidence) {
		e := &v.entries[r.entry]
		if len(groups) > 0 && !slices.Contains(groups, e.Concept.Group()) {
			return
		}
		if e.Kind == tag && !slices.Contains(groups, "tag") {
			return
		}
		if !name && (e.Kind == layer || e.Kind == block) {
			return
		}
		p := found[r.entry]
		if p == nil {
			p = &part{make([]int, len(e.words)), make([]Evidence, len(e.words))}
			for k := range p.tokens {
				p.tokens[k] = -1
			}
			found[r.entry] = p
		}
		if p.tokens[r.word] < 0 || p.evidence[r.word] > ev {
			p.tokens[r.word], p.evidence[r.word] = at, ev
		}
	}
	for i, t := range ts {
		if t.signs {
			continue
		}
		v.word(t, i, name, hit)
	}
	var out []Reading
	for i, p := range found {
		if slices.Contains(p.tokens, -1) {
			continue
		}
		e := &v.entries[i]
		r := Reading{Concept: e.Concept, Language: e.Language, Word: e.Word, Evidence: slices.Max(p.evidence), first: slices.Min(p.tokens)}
		if slices.Max(p.tokens)-r.first > len(p.tokens)+4 { // words that stand far apart belong to different sentences
			continue
		}
		twice := false // one word of the text for two of the entry
		for j, k := range p.tokens {
			twice = twice || r.used&(1<<k) != 0
			r.used |= 1 << k
			r.Letters += min(ts[k].runes, e.words[j].runes)
		}
		if twice {
			continue
		}
		if e.Kind == abbreviation && e.length < 5 || e.Kind == block && e.length < 4 {
			if !slices.IsSorted(p.tokens) || slices.Max(p.tokens)-r.first >= len(p.tokens) || r.Evidence != Named {
				continue
			}
			r.Evidence = Abbreviated
		}
		out = append(out, r)
	}
	return append(out, v.inSigns(ts, groups)...)
}

// word looks up one word of a text.
func (v *Vocabulary) word(t token, at int, name bool, hit func(ref, int, Evidence)) {
	n := 0
	for i := range t.text {
		if i > 0 {
			n++
			if n >= 5 && t.runes-n <= longestEnding {
				for _, r := range v.full[t.text[:i]] {
					if w := v.entries[r.entry].words[r.word]; w.stem == t.text[:i] && inflects(v.entries[r.entry].Row) && t.runes-w.runes <= longestEnding-1 {
						hit(r, at, Inflected)
					}
				}
			}
			if t.runes-n >= 5 {
				for _, r := range v.tails[t.text[i:]] {
					hit(r, at, Inflected)
				}
			}
		}
	}
	for _, r := range v.full[t.text] {
		if w := v.entries[r.entry].words[r.word]; w.text == t.text {
			hit(r, at, Named)
		} else {
			hit(r, at, Inflected)
		}
	}
	if s, ok := strings.CutSuffix(t.text, "s"); ok && t.runes > 3 { // the plural of English and its like
		for _, r := range v.full[s] {
			if e := &v.entries[r.entry]; e.words[r.word].text == s && e.Kind == word {
				hit(r, at, Inflected)
			}
		}
	}
	for _, p := range [...]string{"ه", "ال", "و", "وال", "בה", "ה", "ב", "ל", "ו", "וה"} { // written on to the word
		if s, ok := strings.CutPrefix(t.text, p); ok && runes(s) > 2 {
			for _, r := range v.full[s] {
				hit(r, at, Inflected)
			}
		}
	}
	if name && t.runes >= 3 {
		for _, r := range v.heads[t.text] {
			if e := &v.entries[r.entry]; len(e.words) > 1 || 2*t.runes >= e.words[0].runes && t.runes > 3 {
				hit(r, at, Shortened)
			}
		}
	}
}

func inflects(r Row) bool { return r.Kind == word && inflecting[r.Language] > 0 }

// inSigns looks for entries in runs of ideographic signs: there no space parts words.
func (v *Vocabulary) inSigns(ts []token, groups []string) []Reading {
	var line []rune
	any := false
	for _, t := range ts {
		any = any || t.signs
		line = append(line, []rune(t.text)...)
	}
	if !any {
		return nil
	}
	var out []Reading
	line = line[:min(len(line), 64)] // one bit each
	for i := range line {
		try := func(key string) {
			for _, k := range v.signs[key] {
				e := &v.entries[k]
				w := []rune(e.signs)
				if len(groups) > 0 && !slices.Contains(groups, e.Concept.Group()) || len(w) > len(line)-i || !slices.Equal(w, line[i:i+len(w)]) {
					continue
				}
				r := Reading{Concept: e.Concept, Language: e.Language, Word: e.Word, Letters: e.length, first: i, signs: true}
				for j := range w {
					r.used |= 1 << (i + j)
				}
				out = append(out, r)
			}
		}
		try(string(line[i : i+1]))
		if i+1 < len(line) {
			try(string(line[i : i+2]))
		}
	}
	return out
}

// disjoint keeps the best readings that share no word of the text: the longest
// first; of equals the language that is trusted most, then the plainest evidence.
func (v *Vocabulary) disjoint(all []Reading, languages []string) []Reading {
	trust := func(l string) int {
		if i := slices.Index(languages, l); i >= 0 {
			return i
		}
		if l == "en" {
			return len(languages)
		}
		return len(languages) + 1
	}
	all = trusted(all, languages)
	slices.SortStableFunc(all, func(a, b Reading) int {
		return cmp.Or(flag(a.Evidence == Shortened)-flag(b.Evidence == Shortened), cmp.Compare(b.Letters, a.Letters), cmp.Compare(a.Evidence, b.Evidence), cmp.Compare(trust(a.Language), trust(b.Language)),
			cmp.Compare(a.first, b.first), cmp.Compare(a.Concept, b.Concept), cmp.Compare(a.Word, b.Word), cmp.Compare(a.Language, b.Language))
	})
	var out []Reading
	used := uint64(0)
	for _, r := range all {
		if r.used&used == 0 {
			used |= r.used
			out = append(out, r)
		}
	}
	return out
}

func flag(b bool) int {
	if b {
		return 1
	}
	return 0
}
