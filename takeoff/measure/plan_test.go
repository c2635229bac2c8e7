package measure

import (
	"math"
	"testing"
)

// Exact by definition: the yard and pound agreement of 1959, the SI, and for the
// US survey foot NIST SP 811, appendix B.
func TestMetresPer(t *testing.T) {
	tests := []struct {
		unit string
		want float64
	}{{"in", .0254}, {"ft", .3048}, {"yd", .9144}, {"mm", .001}, {"cm", .01}, {"dm", .1}, {"m", 1}, {"km", 1000}, {"us-ft", 1200. / 3937}}
	for _, tt := range tests {
		if got, err := MetresPer(tt.unit); err != nil || math.Abs(got-tt.want) > 1e-15*tt.want {
			t.Errorf("%s: %v, %v; want %v", tt.unit, got, err, tt.want)
		}
	}
	for _, bad := range []string{"", "cubit", "usft", "mi", "ly", "angstrom"} {
		if _, err := MetresPer(bad); err == nil {
			t.Errorf("%q must be refused", bad)
		}
	}
}
