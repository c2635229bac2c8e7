package recognize

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// A short text that a legend explains may stand in plans as a value of an attribute:
// "SD  smoke detector" where every device is the block DEVICE with TYPE=SD, or
// "monitor module (WF = waterflow)" where some modules have KIND=WF.

// keyed is one "WF = waterflow" of a legend's row.
var keyed = regexp.MustCompile(`([\pL\pN][\pL\pN/.-]{0,5})\s*=\s*([^=,;()]+?)\s*(?:[,;()]|$)`)

// keysOf lists what a row says of the values of an attribute: value and meaning by turns.
func keysIn(text string) [][2]string {
	var out [][2]string
	for _, m := range keyed.FindAllStringSubmatch(text, -1) {
		if len([]rune(m[2])) > 2 {
			out = append(out, [2]string{value(m[1]), strings.TrimSpace(m[2])})
		}
	}
	return out
}

// splits lists, by block, the attributes of its inserts in plans and how often each value stands there.
func (r *Result) splits() map[string]map[string]map[string]int {
	out := map[string]map[string]map[string]int{}
	for i, p := range r.Pages {
		for _, m := range p.Marks {
			if m.Form != Block || len(m.Attribs) == 0 || r.placed(i, m) < 0 {
				continue
			}
			b := strings.ToUpper(m.Name)
			if out[b] == nil {
				out[b] = map[string]map[string]int{}
			}
			for _, a := range m.Attribs {
				t := strings.ToUpper(a.Tag)
				if out[b][t] == nil {
					out[b][t] = map[string]int{}
				}
				out[b][t][value(a.Value)]++
			}
		}
	}
	return out
}

// carrier is the attribute of a block whose values the keys explain best: that in which most inserts have one.
func carrier(tags map[string]map[string]int, keys map[string]bool) (tag string, explained int) {
	for _, t := range slices.Sorted(maps.Keys(tags)) {
		n := 0
		for v, k := range tags[t] {
			if keys[v] {
				n += k
			}
		}
		if n > explained {
			tag, explained = t, n
		}
	}
	return tag, explained
}

// byValue makes a rule of each value of an attribute that a legend explains, and
// one to ask about for each value that it does not: no insert of such a block is
// left without a row.
func (r *Result) byValue(rd *reader) {
	splits := r.splits()
	own := map[string][]int{} // of blocks that have a sample
	for i := range r.Kinds {
		if k := &r.Kinds[i]; k.Form == Block {
			own[strings.ToUpper(k.Name)] = append(own[strings.ToUpper(k.Name)], i)
		}
	}
	// Short texts with an explanation of their own.
	explained := map[string]int{}
	keys := map[string]bool{}
	for i := range r.Kinds {
		if k := &r.Kinds[i]; k.Form == Text && k.Text != "" {
			explained[value(k.Name)] = i
			keys[value(k.Name)] = true
		}
	}
	var more []Kind
	for _, b := range slices.Sorted(maps.Keys(splits)) {
		if len(own[b]) > 1 {
			continue
		}
		tag, n := carrier(splits[b], keys)
		all := 0
		for _, k := range splits[b][tag] {
			all += k
		}
		if n < 2 || 2*n < all {
			continue
		}
		for _, i := range own[b] { // the one sample of the block is of its own value only
			r.Kinds[i].Tag, r.Kinds[i].Value = tag, attribOf(r.Kinds[i].Sample, tag)
		}
		for _, v := range slices.Sorted(maps.Keys(splits[b][tag])) {
			if i, ok := explained[v]; ok {
				k := r.Kinds[i]
				k.Form, k.Name, k.Tag, k.Value, k.Figure, k.Layers = Block, b, tag, v, nil, map[string]int{}
				more = append(more, k)
			}
		}
	}
	// Keys within the row of a block or a figure.
	for i := range r.Kinds {
		k := &r.Kinds[i]
		if k.Form != Block || k.Tag != "" || k.Text == "" {
			continue
		}
		ks := keysIn(k.Text)
		here := map[string]bool{}
		for _, kv := range ks {
			here[kv[0]] = true
		}
		tag, n := carrier(splits[strings.ToUpper(k.Name)], here)
		if n == 0 {
			continue
		}
		for _, kv := range ks {
			if splits[strings.ToUpper(k.Name)][tag][kv[0]] == 0 {
				continue
			}
			q := *k
			q.Tag, q.Value, q.Text, q.Layers = tag, kv[0], kv[1], map[string]int{}
			q.Concept = rd.device(kv[1]).Concept
			q.Ours = q.Concept.Group() == "device"
			more = append(more, q)
		}
		if before, _, ok := strings.Cut(k.Text, "("); ok && strings.TrimSpace(before) != "" { // the others are what the row says without its keys
			if d := rd.device(strings.TrimSpace(before)); d.Concept != "" {
				k.Concept, k.Ours = d.Concept, d.Concept.Group() == "device"
			}
		}
	}
	r.Kinds = append(more, r.Kinds...) // what asks for a value comes before what does not
	r.others(splits)
}

// others adds what is to be asked: the values of blocks told apart by an attribute that no row explains.
func (r *Result) others(splits map[string]map[string]map[string]int) {
	tags, known, whole := map[string]string{}, map[[2]string]bool{}, map[string]bool{}
	for i := range r.Kinds {
		if k := &r.Kinds[i]; k.Form == Block {
			b := strings.ToUpper(k.Name)
			if k.Tag == "" {
				whole[b] = true
			} else {
				tags[b] = strings.ToUpper(k.Tag)
				known[[2]string{b, k.Value}] = true
			}
		}
	}
	for _, b := range slices.Sorted(maps.Keys(tags)) {
		if whole[b] {
			continue
		}
		for _, v := range slices.Sorted(maps.Keys(splits[b][tags[b]])) {
			if !known[[2]string{b, v}] && strings.IndexFunc(v, unicode.IsLetter) >= 0 {
				r.Kinds = append(r.Kinds, Kind{Form: Block, Name: b, Tag: tags[b], Value: v, Scale: 1, Layers: map[string]int{}})
			}
		}
	}
}
