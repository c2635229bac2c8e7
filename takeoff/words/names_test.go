package words

import "testing"

// Layers of fire alarm work are told in any language, and others are not taken for them.
func TestIsAlarm(t *testing.T) {
	for layer, want := range map[string]bool{
		"E-FIRE": true, "X$0$FA-DEVICES": true, "Brandmeldeanlage": true, "DETECCION INCENDIOS": true, "пожарная сигнализация": true, "火灾报警": true,
		"0": false, "A-WALL": false, "E-LITE": false, "A-FURN": false, "MOBILIER": false, "P-SPRN": false,
	} {
		if got := IsAlarm(layer); got != want {
			t.Errorf("%s: %v, want %v", layer, got, want)
		}
	}
}
