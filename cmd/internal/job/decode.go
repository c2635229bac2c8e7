package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// decoder walks the syntax tree along the table and gathers mistakes, so that
// one run lists them all.
type decoder struct {
	job    *Job
	errs   Errors
	spares map[string]ast.Node // parsed default values, by text
	later  []func()            // defaults that are worked out once the whole file is read
	made   bool                // reading a default: it stands nowhere in the file
	rowing string              // name of the row being read, for defaults
}

func (d *decoder) fail(at mark, format string, args ...any) {
	d.errs = append(d.errs, Located{File: d.job.File, Line: at.line, Col: at.col,
		Message: fmt.Sprintf(format, args...), excerpt: excerpt(d.job.lines, at)})
}

// complain fails at the value at path, or where it would belong.
func (d *decoder) complain(path, format string, args ...any) {
	d.errs = append(d.errs, d.job.Complain(path, format, args...))
}

// found reports whether the file has a value at path.
func (d *decoder) found(path string) bool { return d.job.Given(path) }

// note records a default that the program uses.
func (d *decoder) note(path, value, why, row string) {
	d.job.Defaults = append(d.job.Defaults, Default{Path: path, Value: value, Why: why, Row: row})
}

// key is one line of the schema: a key of T, how its value is read, and what
// people are told about it.
type key[T any] struct {
	name   string
	was    string // the name that it had once, which is still read; "" for none
	field  field[T]
	sample string // value in the reference, where that is not what holds without the key
	aside  bool   // it stands behind a # there, as it does not go with the others
	help   string // what it means, with units and choices

	must  string        // if not "": the key is needed, and this says why
	left  left          // what holds if it is left out
	level bool          // plans of one level share the value: completePlans
	only  func(*T) bool // the rows to which left applies; nil for all
	// worked works the value out from the rest of the job, once that is read, and says why; "" for none.
	worked func(*Job, *T) (value, why string)
}

// field reads a value into a T. doc is the table of a nested section, if any.
type field[T any] struct {
	read func(d *decoder, n ast.Node, path string, into *T)
	doc  documented
	rows bool // a list of such sections
	// optional sections stay empty when left out; others take their defaults.
	optional bool
}

// table is the keys of one section, in the order of the reference.
type table[T any] struct {
	title string // as in "keys allowed in <title>"
	keys  []key[T]
	// rowName is the key that a row is known by; the first one if empty.
	rowName string
	check   func(d *decoder, path string, row *T) // what the keys must fulfil together
	more    string                                // further rows for the reference, as YAML
}

func (t *table[T]) names() []string {
	out := make([]string, len(t.keys))
	for i, k := range t.keys {
		out[i] = k.name
	}
	return out
}

// left is what holds where the key of that name is left out.
func (t *table[T]) left(name string) left {
	i := slices.IndexFunc(t.keys, func(k key[T]) bool { return k.name == name })
	return t.keys[i].left
}

// decode reads a mapping into row, complains about what does not belong, and
// puts in the defaults. It reports whether n is a mapping at all.
func (t *table[T]) decode(d *decoder, n ast.Node, path string, row *T) bool {
	pairs, ok := entries(n)
	if !ok {
		d.complain(path, "expected %s as key: value lines, found %s", t.title, describe(n))
		return false
	}
	outer := d.rowing
	defer func() { d.rowing = outer }()
	if strings.HasSuffix(path, "]") && len(t.keys) > 0 {
		d.rowing = rowName(pairs, cmp.Or(t.rowName, t.keys[0].name))
	}
	wrong := len(d.errs)
	seen := map[string]mark{}
	values := map[string]ast.Node{}
	meant := map[string]bool{}
	for _, p := range pairs {
		name, at := t.now(keyText(p)), nodePlace(p.Key)
		if first, twice := seen[name]; twice {
			d.fail(at, "%s is given twice (first on line %d): delete one", name, first.line)
			continue
		}
		seen[name] = at
		if t.known(name) {
			values[name] = p.Value
			continue
		}
		meant[d.unknownKey(p, t.title, t.names())] = true
	}
	for i := range t.keys {
		if name := t.keys[i].name; meant[name] && values[name] == nil {
			continue // a mistyped key is one mistake, not two
		}
		t.keys[i].take(d, values[t.keys[i].name], join(path, t.keys[i].name), row)
	}
	if t.check != nil && len(d.errs) == wrong {
		t.check(d, path, row)
	}
	return true
}

// now is the name that a key has today.
func (t *table[T]) now(name string) string {
	for _, k := range t.keys {
		if k.was != "" && k.was == name {
			return k.name
		}
	}
	return name
}

func (t *table[T]) known(name string) bool {
	for i := range t.keys {
		if t.keys[i].name == name {
			return true
		}
	}
	return false
}

