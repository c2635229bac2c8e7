package begin

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"loopwright/takeoff"
)

// kind is a device type with the blocks that show it.
type kind struct {
	device
	blocks []blockReason
}

type blockReason struct {
	block  string
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
			key := strings.ToUpper(takeoff.Unbound(b.Block))
			u := byName[key]
			if u == nil {
				u = &use{bare: takeoff.Unbound(b.Block)}
				u.Within = true
				u.Layers = map[string]int{}
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
		}
		for _, l := range s.Legends { // legends in paper space name blocks too
			for _, r := range l.Rows {
				if u := byName[strings.ToUpper(takeoff.Unbound(r.Block))]; u != nil && u.Legend == "" {
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
	kinds := map[string]*kind{}
	for _, u := range us {
		ours := u.Legend != ""
		for l := range u.Layers {
			ours = ours || known[l] || fireLayer.MatchString(takeoff.Unbound(l))
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
	for _, c := range catalogue {
		if k := kinds[c.Type]; k != nil {
			d.kinds = append(d.kinds, *k)
		}
	}
}

// addDevice files a block under its type, or among what must be asked.
func (d *draft) addDevice(u use, kinds map[string]*kind) {
	dev, ok := byWords(u.Legend)
	why := fmt.Sprintf("the legend calls it %q", u.Legend)
	if !ok || u.Legend == "" {
		dev, ok = byBlock(u.bare)
		why = "as its name suggests: no legend explains it"
	}
	if !ok {
		if !u.Holds {
			d.ask = append(d.ask, ask{u.bare, u.Placed + u.Hidden, slices.Sorted(maps.Keys(u.Layers)), u.Legend})
		}
		return
	}
	k := kinds[dev.Type]
	if k == nil {
		k = &kind{device: dev}
		kinds[dev.Type] = k
	}
	k.blocks = append(k.blocks, blockReason{u.bare, why, u.Placed, u.Hidden})
}
