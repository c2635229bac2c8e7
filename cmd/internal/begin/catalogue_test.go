package begin

import (
	"encoding/csv"
	"os"
	"testing"

	"loopwright/testdata/against"
)

// The texts are as legends put them.
func TestWords(t *testing.T) {
	tests := []struct{ text, want string }{
		{"SMOKE DETECTOR, PHOTOELECTRIC, ADDRESSABLE", "smoke"},
		{"DUCT SMOKE DETECTOR", "duct smoke"},
		{"Smoke detector w/ sounder base", "sounder base"},
		{"HEAT DETECTOR, RATE OF RISE", "heat"},
		{"COMBINATION SMOKE/HEAT DETECTOR", "multi-criteria"},
		{"MANUAL PULL STATION", "pull station"},
		{"MANUAL FIRE ALARM BOX", "pull station"},
		{"CARBON MONOXIDE DETECTOR", "co"},
		{"WATER FLOW SWITCH", "waterflow"},
		{"VALVE TAMPER SWITCH", "tamper"},
		{"HORN/STROBE, WALL MOUNTED", "horn strobe"},
		{"AUDIO/VISUAL DEVICE", "horn strobe"},
		{"SPEAKER STROBE", "speaker strobe"},
		{"STROBE ONLY, CEILING", "strobe"},
		{"ADDRESSABLE RELAY", "relay"},
		{"MONITOR MODULE", "input module"},
		{"FAULT ISOLATOR MODULE", "isolator"},
		{"MAGNETIC DOOR HOLDER", "door holder"},
		{"SMOKE DAMPER", ""},
		{"SMOKE BARRIER", ""},
		{"HEAT TRACE PANEL", ""},
		{"DUPLEX RECEPTACLE", ""},
		{"", ""},
	}
	for _, tt := range tests {
		if d, _ := byWords(tt.text); d.Type != tt.want {
			t.Errorf("%q: %q, want %q", tt.text, d.Type, tt.want)
		}
	}
}

func TestBlockNames(t *testing.T) {
	tests := []struct{ block, want string }{
		{"FA-SMK", "smoke"}, {"FA_SD2", "smoke"}, {"smoke-detector", "smoke"}, {"FA-HEAT", "heat"}, {"HD", "heat"}, {"FA-DUCT-DET", "duct smoke"},
		{"FA-PULL", "pull station"}, {"FA-HS", "horn strobe"}, {"FA-STB", "strobe"},
		{"HORN_STROBE_C", "horn strobe"}, {"HORNSTROBE", "horn strobe"}, {"HORN_W", "horn"}, {"SPEAKER_STROBE_W", "speaker strobe"}, {"SPEAKER_C", "speaker"}, {"STROBE_W", "strobe"}, {"MODULE_CTL", "relay"}, {"FA-WF", "waterflow"}, {"FA-TS", "tamper"}, {"FA-ISO", "isolator"},
		{"FA-DET", ""}, {"DESK", ""}, {"SDX-FRAME", ""}, {"CHAIR", ""},
	}
	for _, tt := range tests {
		if d, _ := byBlock(tt.block); d.Type != tt.want {
			t.Errorf("%q: %q, want %q", tt.block, d.Type, tt.want)
		}
	}
}

// The event codes of the catalogue are held against the list of ANSI/SIA DC-05-1999.09.
func TestAgainstEventCodes(t *testing.T) {
	f, err := os.Open(against.Folder(t, "facts", "csv", "event_codes.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	meaning := map[string]string{}
	for _, r := range rows {
		meaning[r[1]] = r[2]
	}
	want := map[string]string{"111": "Smoke", "113": "Water flow", "114": "Heat", "115": "Pull station", "116": "Duct", "117": "Flame", "140": "General alarm",
		"162": "Carbon monoxide detected", "201": "Low water pressure", "203": "Gate valve sensor", "320": "Sounder/relay"}
	for _, d := range catalogue {
		for _, p := range d.Points {
			if want[p[1]] == "" || meaning[p[1]] != want[p[1]] {
				t.Errorf("%s: event %s is %q on the list, want %q", d.Type, p[1], meaning[p[1]], want[p[1]])
			}
		}
	}
}
