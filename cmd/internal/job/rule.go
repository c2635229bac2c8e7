package job

import (
	"fmt"

	"github.com/goccy/go-yaml/ast"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// match reads one rule: a mapping of what must fit.
func match(d *decoder, n ast.Node, path string) (words.Match, bool) {
	var m words.Match
	wrong := len(d.errs)
	if _, isMap := entries(n); !isMap {
		if s, ok := n.(ast.ScalarNode); ok {
			d.complain(path, `expected a rule in braces, as in {block: "*SMK*"}, found %q`, s.GetToken().Value)
			return m, false
		}
	}
	if !matchTable.decode(d, n, path, &m) || len(d.errs) > wrong {
		return m, false
	}
	if m.Empty() {
		d.complain(path, "the rule is empty and matches nothing: give block, layer, attrib, text, linetype, color or sample")
		return m, false
	}
	return m, true
}

// layerOrMatch reads a layer pattern, or a rule.
func layerOrMatch(d *decoder, n ast.Node, path string) (words.Match, bool) {
	if _, isMap := entries(n); isMap {
		return match(d, n, path)
	}
	s, ok := text(d, n, path)
	return words.Match{Layer: s}, ok
}

// attribs reads attribute patterns by tag.
func attribs(d *decoder, n ast.Node, path string) (map[string]string, bool) {
	pairs, ok := entries(n)
	if !ok || len(pairs) == 0 {
		d.complain(path, "expected attributes by tag, as in {KIND: S}, found %s", describe(n))
		return nil, false
	}
	out, good := map[string]string{}, true
	for _, p := range pairs {
		tag := keyText(p)
		if _, twice := out[tag]; twice {
			d.fail(nodePlace(p.Key), "%s is given twice: delete one", tag)
			good = false
			continue
		}
		at := join(path, tag)
		if !d.made {
			d.job.marks[at] = nodePlace(p.Value)
		}
		v, ok := text(d, p.Value, at)
		good = good && ok
		out[tag] = v
	}
	return out, good
}

func functionPoint(d *decoder, n ast.Node, path string) (takeoff.Point, bool) {
	var p takeoff.Point
	wrong := len(d.errs)
	ok := pointTable.decode(d, n, path, &p)
	return p, ok && len(d.errs) == wrong
}

func option(d *decoder, n ast.Node, path string) (takeoff.Option, bool) {
	var o takeoff.Option
	wrong := len(d.errs)
	ok := optionTable.decode(d, n, path, &o)
	return o, ok && len(d.errs) == wrong
}

// reserved reads addresses that are never given out: 5, or 20-29.
func reserved(d *decoder, n ast.Node, path string) ([2]int, bool) {
	s, _, ok := d.scalar(n, path, "an address such as 5, or a range such as 20-29")
	if !ok {
		return [2]int{}, false
	}
	var r [2]int
	if k, err := fmt.Sscanf(s, "%d-%d", &r[0], &r[1]); k == 2 && err == nil && s == fmt.Sprintf("%d-%d", r[0], r[1]) {
		if r[0] > r[1] || r[0] < 0 {
			d.complain(path, "%s runs backward: write the lower address first", s)
			return r, false
		}
		return r, true
	}
	v, ok := whole(0, 99999999)(d, n, path)
	return [2]int{v, v}, ok
}
