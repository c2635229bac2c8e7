package takeoff_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/words"
)

// plan is a drawing of four smoke detectors and a manual station. Two of the
// detectors lie on one spot, copied by mistake; one is on a layer to be removed.
func plan() string {
	var b strings.Builder
	add := func(words ...string) { b.WriteString(strings.Join(words, "\n") + "\n") }
	add("0", "SECTION", "2", "BLOCKS")
	for _, name := range []string{"SMK", "PULL"} {
		add("0", "BLOCK", "8", "0", "2", name, "70", "0", "10", "0", "20", "0", "3", name)
		add("0", "CIRCLE", "8", "0", "10", "0", "20", "0", "40", "0.5", "0", "ENDBLK", "8", "0")
	}
	add("0", "ENDSEC", "0", "SECTION", "2", "ENTITIES")
	insert := func(block, layer, x, y string) {
		add("0", "INSERT", "8", layer, "2", block, "10", x, "20", y)
	}
	insert("SMK", "E-FIRE", "10", "10")
	insert("SMK", "E-FIRE", "40", "10")
	insert("SMK", "E-FIRE", "40", "10")
	insert("SMK", "E-FIRE-DEMO", "70", "10")
	insert("PULL", "E-FIRE", "80", "10")
	add("0", "ENDSEC", "0", "EOF")
	return b.String()
}

// Count the devices of a plan by type and level, and see why the others do not
// count.
func ExampleTake() {
	folder, err := os.MkdirTemp("", "takeoff")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(folder)
	if err := os.WriteFile(filepath.Join(folder, "level-1.dxf"), []byte(plan()), 0o644); err != nil {
		fmt.Println(err)
		return
	}

	types := []takeoff.DeviceType{
		{Type: "smoke", Match: []words.Match{{Block: "*SMK*", Layer: "E-FIRE*"}}},
		{Type: "pull", Match: []words.Match{{Block: "PULL*"}}},
	}
	res, err := takeoff.Take(takeoff.Request{
		Folder: folder,
		Plans: []takeoff.Plan{{
			Drawing: "level-1.dxf", Level: "Level 1", Units: "ft", Ceiling: 3, CableHeight: 3.3,
			Demolition: []words.Match{{Layer: "*-DEMO"}},
		}},
		Types: types,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range takeoff.Counts(res.Devices, types, res.Levels) {
		fmt.Println(c.Level, c.Type, c.Count)
	}
	for _, d := range res.Devices {
		if d.Status == takeoff.Excluded {
			fmt.Printf("left out: a %s at %g, %g: %s\n", d.Type, d.At.X, d.At.Y, d.Reason)
		}
	}
	// Output:
	// Level 1 smoke 2
	// Level 1 pull 1
	// left out: a smoke at 40, 10: duplicate
	// left out: a smoke at 70, 10: demolition
}

// Layer and block names fit patterns whatever prefix a bound reference left on
// them, and whatever their case.
func ExampleNameFits() {
	fmt.Println(words.NameFits("E-FIRE*", "XREF$0$e-fire-new"))
	fmt.Println(words.NameFits("E-FIRE", "E-FIRE-NEW"))
	// Output:
	// true
	// false
}
