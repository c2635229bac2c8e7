package begin

import (
	"strings"
	"testing"

	"loopwright/cmd/internal/job"
)

// TestBidLinesAreKeys: without their # the lines load, alone and together.
func TestBidLinesAreKeys(t *testing.T) {
	const least = "job: T\nplans: [{drawing: a.dxf, level: L}]\npanels: [{panel: P, match: [{block: P}]}]\n"
	for _, l := range append(bidLines, strings.Join(bidLines, "\n")) {
		if _, err := job.Parse("job.yaml", []byte(least+l+"\n")); err != nil {
			t.Errorf("%s: %v", l, err)
		}
	}
}
