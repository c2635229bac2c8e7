package edit_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
)

// opened lists what Open finds on a drawing: texts, number of inserts, codes of findings.
func opened(t *testing.T, data string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "plan.dxf")
	if err := os.WriteFile(path, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
	d, err := edit.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	var out []string
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range texts {
		out = append(out, x.Text)
	}
	inserts, _, err := d.Inserts(dxf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out = append(out, fmt.Sprint(len(inserts)))
	for _, f := range d.Findings {
		out = append(out, f.Code)
	}
	return strings.Join(out, " ")
}

// onLayers is a drawing with a text on each of the layers, and an insert on the first.
func onLayers(layers ...string) string {
	var table, things []string
	for _, l := range layers {
		table = append(table, "0", "LAYER", "2", l, "70", "0", "62", "7", "6", "CONTINUOUS")
		things = append(things, "0", "TEXT", "8", l, "10", "0", "20", "0", "40", "1", "1", l)
	}
	things = append(things, "0", "INSERT", "8", layers[0], "2", "SMK", "10", "5", "20", "5")
	s := strings.Replace(drawing, "0\nSECTION\n2\nBLOCKS", "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n9\n"+strings.Join(table, "\n")+"\n0\nENDTAB\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS", 1)
	return strings.Replace(s, "2\nENTITIES\n", "2\nENTITIES\n"+strings.Join(things, "\n")+"\n", 1)
}

func TestOpen(t *testing.T) {
	d, err := dxf.Parse("plan.dxf", []byte(drawing))
	if err != nil {
		t.Fatal(err)
	}
	text := edit.Text{At: edit.XY{X: 130, Y: 100}, Height: 6, Value: "RISER DIAGRAM"}
	text.Layer, text.Kind = "FA-RISR", "riser"
	labeled, err := edit.Add(d, edit.Addition{Layers: []edit.Layer{{Name: "FA-RISR", Color: 5}}, Entities: []edit.Entity{text}})
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct{ name, data, want string }{
		{"nothing of ours", drawing, "1"},
		{"marked as ours", string(labeled.Bytes), "1"},
		{"layers called like ours, nothing marked", onLayers("X-ADDR", "x-rout-sigl", "X-SCHD", "WALL"), "WALL 2 D119"},
		{"two such layers are somebody's", onLayers("X-ADDR", "X-SCHD", "WALL"), "X-ADDR X-SCHD WALL 2"},
		{"three that do not belong together", onLayers("X-ADDR", "Y-SCHD", "HOME", "Z-HOME"), "X-ADDR Y-SCHD HOME Z-HOME 2"},
	} {
		if got := opened(t, tt.data); got != tt.want {
			t.Errorf("%s: %s, want %s", tt.name, got, tt.want)
		}
	}
}
