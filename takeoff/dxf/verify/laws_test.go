package verify

import (
	"bytes"
	"os"
	"path/filepath"
	"sort"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
	"loopwright/testdata/against"
)

// sampleAddition has one of everything, around at, size in drawing units.
func sampleAddition(at edit.XY, size float64, device tags.Handle) edit.Addition {
	p := func(x, y float64) edit.XY { return edit.XY{X: at.X + x*size, Y: at.Y + y*size} }
	label := edit.Base{Layer: "FA-LABEL", Kind: "label", Device: device}
	wire := edit.Base{Layer: "FA-WIRE", Kind: "leg"}
	return edit.Addition{
		Layers: []edit.Layer{{Name: "FA-LABEL", Color: 1}, {Name: "FA-WIRE", Color: 3, Lineweight: 50}},
		Entities: []edit.Entity{
			edit.Polyline{Base: wire, Points: []edit.XY{p(0, 0), p(4, 0), p(4, 3), p(8, 3)}, Bulges: []float64{0, 0.41421356, 0, 0}, Width: size / 10},
			edit.Polyline{Base: wire, Points: []edit.XY{p(0, 4), p(2, 4), p(2, 5)}, Closed: true},
			edit.Line{Base: wire, From: p(0, 6), To: p(8, 6)},
			edit.Solid{Base: wire, Points: []edit.XY{p(8, 6), p(7.5, 6.2), p(7.5, 5.8)}},
			edit.Solid{Base: wire, Points: []edit.XY{p(9, 6), p(10, 6), p(10, 7), p(9, 7)}},
			edit.Circle{Base: label, Center: p(4, 8), Radius: size},
			edit.Text{Base: label, At: p(0, 1), Height: size, Value: "1-023"},
			edit.Text{Base: label, At: p(4, 8), Height: size * 0.8, H: dxf.Center, Value: "90"},
			edit.Text{Base: label, At: p(10, 2), Height: size, Rotation: 90, H: dxf.Right, Value: "50% ^ 100%% \u03a9 \u00e9"},
		},
	}
}

// realDrawings are the real drawings of the folder that LOOPWRIGHT_SHARED names.
func realDrawings() []string {
	files, _ := filepath.Glob(filepath.Join(os.Getenv(against.Data), "dxf", "open", "*.dxf"))
	sort.Strings(files)
	return files
}

// editLaws checks what must hold for every edit, and returns the edit.
func editLaws(t testing.TB, name string, original []byte, a edit.Addition) *edit.Result {
	t.Helper()
	d, err := dxf.Parse(name, original)
	if err != nil {
		t.Fatal(err)
	}
	e, err := edit.Add(d, a)
	if err != nil {
		return nil
	}
	base, err := edit.Strip(name, original)
	if err != nil {
		t.Fatalf("%s: strip the original: %v", name, err)
	}
	for _, p := range compare(original, e.Bytes) {
		t.Errorf("%s: %v", name, p)
	}
	back, err := edit.Strip(name, e.Bytes)
	if err != nil {
		t.Fatalf("%s: strip: %v", name, err)
	}
	if !bytes.Equal(back, base) {
		t.Errorf("%s: strip does not give the original back", name)
	}
	d2, err := dxf.Parse(name, e.Bytes)
	if err != nil {
		t.Fatalf("%s: the result does not parse: %v", name, err)
	}
	again, err := edit.Add(d2, a)
	if err != nil {
		t.Fatalf("%s: adding again: %v", name, err)
	}
	if !bytes.Equal(again.Bytes, e.Bytes) {
		t.Errorf("%s: adding twice is not adding once", name)
	}
	return e
}

func TestAgainstOpenDrawingsEdited(t *testing.T) {
	against.Folder(t, "dxf", "open")
	written, files := 0, realDrawings()
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		d, err := dxf.Parse(filepath.Base(f), b)
		if err != nil {
			t.Fatal(err)
		}
		at, size := middle(d)
		e := editLaws(t, filepath.Base(f), b, sampleAddition(at, size, 0))
		if e == nil {
			_, err := edit.Add(d, sampleAddition(edit.XY{}, 1, 0))
			t.Logf("refused: %v", err)
			continue
		}
		written++
		if dir := os.Getenv("LOOPWRIGHT_KEEP"); dir != "" {
			os.WriteFile(filepath.Join(dir, filepath.Base(f)), e.Bytes, 0o644)
		}
	}
	t.Logf("written %d, refused %d, of %d", written, len(files)-written, len(files))
}
