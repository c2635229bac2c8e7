package words

import "testing"

func TestIsWiring(t *testing.T) {
	for name, want := range map[string]bool{"E-FIRE-WIRE": true, "X$0$E-FIRE-WIRE": true, "FA-WIRING": true, "FIRE ALARM CONDUIT": true, "E-FIRE-CKT": true,
		"E-POWR-WIRE": false, "E-FIRE": false, "E-FIRE-WIRE-TEXT": false, "A-WALL-FIRE": false} {
		if IsWiring(name) != want {
			t.Errorf("%s: %v", name, !want)
		}
	}
}
