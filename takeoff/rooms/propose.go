package rooms

import (
	"cmp"
	"maps"
	"slices"
)

// Proposal is what bounds the rooms of a plan, by the shape of what is drawn.
type Proposal struct {
	Layers []string // that hold walls and hardly anything else, by name; empty where there are none
	Labels int      // of rooms
	Parted int      // labels that the walls part from all others
}

// pure is the share of its linework from which on a layer is one of walls.
const pure = 0.9

// Propose finds the walls of a sheet that nobody has named. Its layers are none where
// walls share theirs with other things: then all of what is drawn must be looked at.
func Propose(s Sheet) Proposal {
	gs := groups(&s, 0, languages([]Sheet{s}))
	ds := []drawn{s.drawn(gs)}
	g := layOut(ds, nil, trialSquares)
	labels := choose(gs, standingOn(g, gs), besideSymbol([]Sheet{s}), languages([]Sheet{s}))
	p := Proposal{Labels: len(labels), Parted: parted(g, labels)}
	layers := wallLayers(ds, labels)
	if layers == nil {
		return p
	}
	p.Parted = parted(layOut(ds, layers, trialSquares), labels)
	if 2*p.Parted < p.Labels {
		return p
	}
	kept, all := map[string]float64{}, map[string]float64{}
	for _, w := range ds[0].walls(layers) {
		kept[w.Layer] += w.Len()
	}
	for _, w := range s.Page.Walls(slices.Collect(maps.Keys(layers)), s.Part.Region) {
		all[w.Layer] += w.Len() * s.ToBuilding.Scale()
	}
	for l := range layers {
		if kept[l] < pure*all[l] || all[l] == 0 {
			return p
		}
	}
	p.Layers = slices.SortedFunc(maps.Keys(layers), cmp.Compare)
	return p
}
