package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/words"
)

// rule is one match of one type, in the job's order: the first that fits wins.
type rule struct {
	words.Match
	typ    int // index of its type
	number int // from 1, within the type
}

// tally says how often a rule fitted a symbol, and how often it was the first to.
type tally struct{ fits, wins int }

func (a *tally) add(b tally) { a.fits, a.wins = a.fits+b.fits, a.wins+b.wins }

func rulesOf(types []DeviceType) []rule {
	var rs []rule
	for i, ty := range types {
		for k, m := range ty.Match {
			rs = append(rs, rule{m, i, k + 1})
		}
	}
	return rs
}

// classifier tells the types of symbols by the rules and counts which rule did.
type classifier struct {
	rules   []rule
	tallies []tally
	// known remembers the rules that fit symbols without attributes, texts and a look of their own,
	// of which a plan has many alike.
	known map[[2]string][]int
}

func newClassifier(rules []rule) *classifier {
	return &classifier{rules: rules, tallies: make([]tally, len(rules)), known: map[[2]string][]int{}}
}

// classify returns the index of the rule that is the first to fit, or -1.
func (c *classifier) classify(s words.Symbol) int {
	fit := c.fitting(s)
	for k, r := range fit {
		c.tallies[r].fits++
		if k == 0 {
			c.tallies[r].wins++
		}
	}
	if len(fit) == 0 {
		return -1
	}
	return fit[0]
}

func (c *classifier) fitting(s words.Symbol) []int {
	plain := len(s.Attribs) == 0 && s.Text == "" && s.Linetype == "" && s.Color == 0
	key := [2]string{s.Block, s.Layer}
	if plain {
		if fit, ok := c.known[key]; ok {
			return fit
		}
	}
	var fit []int
	for i := range c.rules {
		if s.Text != "" && c.rules[i].Text == "" { // a rule on layers alone means symbols, not every text
			continue
		}
		if c.rules[i].Fits(s) {
			fit = append(fit, i)
		}
	}
	if plain {
		c.known[key] = fit
	}
	return fit
}

// unusedRules reports rules that never decided anything: most often a misspelt name.
func (t *taker) unusedRules() {
	if len(t.files.byName) == 0 { // lists of devices name their types: there is nothing to match
		return
	}
	for i, r := range t.rules {
		ty, n := t.req.Types[r.typ], t.tallies[i]
		switch {
		case n.wins > 0:
		case n.fits > 0:
			t.find(Finding{Code: codeUnusedRule, Severity: Warning, Message: fmt.Sprintf(
				"type %s: rule %d (%s) matches %d symbols, but earlier rules take them all: move it up, or remove it", ty.Type, r.number, r.Match, n.fits)})
		default:
			t.find(Finding{Code: codeUnusedRule, Severity: Warning, Message: fmt.Sprintf(
				"type %s: rule %d (%s) matched nothing: check its spelling, or remove it", ty.Type, r.number, r.Match)})
		}
	}
}

// namedLayer reports whether a rule names a layer, other than by a bare star.
func namedLayer(rules []rule, layer string) bool {
	for _, r := range rules {
		if strings.Trim(r.Layer, "*") != "" && words.NameFits(r.Layer, layer) {
			return true
		}
	}
	return false
}
