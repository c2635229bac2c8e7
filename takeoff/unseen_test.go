package takeoff

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/takeoff/words"
)

// A block in which nothing is drawn counts by its name, and a person who cannot see it is told.
func TestUnseen(t *testing.T) {
	const block = "0\nBLOCK\n2\n%s\n70\n0\n10\n0\n20\n0\n%s0\nENDBLK\n"
	dxf := "0\nSECTION\n2\nBLOCKS\n" + fmt.Sprintf(block, "SMK", "") + fmt.Sprintf(block, "HEAT", "0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n9\n") + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
	for i, b := range []string{"SMK", "SMK", "HEAT"} {
		dxf += fmt.Sprintf("0\nINSERT\n8\nE-FIRE\n2\n%s\n10\n%d\n20\n0\n", b, 100*i)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "plan.dxf"), []byte(dxf+"0\nENDSEC\n0\nEOF\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	r, err := Take(Request{Folder: dir, Plans: []Plan{{Drawing: "plan.dxf", Level: "1", Units: "in"}},
		Types: []DeviceType{{Type: "smoke", Match: []words.Match{{Block: "SMK"}}}, {Type: "heat", Match: []words.Match{{Block: "HEAT"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range r.Findings {
		if f.Code == codeUnseen {
			got = append(got, f.Message)
		}
	}
	if len(got) != 1 || !strings.HasPrefix(got[0], "2 symbols of type smoke count although block SMK draws nothing") {
		t.Errorf("findings %q", got)
	}
}
