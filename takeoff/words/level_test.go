package words

import "testing"

func TestLevelName(t *testing.T) {
	tests := []struct {
		title, name string
		order       int
	}{
		{"LEVEL 1 FIRE ALARM PLAN", "Level 1", 1},
		{"2ND FLOOR PLAN", "Level 2", 2},
		{"Third Floor - Electrical Plan", "Level 3", 3},
		{"BASEMENT PLAN", "Basement", -1},
		{"GROUND FLOOR PLAN", "Ground Floor", 0},
		{"ROOF PLAN", "Roof", 99},
		{"FLOOR 12", "Level 12", 12},
		{"SITE PLAN", "", 0},
		{"FIRE PROOFING", "", 0},
	}
	for _, tt := range tests {
		name, order, ok := Level(tt.title)
		if name != tt.name || order != tt.order || ok != (tt.name != "") {
			t.Errorf("%q: %q %d %v, want %q %d", tt.title, name, order, ok, tt.name, tt.order)
		}
	}
}

// FuzzLevelName: a level's name names the same level.
func FuzzLevelName(f *testing.F) {
	for _, s := range []string{"FIRST FLOOR PLAN", "Level 2", "LVL-03", "2ND FLOOR", "BASEMENT", "lower  level plan", "ROOF", "FLOOR 00", "tenth story", "ground\tfloor", "UPPER FLOOR", "Level ２"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, title string) {
		name, order, ok := Level(title)
		if !ok {
			return
		}
		if again, o, ok := Level(name); !ok || again != name || o != order {
			t.Errorf("%q is %q (%d), and that is %q (%d), %v", title, name, order, again, o, ok)
		}
	})
}
