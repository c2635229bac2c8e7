package edit

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
)

// drawing is one of the small drawings of testdata.
func drawing(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("testdata/" + name + ".in.dxf")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func parsed(t *testing.T, name string) *dxf.Drawing {
	t.Helper()
	d, err := dxf.Parse(name, drawing(t, name))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// replaced replaces the first old, which must be there.
func replaced(t *testing.T, b []byte, old, text string) []byte {
	t.Helper()
	if !bytes.Contains(b, []byte(old)) {
		t.Fatalf("%q is not in the drawing", old)
	}
	return bytes.Replace(b, []byte(old), []byte(text), 1)
}

// without leaves out the TABLE or SECTION of a name.
func without(t *testing.T, b []byte, typ, name string) []byte {
	t.Helper()
	before, rest, ok := bytes.Cut(b, []byte("  0\n"+typ+"\n  2\n"+name+"\n"))
	_, after, closed := bytes.Cut(rest, []byte("  0\nEND"+typ[:3]+"\n"))
	if !ok || !closed {
		t.Fatalf("the drawing has no %s %s", typ, name)
	}
	return append(bytes.Clone(before), after...)
}

// What cannot be edited safely is refused, and the error says why.
func TestRefusals(t *testing.T) {
	r2000, r12 := drawing(t, "r2000"), drawing(t, "r12-bare")
	text := Text{Base: Base{Layer: "FA-LABEL", Kind: "label", Device: 0x24}, At: XY{42, 33.25}, Height: 2.5, Value: "1-023"}
	label := Addition{Layers: []Layer{{Name: "FA-LABEL", Color: 1}}, Entities: []Entity{text}}
	with := func(change func(*Text)) Addition {
		n := text
		change(&n)
		return Addition{Layers: label.Layers, Entities: []Entity{n}}
	}
	layer := func(l Layer) Addition { return Addition{Layers: []Layer{l}} }
	for _, c := range []struct {
		name string
		in   []byte
		add  Addition
		want string
	}{
		{"no APPID in R2000", without(t, r2000, "TABLE", "APPID"), label, "table APPID is missing"},
		{"no LAYER in R2000", without(t, r2000, "TABLE", "LAYER"), label, "table LAYER is missing"},
		{"no TABLES in R2000", without(t, r2000, "SECTION", "TABLES"), label, "is missing"},
		{"no model space", bytes.ReplaceAll(replaced(t, r2000, "*Model_Space", "*U1"), []byte("330\n1F\n"), []byte("330\n1E\n")), label, "model space cannot be found"},
		{"no ENTITIES", without(t, r2000, "SECTION", "ENTITIES"), label, "no ENTITIES"},
		{"cut off", r2000[:bytes.Index(r2000, []byte("  0\nSEQEND"))], label, "has no ENDSEC"},
		{"newer than known", replaced(t, r2000, "AC1015", "AC1099"), label, "version"},
		{"no version but markers", replaced(t, r2000, "  9\n$ACADVER\n  1\nAC1015\n", ""), label, "$ACADVER"},
		{"out of step", replaced(t, r2000, "  8\n0\n", "  8\n0\nlost\n"), label, "out of step"},
		{"handles used up", replaced(t, r2000, "  5\n23\n", "  5\nFFFFFFFFFFFFFFFE\n"), label, "no room"},
		{"seed is no handle", replaced(t, r2000, "  5\n2B\n", "  5\nnone\n"), label, "$HANDSEED"},
		{"stray ENDSEC", append(bytes.TrimSuffix(bytes.Clone(r12), []byte("  0\nEOF\n")), "  0\nENDSEC\n  0\nEOF\n"...), label, "without a section"},
		{"height 0", r2000, with(func(n *Text) { n.Height = 0 }), "not above 0"},
		{"height NaN", r2000, with(func(n *Text) { n.Height = math.NaN() }), "height"},
		{"empty text", r2000, with(func(n *Text) { n.Value = " " }), "an empty text"},
		{"line feed", r2000, with(func(n *Text) { n.Value = "a\nb" }), "control character"},
		{"long text", r2000, with(func(n *Text) { n.Value = strings.Repeat("x", 251) }), "one line may have"},
		{"invalid UTF-8", r2000, with(func(n *Text) { n.Value = "a\xff" }), "UTF-8"},
		{"foreign layer", r2000, with(func(n *Text) { n.Layer = "0" }), "not one of the addition's layers"},
		{"no kind", r2000, with(func(n *Text) { n.Kind = "" }), "kind"},
		{"missing device", r2000, with(func(n *Text) { n.Device = 0x999 }), "999"},
		{"layer 0", r2000, layer(Layer{Name: "0", Color: 1}), "layer name"},
		{"layer with blank", r2000, layer(Layer{Name: "A B", Color: 1}), "layer name"},
		{"layer off", r2000, layer(Layer{Name: "A", Color: -1}), "color"},
		{"lineweight", r2000, layer(Layer{Name: "A", Color: 1, Lineweight: 33}), "lineweights"},
		{"layer twice", r2000, Addition{Layers: []Layer{{Name: "A", Color: 1}, {Name: "a", Color: 1}}}, "two layers"},
		{"one point", r2000, Addition{Layers: label.Layers, Entities: []Entity{Polyline{Base: text.Base, Points: []XY{{}}}}}, "2 points"},
		{"nil entity", r2000, Addition{Layers: label.Layers, Entities: []Entity{nil}}, "nil"},
		{"attribute not there", r2000, Addition{Attribs: []AttribChange{{0x24, "NOTE", "x"}}}, "no attribute NOTE"},
		{"attribute twice", r2000, Addition{Attribs: []AttribChange{{0x24, "TAG", "x"}, {0x24, "tag", "y"}}}, "set twice"},
		{"attribute of several lines", replaced(t, r2000, "  2\nTAG\n", "  2\nTAG\n101\nEmbedded Object\n"), Addition{Attribs: []AttribChange{{0x24, "TAG", "x"}}}, "several lines"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := dxf.Parse("x.dxf", c.in)
			if err != nil {
				t.Skipf("the reader refuses it: %v", err)
			}
			_, err = Add(d, c.add)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got error %v, want %q", err, c.want)
			}
		})
	}
}

