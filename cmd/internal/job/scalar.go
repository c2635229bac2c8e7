package job

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// scalar returns a value's text as written and whether it stands in quotes.
func (d *decoder) scalar(n ast.Node, path, want string) (text string, quoted, ok bool) {
	switch v := n.(type) {
	case *ast.AliasNode:
		d.complain(path, `a text that starts with * needs quotes, as in "*%s"`, v.Value.GetToken().Value)
		return "", false, false
	case *ast.AnchorNode, *ast.TagNode:
		d.complain(path, "a text that starts with & or ! needs quotes")
		return "", false, false
	case *ast.LiteralNode:
		return strings.TrimSpace(v.Value.GetToken().Value), true, true
	case *ast.NullNode:
		d.complain(path, "expected %s, found nothing", want)
		return "", false, false
	case ast.ScalarNode:
		t := v.GetToken()
		quoted = t.Type == token.SingleQuoteType || t.Type == token.DoubleQuoteType
		return strings.TrimSpace(t.Value), quoted, true
	}
	d.complain(path, "expected %s, found %s", want, describe(n))
	return "", false, false
}

// truthy are the words that one YAML reader or another takes for true or false.
var truthy = []string{"yes", "no", "on", "off", "true", "false"}

var (
	decimal    = regexp.MustCompile(`^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?$`)
	octalLike  = regexp.MustCompile(`^[-+]?0\d`)
	numberLike = regexp.MustCompile(`^[-+]?(0[xob][0-9a-fA-F_]+|[0-9][0-9_]*_[0-9_]*)$`)
)

// typographic are the quotes that word processors and phones put in place of the plain ones,
// but for the apostrophe, which names may end in. No reader of YAML takes them for quotes.
const typographic = "\u201c\u201d\u201e\u201f\u2018\u201a\u201b\u00ab\u00bb\u2039\u203a"

// text reads a non-empty text. What another reader of YAML would take for
// something else must be quoted, so that a file means the same to all of them.
func text(d *decoder, n ast.Node, path string) (string, bool) {
	s, quoted, ok := d.scalar(n, path, "a text")
	if !ok {
		return "", false
	}
	if s == "" {
		d.complain(path, "the text is empty: write it, or delete the key")
		return "", false
	}
	if k := strings.IndexFunc(s, unicode.IsControl); k >= 0 {
		d.complain(path, "the text contains a line break or another control character: write it on one line")
		return "", false
	}
	if quoted {
		return s, true
	}
	if strings.IndexAny(s, typographic) == 0 {
		d.complain(path, `the value begins with a typographic quote, which is no quote in this file but part of the value: write "%s"`, strings.Trim(s, typographic))
		return "", false
	}
	switch {
	case slices.Contains(truthy, strings.ToLower(s)):
		d.complain(path, `some programs read %s as true or false: write "%s" if it is a name`, s, s)
	case octalLike.MatchString(s) && decimal.MatchString(s), numberLike.MatchString(s):
		d.complain(path, `some programs read %s as another number: write "%s" if it is a name`, s, s)
	case strings.Contains(s, ": "):
		d.complain(path, `a comma or a line break may be missing before the colon; if %q is one text, put it in quotes`, s)
	case hashCut(n):
		d.complain(path, `# starts a comment, so only %q would be read: put the whole text in quotes, or a space after the #`, s)
	default:
		return s, true
	}
	return "", false
}

// hashCut reports a text that may have lost its end to a comment: Level #1.
func hashCut(n ast.Node) bool {
	c := n.GetComment()
	if c == nil || len(c.Comments) == 0 {
		return false
	}
	t := c.Comments[0].GetToken()
	return t.Position.Line == n.GetToken().Position.Line && t.Value != "" && !strings.ContainsAny(t.Value[:1], " \t#-=!")
}

// word reads one of the given words.
func word[V ~string](words ...V) parse[V] {
	known := make([]string, len(words))
	for i, w := range words {
		known[i] = string(w)
	}
	return func(d *decoder, n ast.Node, path string) (V, bool) {
		s, _, ok := d.scalar(n, path, oneOf(known))
		if !ok {
			return "", false
		}
		if !slices.Contains(known, s) {
			d.complain(path, "%q is not valid here: %s", s, choose(s, known))
			return "", false
		}
		return V(s), true
	}
}

// concept reads what a word of the vocabulary stands for.
func concept(d *decoder, n ast.Node, path string) (words.Concept, bool) {
	return word(words.Concepts()...)(d, n, path)
}

// drawingUnit reads a unit of drawings, or so many of one, as a drawing has that is as large as its paper.
func drawingUnit(d *decoder, n ast.Node, path string) (string, bool) {
	s, _, ok := d.scalar(n, path, oneOf(unitWords))
	if !ok {
		return "", false
	}
	one := s
	if k, rest, many := strings.Cut(s, " "); many {
		one = strings.TrimSpace(rest)
		if v, err := strconv.ParseFloat(k, 64); err != nil || !(v > 0 && v < 1e6) {
			d.complain(path, "expected a unit such as mm, or several of one such as 50 mm, found %q", s)
			return "", false
		}
		s = k + " " + one
	}
	if !slices.Contains(unitWords, one) {
		d.complain(path, "%q is not valid here: %s", one, choose(one, unitWords))
		return "", false
	}
	return s, true
}

// space reads the space of a drawing; true for paper space.
func space(d *decoder, n ast.Node, path string) (bool, bool) {
	s, ok := word("model", "paper")(d, n, path)
	return s == "paper", ok
}

