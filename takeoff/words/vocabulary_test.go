package words

import (
	"strings"
	"testing"
)

// table is the embedded table, which parses.
func table(t *testing.T) []Row {
	t.Helper()
	var out []Row
	for _, b := range [][]byte{own, gathered} {
		rs, err := parseRows(b)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, rs...)
	}
	return out
}

func TestFold(t *testing.T) {
	tests := [][2]string{
		{"MASSSTAB", "Maßstab"}, {"ﾋﾟ", "ピ"}, {"DETECTEUR", "Détecteur"}, {"SCIANA", "ściana"}, {"ISI DEDEKTORU", "ısı dedektörü"}, {"انذار", "إنذار"},
		{"Σ", "ς"}, {"ПРИЕМНО", "приёмно"}, {"1", "１"}, {"rogdetektor", "røgdetektor"}, {"İSTANBUL", "istanbul"},
	}
	for _, tt := range tests {
		if a, b := Fold(tt[0]), Fold(tt[1]); a != b {
			t.Errorf("%q folds to %q and %q to %q", tt[0], a, tt[1], b)
		}
	}
	if Fold("か") == Fold("が") {
		t.Error("kana lose their marks")
	}
}

// Every word of a device is read as that device where its language is known, but
// for the few that mean two things; and none that names something else is read as a device.
func TestTableReadsItself(t *testing.T) {
	v := Usual()
	good, all, wrong := 0, 0, 0
	byLanguage := map[string][2]int{}
	others := 0
	for _, r := range table(t) {
		g := r.Concept.Group()
		if r.Kind != word || g != "device" && g != "other" {
			continue
		}
		got, ok := v.Device(r.Word, []string{r.Language})
		if g == "other" {
			others++
			if ok && got.Concept.Group() == "device" {
				t.Errorf("%s %q (%s) reads as %s", r.Concept, r.Word, r.Language, got.Concept)
			}
			continue
		}
		all++
		n := byLanguage[r.Language]
		n[1]++
		if ok && got.Concept == r.Concept {
			good++
			n[0]++
		} else {
			wrong++
			t.Logf("%s %q (%s) reads as %s %v", r.Concept, r.Word, r.Language, got.Concept, ok)
		}
		byLanguage[r.Language] = n
	}
	t.Logf("device words: %d of %d; confusables: %d; by language %v", good, all, others, byLanguage)
	if share := float64(good) / float64(all); share < 0.98 {
		t.Errorf("%d of %d device words read as what they name", good, all)
	}
	if others < 800 {
		t.Errorf("only %d words of other things", others)
	}
}

// Words that the table lacks: a tenth of it is taken out at a time, and read by the rest.
func TestWordsLeftOut(t *testing.T) {
	rows := table(t)
	right, wrong, none, all := 0, 0, 0, 0
	const folds = 10
	for k := range folds {
		var kept, out []Row
		for i, r := range rows {
			if g := r.Concept.Group(); i%folds == k && r.Kind == word && (g == "device" || g == "other") {
				out = append(out, r)
			} else {
				kept = append(kept, r)
			}
		}
		v := New(kept)
		for _, r := range out {
			all++
			got, ok := v.Device(r.Word, []string{r.Language})
			switch {
			case !ok:
				none++
			case got.Concept == r.Concept:
				right++
			case got.Concept.Group() == "other" && r.Concept.Group() == "other": // none of ours either way
				right++
			default:
				wrong++
				t.Logf("%s %q (%s) reads as %s, %v by %q", r.Concept, r.Word, r.Language, got.Concept, got.Evidence, got.Word)
			}
		}
	}
	t.Logf("left out: %d right, %d wrong, %d not read, of %d", right, wrong, none, all)
	if float64(right) < 0.45*float64(all) || float64(wrong) > 0.025*float64(all) {
		t.Errorf("left out: %d right, %d wrong, %d not read, of %d", right, wrong, none, all)
	}
}

// Levels, rooms, titles and remarks read as their own group.
func TestGroups(t *testing.T) {
	v := Usual()
	n, good := map[string]int{}, map[string]int{}
	for _, r := range table(t) {
		g := r.Concept.Group()
		if r.Kind != word || strings.Contains(r.Word, "{") {
			continue
		}
		n[g]++
		for _, got := range v.Read(r.Word, []string{r.Language}, g) {
			if got.Concept == r.Concept {
				good[g]++
				break
			}
		}
	}
	for _, g := range []string{"level", "room", "title", "status", "legend", "draw", "ordinal", "scale"} {
		t.Logf("%s: %d of %d", g, good[g], n[g])
		if float64(good[g]) < 0.9*float64(n[g]) {
			t.Errorf("%s: %d of %d words read as what they name", g, good[g], n[g])
		}
	}
}