// What a caller must not put into somebody's drawing is refused before a byte
// is written, with the entity's number and what is wrong with it.
func TestRefusedEntities(t *testing.T) {
	base := Base{Layer: "L", Kind: "label"}
	line := func(change func(*Line)) Entity {
		l := Line{Base: base, To: XY{X: 1}}
		change(&l)
		return l
	}
	for _, tt := range []struct {
		name string
		e    Entity
		want string
	}{
		{"layer", line(func(l *Line) { l.Layer = "M" }), `its layer "M" is not one of the addition's layers`},
		{"kind", line(func(l *Line) { l.Kind = "étiquette" }), "is not a short ASCII word"},
		{"not finite", line(func(l *Line) { l.To.Y = math.Inf(1) }), "+Inf is not a number that a drawing can hold"},
		{"solid of two corners", Solid{Base: base, Points: []XY{{}, {X: 1}}}, "3 or 4 corners, not 2"},
		{"bulges that are too few", Polyline{Base: base, Points: []XY{{}, {X: 1}, {Y: 1}}, Bulges: []float64{1}}, "3 points has 1 bulges"},
		{"negative width", Polyline{Base: base, Points: []XY{{}, {X: 1}}, Width: -1}, "the width -1 is negative"},
		{"circle of no size", Circle{Base: base}, "the radius 0 is not above 0"},
		{"blank text", Text{Base: base, Height: 1, Value: "  "}, "an empty text"},
		{"text of no height", Text{Base: base, Value: "A"}, "the text height 0 is not above 0"},
		{"alignment of a fitted text", Text{Base: base, Height: 1, Value: "A", H: dxf.Fit}, "unknown alignment"},
		{"nil", nil, "entity 2 of the addition is nil"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			good := Line{Base: base, To: XY{X: 1}}
			out, err := Add(parsed(t, "r12-bare"), Addition{Layers: []Layer{{Name: "L", Color: 1}}, Entities: []Entity{good, tt.e}})
			if err == nil || !strings.Contains(err.Error(), tt.want) || !strings.Contains(err.Error(), "entity 2") {
				t.Errorf("%v\nwant entity 2 and %q", err, tt.want)
			}
			if out != nil {
				t.Error("it was written all the same")
			}
		})
	}
}

// The value is replaced and the old one kept beside it.
func TestSetAttribute(t *testing.T) {
	e, err := Add(parsed(t, "r2018"), Addition{Attribs: []AttribChange{{0x24, "tag", "100%% \u03a9"}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Attribs) != 1 || e.Attribs[0].Old != "S-1" {
		t.Errorf("changed %+v", e.Attribs)
	}
	out := e.Bytes
	if !bytes.Contains(out, []byte("  1\n100%%%%%% \u03a9\n")) || !bytes.Contains(out, []byte("1000\nWAS=S-1\n")) {
		t.Errorf("the value is not set or the old one not kept:\n%s", out)
	}
}
