package words

import (
	"cmp"
	"maps"
	"slices"
)

// Languages votes on the languages of some texts: each word that a text names in
// full counts by its letters, shared among the languages that have it. The language with most
// votes comes first; those with less than a tenth of its votes are left out.
func (v *Vocabulary) Languages(texts []string) []string {
	votes := map[string]float64{}
	for _, text := range texts {
		langs := map[string]int{}
		for _, r := range v.candidates(tokens(Fold(text)), false, nil) {
			if r.Evidence == Named && r.Letters >= 4 {
				langs[r.Language] = max(langs[r.Language], r.Letters)
			}
		}
		for l, n := range langs {
			votes[l] += float64(n) / float64(len(langs))
		}
	}
	out := slices.SortedFunc(maps.Keys(votes), func(a, b string) int { return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(a, b)) })
	for i, l := range out {
		if votes[l] < votes[out[0]]/10 {
			return out[:i]
		}
	}
	return out
}
