package fault

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"loopwright/takeoff/measure"
)

// The rules against which this package is checked, each row with its source.
const pathwayRules = "../../testdata/reference/pathway_rules.csv"

func TestPathwayRules(t *testing.T) {
	f, err := os.Open(pathwayRules)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	same := func(got, want float64) string {
		if math.Abs(got-want) > 1e-9 {
			return "ours is " + strconv.FormatFloat(got, 'g', -1, 64)
		}
		return ""
	}
	checks := map[string]func(value float64) string{
		"class_a_x_shared_enclosure_max":      func(v float64) string { return same(EnclosureFree/0.3048, v) },
		"class_a_sep_vertical_recommended":    func(v float64) string { return same(AdvisedVertical/0.0254, v) },
		"class_a_sep_horizontal_recommended":  func(v float64) string { return same(AdvisedHorizontal/0.0254, v) },
		"slc_max_zones_lost_per_single_fault": oneZoneIsTheLimit,
	}
	notApplied := map[string]string{
		"class_a_x_shared_room_area_max": "rooms and their areas are not known here",
		"restore_after_fault":            "time is not modelled",
	}
	used, memory := 0, 0
	for _, r := range records[1:] {
		name, mark := r[0], r[4]
		v, err := strconv.ParseFloat(r[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		switch check := checks[name]; {
		case check != nil:
			used++
			if wrong := check(v); wrong != "" {
				t.Errorf("%s: %s; the source has %v %s (%s)", name, wrong, v, r[2], r[3])
			}
		case mark == "MEMORY":
			memory++
		case notApplied[name] == "":
			t.Errorf("%s (%s) is used by no test", name, mark)
		}
	}
	if used != len(checks) {
		t.Errorf("%d rows used of %d known", used, len(checks))
	}
	t.Logf("%d rows: %d used, %d from memory, %d not applied", len(records)-1, used, memory, len(records)-1-used-memory)
	for _, words := range []string{"routed separately", "10 ft", "1000 ft2", "12 in", "48 in", "not a requirement"} {
		if !strings.Contains(SeparationAdvice(measure.Imperial), words) {
			t.Errorf("the advice does not say %q", words)
		}
	}
}

// oneZoneIsTheLimit: with OneZone set, a short that loses v zones passes and one that loses v+1 does not.
func oneZoneIsTheLimit(v float64) string {
	lim := Limits{MaxZones: 1}
	if !lim.allow(10, int(v)) || lim.allow(10, int(v)+1) {
		return "OneZone allows another number of zones"
	}
	return ""
}
