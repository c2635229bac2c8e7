package begin

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// kind is a device type with the blocks that show it.
type kind struct {
	device
	blocks []blockReason
}

type blockReason struct {
	block  string
	sample string    // a match by sample in place of a block's name
	attrib [2]string // tag and value that it must have besides; "" for none
	why    string
	placed int
	hidden int
}

// use is a block over all drawings.
type use struct {
	takeoff.BlockUse
	bare string // name without the prefix of a bound reference
}

// uses sums the blocks of all drawings by name.
func (d *draft) uses() []use {
	byName := map[string]*use{}
	for _, s := range d.sheets {
		for _, b := range s.Blocks {
			key := strings.ToUpper(words.Unbound(b.Block))
			u := byName[key]
			if u == nil {
				u = &use{bare: words.Unbound(b.Block)}
				u.Within = true
				u.Layers = map[string]int{}
				u.Values = map[string]map[string]int{}
				byName[key] = u
			}
			u.Placed += b.Placed
			u.Hidden += b.Hidden
			u.Samples += b.Samples
			u.Within = u.Within && b.Within
			u.Holds = u.Holds || b.Holds
			if u.Legend == "" {
				u.Legend = b.Legend
			}
			for l, n := range b.Layers {
				u.Layers[l] += n
			}
			u.addValues(b.Values)
		}
		for _, l := range s.Legends { // legends in paper space name blocks too
			for _, r := range l.Rows {
				if u := byName[strings.ToUpper(words.Unbound(r.Block))]; u != nil && u.Legend == "" {
					u.Legend = r.Text
				}
			}
		}
	}
	var out []use
	for _, k := range slices.Sorted(maps.Keys(byName)) {
		out = append(out, *byName[k])
	}
	return out
}

// sortBlocks decides what each block is: a device, the panel, a riser, something
// to ask about, or nothing of ours.
func (d *draft) sortBlocks() {
	us := d.uses()
	// Layers on which symbols stand that a legend explains are fire alarm layers whatever their name.
	known := map[string]bool{}
	for _, u := range us {
		if _, ok := byWords(u.Legend); ok && u.Legend != "" {
			for l := range u.Layers {
				known[l] = true
			}
		}
	}
	kinds := kindSet{}
	for _, u := range us {
		ours := u.Legend != ""
		for l := range u.Layers {
			ours = ours || known[l] || words.IsAlarm(l)
		}
		if !ours && !u.Holds && u.Placed > 0 {
			d.others = append(d.others, u)
		}
		if !ours || u.Placed+u.Hidden == 0 && u.Legend == "" {
			continue
		}
		switch {
		case panelWords.MatchString(u.Legend), u.Legend == "" && panelBlock.MatchString(u.bare):
			if d.panel == "" && u.Placed > 0 {
				d.panel = u.bare
			}
		case riserWords.MatchString(u.Legend) && !notRiser.MatchString(u.Legend), u.Legend == "" && riserBlock.MatchString(u.bare):
			d.risers = append(d.risers, u.bare)
		default:
			d.addDevice(u, kinds)
		}
	}
	d.sortFigures(kinds)
	for _, c := range catalogue {
		if k := kinds[c.Type]; k != nil {
			d.kinds = append(d.kinds, *k)
		}
	}
}

// addDevice files a block under its type, or among what must be asked.
func (d *draft) addDevice(u use, kinds kindSet) {
	dev, ok := byWords(u.Legend)
	why := fmt.Sprintf("the legend calls it %q", u.Legend)
	if !ok || u.Legend == "" {
		dev, ok = byBlock(u.bare)
		why = "as its name suggests: no legend explains it"
	}
	if ok {
		kinds.add(dev, blockReason{block: u.bare, why: why, placed: u.Placed, hidden: u.Hidden})
		return
	}
	tag := u.tellingTag()
	if tag == "" {
		if !u.Holds {
			d.ask = append(d.ask, ask{block: u.bare, placed: u.Placed + u.Hidden, layers: slices.Sorted(maps.Keys(u.Layers)), legend: u.Legend})
		}
		return
	}
	for _, v := range slices.Sorted(maps.Keys(u.Values[tag])) {
		n := u.Values[tag][v]
		dev, ok := byWords(strings.ToUpper(v))
		if !ok && len(v) > 1 { // one letter means what the drawing's maker likes
			dev, ok = byBlock(v)
		}
		if ok {
			kinds.add(dev, blockReason{block: u.bare, attrib: [2]string{tag, v}, why: "as the attribute's value suggests", placed: n})
		} else {
			d.ask = append(d.ask, ask{block: u.bare, attrib: [2]string{tag, v}, placed: n, layers: slices.Sorted(maps.Keys(u.Layers)), legend: u.Legend})
		}
	}
}

// kindSet are the types found so far, by name.
type kindSet map[string]*kind

func (ks kindSet) add(dev device, b blockReason) {
	k := ks[dev.Type]
	if k == nil {
		k = &kind{device: dev}
		ks[dev.Type] = k
	}
	k.blocks = append(k.blocks, b)
}

// mostKinds is how many values of an attribute may stand for types: beyond that
// they are numbers, places or remarks.
const mostKinds = 12

// tellingTag is the attribute whose values divide a block into types: a few
// values, each used more than once on the whole. "" if there is none.
func (u use) tellingTag() string {
	best, most := "", 1
	for _, tag := range slices.Sorted(maps.Keys(u.Values)) {
		vs := u.Values[tag]
		sum, named := 0, 0
		for v, n := range vs {
			if strings.IndexFunc(v, unicode.IsLetter) >= 0 {
				named++
				sum += n
			}
		}
		if named > most && len(vs) <= mostKinds && 2*named <= sum {
			best, most = tag, named
		}
	}
	return best
}

func (u *use) addValues(values map[string]map[string]int) {
	for tag, vs := range values {
		if u.Values[tag] == nil {
			u.Values[tag] = map[string]int{}
		}
		for v, n := range vs {
			u.Values[tag][strings.ToUpper(v)] += n // rules fold case too
		}
	}
}
