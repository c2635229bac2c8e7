package label

import (
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// simplex holds the advance widths of the Hershey roman simplex alphabet (A. V. Hershey,
// US National Bureau of Standards, 1967; in the public domain) for the
// characters from space to ~, capitals 21 units high. Stroke fonts of drawing
// programs descend from it. Space to J compared with a copy of the table; K to ~ from memory.
var simplex = [95]int{
	16, 10, 16, 21, 20, 24, 26, 10, 14, 14, 16, 26, 10, 26, 10, 22, // space to /
	20, 20, 20, 20, 20, 20, 20, 20, 20, 20, 10, 10, 24, 26, 24, 18, // 0 to ?
	27, 18, 21, 21, 21, 19, 18, 21, 22, 8, 16, 21, 17, 24, 22, 22, // @ to O
	21, 22, 21, 20, 16, 22, 18, 24, 20, 18, 20, 14, 14, 14, 16, 16, // P to _
	10, 19, 19, 18, 19, 18, 12, 19, 19, 8, 10, 17, 8, 30, 19, 19, // ` to o
	19, 19, 13, 17, 12, 19, 16, 22, 17, 16, 17, 14, 8, 14, 24, // p to ~
}

func TestWidthBoundsStrokeFont(t *testing.T) {
	for i, w := range simplex {
		r := rune(' ' + i)
		if got, want := advance(r), float64(w)/21; got < want {
			t.Errorf("%q: bound %v is below the width %.3f", r, got, want)
		}
	}
	// A bound that is far too wide would cost leaders: it stays within half again.
	for _, s := range []string{"1-090", "SLC-1-127", "L2-M045", "90.1"} {
		sum := 0
		for _, r := range s {
			sum += simplex[r-' ']
		}
		if got, real := EstimateWidth(s, 21), float64(sum); got < real || got > 1.5*real {
			t.Errorf("%s: estimated %v, in the font %v", s, got, real)
		}
	}
}

// Advance widths over the height of H, read from the Go fonts (Bigelow and Holmes, BSD licence).
func TestWidthBoundsOutlineFonts(t *testing.T) {
	for name, ttf := range map[string][]byte{"Go Regular": goregular.TTF, "Go Bold": gobold.TTF, "Go Mono": gomono.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			t.Fatal(err)
		}
		face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: 1000, DPI: 72})
		if err != nil {
			t.Fatal(err)
		}
		bounds, _, _ := face.GlyphBounds('H')
		capital := -bounds.Min.Y
		for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 !\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~ÄÉØßñΩЖщ°²µ" {
			w, ok := face.GlyphAdvance(r)
			if !ok {
				t.Fatalf("%s has no %q", name, r)
			}
			if real := ratio(w, capital); advance(r) < real {
				t.Errorf("%s %q: bound %v is below the width %.3f", name, r, advance(r), real)
			}
			if b, _, _ := face.GlyphBounds(r); b.Max.Y > 0 && ratio(b.Max.Y, capital) > below(string(r))+0.05 {
				t.Errorf("%s %q reaches %.3f below the line, bound %v", name, r, ratio(b.Max.Y, capital), below(string(r)))
			}
		}
		s := "SLC-1-127"
		if real := ratio(font.MeasureString(face, s), capital); EstimateWidth(s, 1) > 1.7*real {
			t.Errorf("%s %s: estimated %v, in the font %.3f", name, s, EstimateWidth(s, 1), real)
		}
		if err := face.Close(); err != nil {
			t.Error(err)
		}
	}
}

func ratio(a, b fixed.Int26_6) float64 { return float64(a) / float64(b) }

func TestExtent(t *testing.T) {
	for _, tt := range []struct {
		text          string
		width, height float64
	}{
		{"", 0, 10},
		{"90", 20, 10},
		{"1-090", 52.5, 10},
		{"SMOKE\n90", 60.5, 10 + 50./3},
		{"90,1", 38.5, 14},
		{"a\u0301", 10.5, 14}, // a combining accent takes no room of its own
		{"漢字", 36, 14},
	} {
		w, h := Extent(tt.text, 10)
		if d := w - tt.width; d > 1e-9 || d < -1e-9 {
			t.Errorf("width of %q = %v, want %v", tt.text, w, tt.width)
		}
		if d := h - tt.height; d > 1e-9 || d < -1e-9 {
			t.Errorf("height of %q = %v, want %v", tt.text, h, tt.height)
		}
	}
}