// yesNo reads true or false.
func yesNo(d *decoder, n ast.Node, path string) (bool, bool) {
	s, quoted, ok := d.scalar(n, path, "true or false")
	if !ok {
		return false, false
	}
	if quoted || s != "true" && s != "false" {
		d.complain(path, "expected true or false without quotes, found %q", s)
		return false, false
	}
	return s == "true", true
}

// number reads a plain number between lo and hi.
func number(lo, hi float64) parse[float64] {
	return func(d *decoder, n ast.Node, path string) (float64, bool) {
		s, _, ok := d.scalar(n, path, "a number")
		if !ok {
			return 0, false
		}
		if octalLike.MatchString(s) && decimal.MatchString(s) {
			_, err := measure.Rational(strings.TrimLeft(s, "+-"))
			if err != nil {
				d.complain(path, "%v", err)
				return 0, false
			}
		}
		v, err := strconv.ParseFloat(s, 64)
		if err != nil || !decimal.MatchString(s) {
			d.complain(path, "expected a number such as 12 or 0.75, found %q", s)
			return 0, false
		}
		if v < lo || v > hi {
			d.complain(path, "%s is out of range: use %s", s, between(lo, hi))
			return 0, false
		}
		return v, true
	}
}

// whole reads a whole number between lo and hi.
func whole(lo, hi int) parse[int] {
	return func(d *decoder, n ast.Node, path string) (int, bool) {
		v, ok := number(float64(lo), float64(hi))(d, n, path)
		if !ok {
			return 0, false
		}
		if v != math.Trunc(v) {
			d.complain(path, "expected a whole number, found %v", v)
			return 0, false
		}
		return int(v), true
	}
}

func between(lo, hi float64) string {
	plain := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return plain(lo) + " to " + plain(hi)
}

// quantity reads a number with a unit; lo and hi are in the SI unit.
func quantity(dim *measure.Quantity, lo, hi float64) parse[float64] {
	return func(d *decoder, n ast.Node, path string) (float64, bool) {
		s, _, ok := d.scalar(n, path, "a "+dim.Name+" with its unit")
		if !ok {
			return 0, false
		}
		v, err := dim.Parse(s)
		if err != nil {
			d.complain(path, "%v", err)
			return 0, false
		}
		switch {
		case v < lo && lo == 0:
			d.complain(path, "%s is negative: use 0 or more", s)
		case v < lo, v > hi:
			d.complain(path, "%s is out of range: use %s to %s", s, dim.Show(lo), dim.Show(hi))
		default:
			return v, true
		}
		return 0, false
	}
}

// amps reads a current, which is then known.
var amps = ampsFrom(0)

// ampsFrom reads a current of at least so many amperes.
func ampsFrom(least float64) parse[takeoff.Amps] {
	return func(d *decoder, n ast.Node, path string) (takeoff.Amps, bool) {
		v, ok := quantity(measure.Current, least, 100)(d, n, path)
		return takeoff.Amps{A: v, Known: ok}, ok
	}
}

// readCharger reads what a charger takes in Ah, or gives in A.
func readCharger(d *decoder, n ast.Node, path string, p *Panel) {
	s, _, ok := d.scalar(n, path, "a battery capacity or a current with its unit")
	if !ok {
		return
	}
	if strings.HasSuffix(strings.ToLower(strings.TrimSpace(s)), "h") {
		p.ChargerAh, _ = quantity(measure.Charge, 0.001, 10000)(d, n, path)
		return
	}
	if _, err := measure.Current.Parse(s); err != nil {
		d.complain(path, "%q is no charger: write the battery that it takes, such as 27 Ah, or the current that it gives, such as 1.5 A", s)
		return
	}
	p.ChargerAmps, _ = quantity(measure.Current, 0.001, 1000)(d, n, path)
}

// date reads a calendar day, which is the only date that outputs carry.
func date(d *decoder, n ast.Node, path string) (time.Time, bool) {
	s, _, ok := d.scalar(n, path, "a date such as 2026-03-31")
	if !ok {
		return time.Time{}, false
	}
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		d.complain(path, "%q is not a date: write year-month-day, as in 2026-03-31", s)
		return time.Time{}, false
	}
	return t, true
}

// conductor reads a wire by gauge or cross-section.
func conductor(d *decoder, n ast.Node, path string) (wire.Conductor, bool) {
	s, ok := text(d, n, path)
	if !ok {
		return wire.Conductor{}, false
	}
	c, err := wire.ParseConductor(s)
	if err != nil {
		d.complain(path, "%v", err)
		return wire.Conductor{}, false
	}
	return c, true
}

// mounting reads ceiling, wall or a height above the floor.
func mounting(d *decoder, n ast.Node, path string) (takeoff.Mounting, bool) {
	s, _, ok := d.scalar(n, path, "ceiling, wall or a height such as 46 in")
	if !ok {
		return takeoff.Mounting{}, false
	}
	switch s {
	case "ceiling":
		return takeoff.Mounting{Kind: takeoff.MountCeiling}, true
	case "wall":
		return takeoff.Mounting{Kind: takeoff.MountWall}, true
	}
	if s == "" || !strings.ContainsAny(s[:1], "0123456789.-+") {
		hint := ""
		if w := nearest(s, []string{"ceiling", "wall"}); w != "" {
			hint = fmt.Sprintf("; did you mean %s?", w)
		}
		d.complain(path, "%q is not a mounting: write ceiling, wall, or a height above the floor such as 46 in%s", s, hint)
		return takeoff.Mounting{}, false
	}
	h, ok := quantity(measure.Small, 0, 100)(d, n, path)
	return takeoff.Mounting{Kind: takeoff.MountHeight, Height: h}, ok
}
