package measure

import "testing"

// TestSystems: lengths as people read them. 48 in of an annex are 1.2192 m and
// 4 ft, 100 m are 328 ft (1 ft = 0.3048 m, yard and pound agreement of 1959).
func TestSystems(t *testing.T) {
	for _, tt := range []struct{ got, want string }{
		{Metric.Length(1.2192, 2), "1.22 m"},
		{Imperial.Length(1.2192, 2), "4.0 ft"},
		{Metric.Length(100, 0), "100 m"},
		{Imperial.Length(100, 0), "328 ft"},
		{System("").Length(100, 1), "328 ft"},
		{Imperial.Length(-0.001, 2), "0.0 ft"},
		{Metric.Length(-1.2, 1), "-1.2 m"},
		{Metric.Size(30.48, 15.24, 1), "30.5 x 15.2 m"},
		{Imperial.Size(30.48, 15.24, 0), "100 x 50 ft"},
		{Metric.Place(1.2, -0.04, 1), "1.2, 0.0 m"},
		{Imperial.Place(3.048, 6.096, 2), "10.0, 20.0 ft"},
		{Metric.Area(92.90304), "93 m2"},
		{Imperial.Area(92.90304), "1000 ft2"},
		{Metric.Small(0.2159), "215.9 mm"},
		{Imperial.Small(0.2159), "8.5 in"},
		{Count(1, "device"), "1 device"},
		{Count(0, "device"), "0 devices"},
		{Both(30.48), "30.5 m (100 ft)"},
		{Both(0.9144), "0.91 m (36 in)"},
		{Both(0.0025), "2.5 mm"},
		{Both(12345), "12.3 km"},
	} {
		if tt.got != tt.want {
			t.Errorf("got %q, want %q", tt.got, tt.want)
		}
	}
}