// Texts as offices write them: other words between, other endings, other order.
func TestDevice(t *testing.T) {
	v := Usual()
	tests := []struct{ text, language, want string }{
		{"Smoke detector, optical", "en", "device.smoke"},
		{"SMOKE DAMPER", "en", "other.smoke_damper"},
		{"DUCT TYPE SMOKE DETECTOR", "en", "device.duct"},
		{"Siren", "en", "device.sounder"}, {"Beacon", "en", "device.strobe"}, {"Repeater", "en", "device.repeater"}, {"Door magnet", "en", "device.door_holder"},
		{"Linear detector", "en", "device.beam"}, {"Sounder strobe", "en", "device.sounder_strobe"},
		{"HORN WITH STROBE, CEILING", "en", "device.sounder_strobe"},
		{"SPEAKER / STROBE", "en", "device.speaker_strobe"},
		{"Optischer Rauchmelder", "de", "device.smoke"}, {"RAUCHMELDER", "de", "device.smoke"}, {"WAERMEMELDER", "de", "device.heat"}, {"Optische Rauchmelder", "de", "device.smoke"},
		{"Deckenleuchte", "de", "other.luminaire"}, {"Bewegungsmelder", "de", "other.motion"},
		{"czujki dymu", "pl", "device.smoke"}, {"извещатели пожарные дымовые", "ru", "device.smoke"}, {"Извещатель пожарный тепловой", "ru", "device.heat"},
		{"光电感烟火灾探测器", "zh", "device.smoke"}, {"火灾声光警报器", "zh", "device.sounder_strobe"},
		{"rökdetektorer", "sv", "device.smoke"}, {"Röykilmaisin", "fi", "device.smoke"}, {"rivelatori di fumo", "it", "device.smoke"},
		{"su sızıntısı dedektörü", "tr", ""}, {"לחצן אשף", "he", ""},
		{"MEETING ROOM", "en", ""}, {"", "en", ""},
	}
	for _, tt := range tests {
		got, ok := v.Device(tt.text, []string{tt.language})
		if ok && got.Second() && tt.want == "" { // a guess that needs a second sign is none
			continue
		}
		if string(got.Concept) != tt.want && (ok || tt.want != "") {
			t.Errorf("%q reads as %q (%v, %q), want %q", tt.text, got.Concept, got.Evidence, got.Word, tt.want)
		}
	}
}

func TestDeviceName(t *testing.T) {
	v := Usual()
	tests := []struct {
		name, language, want string
		second               bool
	}{
		{"SMK", "en", "device.smoke", true}, {"SD", "en", "device.smoke", true}, {"SMOKE-DET", "en", "device.smoke", false}, {"INPUT-MOD", "en", "device.input_module", true},
		{"X$0$HEAT_DET", "en", "device.heat", false}, {"DETECTEUR-FUMEE", "fr", "device.smoke", false}, {"SmokeDetector", "en", "device.smoke", false},
		{"CHAIR", "en", "", false}, {"DOOR-DBL", "en", "", false}, {"SOUNDER-STROBE", "en", "device.sounder_strobe", false}, {"ТЕПЛОВОЙ", "ru", "device.heat", true},
	}
	for _, tt := range tests {
		got, ok := v.DeviceName(tt.name, []string{tt.language})
		if string(got.Concept) != tt.want && (ok || tt.want != "") || ok && got.Second() != tt.second {
			t.Errorf("%q reads as %q (%v, %q), want %q", tt.name, got.Concept, got.Evidence, got.Word, tt.want)
		}
	}
}

// The languages of a drawing are voted on.
func TestLanguages(t *testing.T) {
	v := Usual()
	tests := []struct {
		texts []string
		want  string
	}{
		{[]string{"Büro", "Flur", "Treppenhaus", "Grundriss Erdgeschoss", "Rauchmelder"}, "de"},
		{[]string{"Oficina", "Pasillo", "Escalera", "Planta baja"}, "es"},
		{[]string{"办公室", "走廊", "首层平面图"}, "zh"},
		{[]string{"Kontor", "Korridor", "Trapperom"}, "nb"},
	}
	for _, tt := range tests {
		if got := v.Languages(tt.texts); len(got) == 0 || got[0] != tt.want {
			t.Errorf("%v: %v, want %s", tt.texts, got, tt.want)
		}
	}
}

