package edit

import (
	"bytes"
	"slices"
	"strings"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/tags"
)

// Open is dxf.Open for a drawing that may be one of our own, given back: what we
// marked as ours is dropped, and what we changed is as it was. Where a CAD program
// has dropped our marks, the names of our layers tell what we drew; that is a guess,
// and a finding of the drawing. A drawing that cannot be edited is read as it stands.
func Open(path string) (*dxf.Drawing, error) {
	d, err := dxf.Open(path)
	if err != nil {
		return nil, err
	}
	named := namedLike(d.Layers)
	if len(named) == 0 && !bytes.Contains(d.Bytes, []byte(AppID)) {
		return d, nil
	}
	bare, err := Strip(d.Name, d.Bytes)
	if err != nil {
		return d, nil
	}
	bare, cut := stripLayers(tags.NewSource(d.Name, bare), named)
	if bytes.Equal(bare, d.Bytes) {
		return d, nil
	}
	b, err := dxf.Parse(d.Name, bytes.Clone(bare))
	if err != nil {
		return d, nil
	}
	if err := d.Close(); err != nil {
		return nil, err
	}
	if len(cut) > 0 {
		b.Findings = append(b.Findings, dxf.OursByLayer(cut))
	}
	return b, nil
}

// Layers are the ends of the names of layers that labeled drawings have: what stands
// on each.
var Layers = []string{"ADDR", "ADDR-LEAD", "ROUT-SIGL", "ROUT-NOTF", "ROUT-POWR", "HOME", "ROUT-TTAP", "ISOL", "EOLR", "SCHD", "RISR"}

// namedLike lists layers that are called like ours: at least three that differ only in
// what we write at their end, for one such name is somebody else's as well as ours.
func namedLike(layers []dxf.Layer) []string {
	byHead := map[string][]string{}
	for _, l := range layers {
		name, longest := foldName(l.Name), ""
		for _, end := range Layers {
			if strings.HasSuffix(name, "-"+end) && len(end) > len(longest) {
				longest = end
			}
		}
		if longest != "" {
			head := strings.TrimSuffix(name, longest)
			byHead[head] = append(byHead[head], name)
		}
	}
	var out []string
	for _, names := range byHead {
		if len(names) >= 3 {
			out = append(out, names...)
		}
	}
	slices.Sort(out)
	return out
}

// stripLayers takes out of a drawing the entities of the kinds that we draw on
// layers of the given names, folded. It returns the names that had any.
func stripLayers(src *tags.Source, names []string) (bare []byte, had []string) {
	if len(names) == 0 {
		return src.Bytes, nil
	}
	var cuts []splice
	section, typ, layer, start := "", "", "", 0
	end := func(at int) {
		if section == "ENTITIES" && drawable(typ) && slices.Contains(names, layer) {
			cuts = append(cuts, splice{start: start, end: at})
			if !slices.Contains(had, layer) {
				had = append(had, layer)
			}
		}
	}
	sc := src.Scanner(src.Body, len(src.Bytes))
	for {
		t, ok := sc.Next()
		if !ok {
			break
		}
		switch {
		case t.Code == 0:
			end(t.Start)
			typ, layer, start = src.Text(t), "", t.Start
			if typ == "ENDSEC" {
				section = ""
			}
		case t.Code == 2 && typ == "SECTION":
			section = src.Text(t)
		case t.Code == 8 && layer == "":
			layer = foldName(src.Text(t))
		}
	}
	slices.Sort(had)
	return applySplices(src.Bytes, cuts), had
}

// StripFile is Strip with the second sign of Open: it returns the names of layers of
// which things were taken out that bear no mark of ours.
func StripFile(name string, b []byte) (bare []byte, guessed []string, err error) {
	bare, err = Strip(name, b)
	if err != nil {
		return nil, nil, err
	}
	d, err := dxf.Parse(name, bare)
	if err != nil {
		return nil, nil, err
	}
	bare, guessed = stripLayers(d.Source, namedLike(d.Layers))
	return bare, guessed, nil
}
