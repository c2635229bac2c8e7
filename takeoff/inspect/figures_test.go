package inspect

import (
	"fmt"
	"strings"
	"testing"
)

// TestClusters: figures that stand more than once are proposed with their
// letters and how often they stand; near misses in size are not counted with them.
func TestClusters(t *testing.T) {
	for _, row := range []struct{ drawing, want string }{
		{"traps/exploded/plan.dxf", "7 S 0.46 m at 60,400; 4 R 0.41 m at 60,280"},
		{"demo/level-1.dxf", ""}, // all its symbols are blocks
		{"traps/nested/plan.dxf", ""},
	} {
		all, _, err := Files([]string{"../../testdata/" + row.drawing})
		if err != nil {
			t.Fatal(err)
		}
		in := all[0]
		var got []string
		for _, f := range in.Figures {
			got = append(got, fmt.Sprintf("%d %s %.2f m at %.0f,%.0f", f.Count, f.Letters, f.Size, f.At.X, f.At.Y))
		}
		if s := strings.Join(got, "; "); s != row.want {
			t.Errorf("%s: %s\nwant %s", row.drawing, s, row.want)
		}
	}
}
