package inspect_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/inspect"
)

// plan is a drawing of four rooms and a corridor, 20 m by 10 m, each thing on the layer that is given.
// Numbers of rooms stand in each; furniture and notes are there too.
func fourRooms(walls, furniture, lettering string) string {
	var b strings.Builder
	line := func(layer string, v ...float64) {
		for i := 0; i+3 < len(v); i += 2 {
			fmt.Fprintf(&b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", layer, v[i], v[i+1], v[i+2], v[i+3])
		}
	}
	text := func(x, y, h float64, s string) {
		fmt.Fprintf(&b, "0\nTEXT\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n40\n%g\n72\n1\n73\n2\n1\n%s\n", lettering, x, y, x, y, h, s)
	}
	line(walls, 0, 0, 20, 0, 20, 10, 0, 10, 0, 0)
	line(walls, 0, 4, 4, 4)
	line(walls, 5, 4, 14, 4)
	line(walls, 15, 4, 20, 4)
	line(walls, 0, 6, 4, 6)
	line(walls, 5, 6, 14, 6)
	line(walls, 15, 6, 20, 6)
	line(walls, 10, 0, 10, 4)
	line(walls, 10, 6, 10, 10)
	for i, at := range [][2]float64{{5, 2}, {15, 2}, {10, 5}, {5, 8}, {15, 8}} {
		text(at[0], at[1]+0.2, 0.25, fmt.Sprintf("1.%02d", i+1))
		text(at[0], at[1]-0.2, 0.25, []string{"Kontor", "Arkiv", "Korridor", "Lager", "Kontor"}[i])
		line(furniture, at[0]-3, at[1]-0.9, at[0]-1.4, at[1]-0.9, at[0]-1.4, at[1]-0.2, at[0]-3, at[1]-0.2, at[0]-3, at[1]-0.9)
	}
	text(10, -3, 0.5, "Plan 1")
	return "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n6\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + b.String() + "0\nENDSEC\n0\nEOF\n"
}

// Layers of walls are found by what their lines do, whatever they are called; where walls share a layer with
// furniture none is proposed, but the rooms are parted all the same.
func TestWallsByShape(t *testing.T) {
	for _, tt := range []struct {
		name                        string
		walls, furniture, lettering string
		want                        []string
	}{
		{"a layer of their own", "17", "40", "62", []string{"17"}},
		{"one layer for all", "0", "0", "0", nil},
		{"a layer with furniture", "17", "17", "62", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "a.dxf")
			if err := os.WriteFile(file, []byte(fourRooms(tt.walls, tt.furniture, tt.lettering)), 0o600); err != nil {
				t.Fatal(err)
			}
			found, look, err := inspect.Files([]string{file})
			if err != nil {
				t.Fatal(err)
			}
			if len(look.Plans) != 1 {
				t.Fatalf("%d plans", len(look.Plans))
			}
			got := found[0].Bounds[0]
			if !slices.Equal(got.Layers, tt.want) || got.Parted != 5 || got.Labels != 5 {
				t.Errorf("layers %q, %d of %d rooms parted; want %q, 5 of 5", got.Layers, got.Parted, got.Labels, tt.want)
			}
		})
	}
}
