package drafting

import (
	"strings"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf/edit"
)

// kind is what stands on a layer of ours: the {kind} of the layers' pattern.
type kind string

// The kinds of layers. Fields of four letters, as in the layer names of
// discipline, major and minor groups that public CAD standards use.
const (
	kindAddress  kind = "ADDR"
	kindLeader   kind = "ADDR-LEAD"
	kindSignal   kind = "ROUT-SIGL" // signaling line circuits
	kindNotify   kind = "ROUT-NOTF" // notification appliance circuits
	kindPower    kind = "ROUT-POWR" // 24 V
	kindHome     kind = "HOME"      // where circuits come from and go to
	kindTap      kind = "ROUT-TTAP" // branch points
	kindIsolator kind = "ISOL"      // isolators to be added
	kindEndLine  kind = "EOLR"      // ends of class B circuits
	kindTable    kind = "SCHD"
	kindDiagram  kind = "RISR"
)

// looks are the colour (index) and lineweight (hundredths of a millimetre) of
// each kind: dark enough for white paper, light enough for a black screen.
var looks = map[kind]struct{ color, weight int }{
	kindAddress: {5, 18}, kindLeader: {8, 13},
	kindSignal: {92, 25}, kindNotify: {32, 25}, kindPower: {192, 25}, kindTap: {92, 25},
	kindHome: {142, 18}, kindIsolator: {30, 25}, kindEndLine: {212, 18},
	kindTable: {7, 13}, kindDiagram: {7, 18},
}

func routeKind(k takeoff.CircuitKind) kind {
	switch k {
	case takeoff.NAC:
		return kindNotify
	case takeoff.Power:
		return kindPower
	}
	return kindSignal
}

// layering names the layers of a sheet and collects those in use.
type layering struct {
	pattern string
	used    []edit.Layer
	byName  map[string]bool
}

// of names the layer for a kind. Circuit and level may be "" where a thing
// belongs to none.
func (l *layering) of(k kind, circuit, level string) string {
	name := layerName(l.pattern, k, circuit, level)
	if !l.byName[name] {
		if l.byName == nil {
			l.byName = map[string]bool{}
		}
		l.byName[name] = true
		l.used = append(l.used, edit.Layer{Name: name, Color: looks[k].color, Lineweight: looks[k].weight})
	}
	return name
}

// longestName is what drawings up to R12 and many CAD standards allow.
const longestName = 31

// layerName fills a pattern and brings the name into the form that every
// release of the format takes: capitals, digits, $, - and _, at most 31.
func layerName(pattern string, k kind, circuit, level string) string {
	name := tidyName(assign.Expand(pattern, map[string]string{"kind": string(k), "circuit": circuit, "level": level}))
	if len(name) <= longestName {
		return name
	}
	// Too long: the kind is what tells layers apart, so it is kept whole.
	tail := "-" + string(k)
	return strings.TrimRight(name[:longestName-len(tail)], "-") + tail
}

func tidyName(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '$', r == '_':
			return r
		}
		return '-'
	}, strings.ToUpper(s))
	for strings.Contains(s, "--") {
		s = strings.ReplaceAll(s, "--", "-")
	}
	if s = strings.Trim(s, "-"); s == "" {
		return "LOOPWRIGHT"
	}
	return s
}