func FuzzDevice(f *testing.F) {
	f.Add("SMOKE DETECTOR (WF=WATERFLOW)")
	f.Add("烟感\x00é̂")
	v := Usual()
	f.Fuzz(func(t *testing.T, s string) {
		a, aok := v.Device(s, []string{"de"})
		b, bok := v.Device(s, []string{"de"})
		if a != b || aok != bok {
			t.Errorf("%q reads as %v and %v", s, a, b)
		}
		v.DeviceName(s, nil)
	})
}

// Texts as legends of English offices put them, and names as they give their blocks.
func TestEnglishLegends(t *testing.T) {
	v := Usual()
	tests := []struct{ text, want string }{
		{"SMOKE DETECTOR, PHOTOELECTRIC, ADDRESSABLE", "device.smoke"}, {"DUCT SMOKE DETECTOR", "device.duct"}, {"Smoke detector w/ sounder base", "device.sounder_base"},
		{"HEAT DETECTOR, RATE OF RISE", "device.heat"}, {"COMBINATION SMOKE/HEAT DETECTOR", "device.multi"}, {"MANUAL PULL STATION", "device.callpoint"},
		{"MANUAL FIRE ALARM BOX", "device.callpoint"}, {"CARBON MONOXIDE DETECTOR", "device.co"}, {"WATER FLOW SWITCH", "device.waterflow"}, {"VALVE TAMPER SWITCH", "device.valve_tamper"},
		{"HORN/STROBE, WALL MOUNTED", "device.sounder_strobe"}, {"AUDIO/VISUAL DEVICE", "device.sounder_strobe"}, {"SPEAKER STROBE", "device.speaker_strobe"},
		{"STROBE ONLY, CEILING", "device.strobe"}, {"ADDRESSABLE RELAY", "device.output_module"}, {"MONITOR MODULE", "device.input_module"},
		{"FAULT ISOLATOR MODULE", "device.isolator"}, {"MAGNETIC DOOR HOLDER", "device.door_holder"}, {"SMOKE DAMPER", ""}, {"SMOKE BARRIER", ""}, {"HEAT TRACE PANEL", ""},
		{"DUPLEX RECEPTACLE", ""}, {"", ""},
	}
	for _, tt := range tests {
		got, _ := v.Device(tt.text, []string{"en"})
		if got.Concept.Group() != "device" {
			got.Concept = ""
		}
		if string(got.Concept) != tt.want {
			t.Errorf("%q reads as %q, want %q", tt.text, got.Concept, tt.want)
		}
	}
	names := []struct{ name, want string }{
		{"FA-SMK", "device.smoke"}, {"FA_SD2", "device.smoke"}, {"smoke-detector", "device.smoke"}, {"FA-HEAT", "device.heat"}, {"HD", "device.heat"}, {"FA-DUCT-DET", "device.duct"},
		{"FA-PULL", "device.callpoint"}, {"FA-HS", "device.sounder_strobe"}, {"FA-STB", "device.strobe"}, {"HORN_STROBE_C", "device.sounder_strobe"}, {"HORNSTROBE", "device.sounder_strobe"},
		{"HORN_W", "device.sounder"}, {"SPEAKER_STROBE_W", "device.speaker_strobe"}, {"SPEAKER_C", "device.speaker"}, {"STROBE_W", "device.strobe"}, {"MODULE_CTL", "device.output_module"},
		{"FA-WF", "device.waterflow"}, {"FA-TS", "device.valve_tamper"}, {"FA-ISO", "device.isolator"}, {"FA-DET", ""}, {"DESK", ""}, {"SDX-FRAME", ""}, {"CHAIR", ""},
	}
	for _, tt := range names {
		got, _ := v.DeviceName(tt.name, []string{"en"})
		if got.Concept.Group() != "device" {
			got.Concept = ""
		}
		if string(got.Concept) != tt.want {
			t.Errorf("block %q reads as %q (%v, %q), want %q", tt.name, got.Concept, got.Evidence, got.Word, tt.want)
		}
	}
}
