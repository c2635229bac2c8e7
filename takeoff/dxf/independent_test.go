package dxf

import (
	_ "embed"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// makeDrawings writes drawings with ezdxf, a library of others, together with its
// own reading of them.
//
//go:embed testdata/make_drawings.py
var makeDrawings string

type madeDrawing struct {
	File    string
	Inserts []struct {
		Name    string
		Path    []string
		Origin  [3]float64 // image of the block's origin
		X, Y, Z [3]float64 // images of the block's axes
		Attribs map[string]string
	}
	Shapes []struct {
		Kind   string
		Lo, Hi [2]float64
		Length float64
	}
	Texts []string
}

// TestAgainstEzdxf compares with ezdxf on drawings that it writes: nested and
// turned inserts, arrays, extrusions, attributes, curves, texts, in each version
// and both forms.
func TestAgainstEzdxf(t *testing.T) {
	python := against.Python(t, "ezdxf")
	dir := t.TempDir()
	cmd := exec.Command(python, "-c", makeDrawings, dir)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	names, _ := filepath.Glob(filepath.Join(dir, "*.json"))
	if len(names) < 6 {
		t.Fatalf("only %d drawings were made", len(names))
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".json"), func(t *testing.T) {
			raw, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			var m madeDrawing
			if err := json.Unmarshal(raw, &m); err != nil {
				t.Fatal(err)
			}
			d, err := Open(filepath.Join(dir, m.File))
			if err != nil {
				t.Fatal(err)
			}
			if len(d.Findings) > 0 {
				t.Errorf("findings %+v", d.Findings)
			}
			m.compareInserts(t, d)
			m.compareShapes(t, d)
			var texts []string
			for _, x := range mustTexts(t, d, Options{}) {
				texts = append(texts, x.Text)
			}
			if got, want := strings.Join(texts, "|"), strings.Join(m.Texts, "|"); got != want {
				t.Errorf("texts\n got %q\nwant %q", got, want)
			}
		})
	}
}

func (m *madeDrawing) compareInserts(t *testing.T, d *Drawing) {
	in, _ := mustInserts(t, d, Options{})
	if len(in) != len(m.Inserts) || len(in) < 100 {
		t.Fatalf("%d inserts, want %d", len(in), len(m.Inserts))
	}
	for i, w := range m.Inserts {
		g := in[i]
		tol := 1e-7
		if g.Effective != w.Name || strings.Join(g.Path, "/") != strings.Join(w.Path, "/") {
			t.Fatalf("insert %d is %s in %q, want %s in %q", i, g.Effective, g.Path, w.Name, w.Path)
		}
		if far(g.Transform.t, w.Origin, tol) || far(g.Transform.x, w.X, tol) || far(g.Transform.y, w.Y, tol) || far(g.Transform.z, w.Z, tol) {
			t.Errorf("insert %d %s: %+v, want %+v", i, g.Effective, g.Transform, w)
		}
		if r := math.Atan2(w.X[1], w.X[0]) * 180 / math.Pi; math.Abs(math.Remainder(g.Rotation-r, 360)) > 1e-6 && math.Hypot(w.X[0], w.X[1]) > 1e-9 {
			t.Errorf("insert %d: rotation %v, want %v", i, g.Rotation, r)
		}
		for tag, v := range w.Attribs {
			if got, _ := attribOf(g, tag); got != v {
				t.Errorf("insert %d: %s = %q, want %q", i, tag, got, v)
			}
		}
	}
}

func (m *madeDrawing) compareShapes(t *testing.T, d *Drawing) {
	shapes := mustShapes(t, d, Options{Keep: func(layer string, _ ShapeKind) bool { return layer == "CURVES" }})
	if len(shapes) != len(m.Shapes) {
		t.Fatalf("%d shapes, want %d", len(shapes), len(m.Shapes))
	}
	for i, w := range m.Shapes {
		box, length := emptyExtent, 0.0
		p := shapes[i].Points
		for k := range p {
			box.include(p[k])
			if k > 0 {
				length += p[k].sub(p[k-1]).length()
			}
		}
		if shapes[i].Closed {
			length += p[0].sub(p[len(p)-1]).length()
		}
		off := max(math.Abs(box.Min.X-w.Lo[0]), math.Abs(box.Min.Y-w.Lo[1]), math.Abs(box.Max.X-w.Hi[0]), math.Abs(box.Max.Y-w.Hi[1]))
		size := max(w.Hi[0]-w.Lo[0], w.Hi[1]-w.Lo[1])
		if off > relativeChord*size || math.Abs(length-w.Length) > 0.002*w.Length+0.01 {
			t.Errorf("shape %d %s: box %v off, length %v, want %v", i, w.Kind, off, length, w.Length)
		}
	}
}