// take reads one key's value, or supplies its default.
func (k *key[T]) take(d *decoder, n ast.Node, path string, row *T) {
	if n != nil {
		if _, empty := n.(*ast.NullNode); empty {
			d.fail(nodePlace(n), "%s has no value: give one, as in %s: %s, or delete the key", k.name, k.name, k.sampleLine())
			return
		}
		if !d.made {
			d.job.marks[path] = nodePlace(n)
		}
		if list, ok := n.(*ast.SequenceNode); ok && k.field.rows && k.must != "" && len(list.Values) == 0 {
			d.complain(path, "%s is an empty list: %s, as in %s: %s", k.name, k.must, k.name, k.sampleLine())
			return
		}
		k.field.read(d, n, path, row)
		return
	}
	read := func(n ast.Node) { k.field.read(d, n, path, row) }
	switch {
	case k.must != "":
		d.complain(parent(path), "%s is missing: %s, as in %s: %s", k.name, k.must, k.name, k.sampleLine())
	case k.only != nil && !k.only(row):
	case k.worked != nil:
		rowing := d.rowing
		d.later = append(d.later, func() {
			value, why := k.worked(d.job, row)
			if value == "" {
				return
			}
			d.rowing = rowing
			d.note(path, value, why, rowing)
			d.supply(read, value)
		})
	case k.level:
	case k.left.value != "":
		d.note(path, k.left.value, k.left.because(), d.rowing)
		d.supply(read, k.left.value)
	case k.left.words != "":
		d.note(path, k.left.words, k.left.because(), d.rowing)
	case k.field.doc != nil && !k.field.optional:
		d.supply(read, "{}")
	}
}

// example is the key's value in the reference, which writes out a section key by key.
func (k *key[T]) example() string {
	if k.sample == "" && k.field.doc == nil {
		return k.left.example()
	}
	return k.sample
}

func (k *key[T]) sampleLine() string {
	if k.field.rows {
		first := k.field.doc.lines()[0]
		return fmt.Sprintf("[{%s: %s, ...}]", first.name, first.sample)
	}
	return cmp.Or(k.example(), "{ }")
}

// supply reads a default as if it stood in the file.
func (d *decoder) supply(read func(ast.Node), text string) {
	n, ok := d.spares[text]
	if !ok {
		f, err := parser.ParseBytes([]byte(text), 0)
		if err != nil || len(f.Docs) != 1 {
			panic("job: bad default " + text)
		}
		n = f.Docs[0].Body
		if d.spares == nil {
			d.spares = map[string]ast.Node{}
		}
		d.spares[text] = n
	}
	outer := d.made
	d.made = true
	read(n)
	d.made = outer
}

// unknownKey complains and returns the key that was probably meant, or "".
func (d *decoder) unknownKey(p *ast.MappingValueNode, title string, names []string) string {
	name, at := keyText(p), nodePlace(p.Key)
	if _, merge := p.Key.(*ast.MergeKeyNode); merge {
		d.fail(at, "merging with << is not supported: write the keys out")
		return ""
	}
	hint, w := "", nearest(name, names)
	if w != "" {
		hint = fmt.Sprintf(": did you mean %s?", w)
	}
	d.fail(at, "unknown key %q in %s%s (keys allowed: %s)", name, title, hint, strings.Join(names, ", "))
	return w
}

// rowName returns what the row calls itself, for messages about defaults.
func rowName(pairs []*ast.MappingValueNode, key string) string {
	for _, p := range pairs {
		if keyText(p) == key {
			if s, ok := p.Value.(ast.ScalarNode); ok {
				return s.GetToken().Value
			}
		}
	}
	return ""
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// entries returns the pairs of a mapping.
func entries(n ast.Node) ([]*ast.MappingValueNode, bool) {
	switch m := n.(type) {
	case *ast.MappingNode:
		return m.Values, true
	case *ast.MappingValueNode:
		return []*ast.MappingValueNode{m}, true
	}
	return nil, false
}

func keyText(p *ast.MappingValueNode) string {
	if k, ok := p.Key.(*ast.MappingKeyNode); ok && k.Value != nil {
		return k.Value.GetToken().Value
	}
	return p.Key.GetToken().Value
}

// nodePlace returns where a value starts: a block mapping's own token is the
// colon of its first pair.
func nodePlace(n ast.Node) mark {
	if pairs, ok := entries(n); ok && len(pairs) > 0 {
		if t := n.GetToken(); t == nil || t.Type != token.MappingStartType {
			return place(pairs[0].Key.GetToken())
		}
	}
	return place(n.GetToken())
}

// describe names what stands in a place where something else was wanted.
func describe(n ast.Node) string {
	const mostShown = 60 // a whole file may be one value
	switch n := n.(type) {
	case *ast.SequenceNode:
		return "a list"
	case *ast.MappingNode, *ast.MappingValueNode:
		return "key: value lines"
	case *ast.NullNode:
		return "nothing"
	case *ast.AliasNode:
		return "an alias"
	case ast.ScalarNode:
		if v := n.GetToken().Value; len(v) > mostShown {
			return fmt.Sprintf("a text of %d characters", utf8.RuneCountInString(v))
		}
		return fmt.Sprintf("%q", n.GetToken().Value)
	}
	return "something else"
}
