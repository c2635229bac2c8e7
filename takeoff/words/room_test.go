package words

import "testing"

var roomTexts = []struct{ text, number, name string }{
	{"301 ARCHIVE", "301", "ARCHIVE"},
	{"CORRIDOR 300", "300", "CORRIDOR"},
	{"STORAGE\n305", "305", "STORAGE"},
	{"STAIR 1\nS1", "S1", "STAIR 1"},
	{"STAIR 1", "", "STAIR 1"},
	{"MEN'S\nTOILET\nB-104A", "B-104A", "MEN'S TOILET"},
	{"TYPE 'F1'", "", "TYPE 'F1'"},
	{"КАФЕ 12", "12", "КАФЕ"},
	{"104", "104", ""},
	{"24'-0\"", "", ""},
	{"CLG 9'-0\"", "", ""},
	{"SEE NOTE 4", "", ""},
	{"UP", "", ""},
	{"LEVEL 1 FLOOR PLAN", "", ""},
	{"859 SQ. FT.", "", ""},
	{"13'8 x 14'", "", ""},
	{"", "", ""},
}

func TestParseRoom(t *testing.T) {
	for _, tt := range roomTexts {
		if number, name := Room(tt.text); number != tt.number || name != tt.name {
			t.Errorf("%q: %q and %q, want %q and %q", tt.text, number, name, tt.number, tt.name)
		}
	}
}

// Whatever a text says, a room read from it is not read as another from its label.
func FuzzParseRoom(f *testing.F) {
	for _, tt := range roomTexts {
		f.Add(tt.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		number, name := Room(text)
		if number != "" && !roomNumber.MatchString(number) {
			t.Fatalf("%q: number %q", text, number)
		}
		if number != "" && name != "" {
			// A name of several lines may be longer than one line may be; then it reads as a note.
			if n, m := Room(number + "\n" + name); (n != number || m == "") && n+m != "" {
				t.Fatalf("%q: %q and %q, then %q and %q", text, number, name, n, m)
			}
		}
	})
}

// Labels in the habits of many offices, languages among them; the names are invented.
var roomHabits = []struct{ text, number, name string }{
	{"1.01\nBüro", "1.01", "Büro"},
	{"-1.01\nLager", "-1.01", "Lager"},
	{"E.05 Foyer", "E.05", "Foyer"},
	{"B-12\nArchiv", "B-12", "Archiv"},
	{"EG-03", "EG-03", ""},
	{"2-1-03 WC", "2-1-03", "WC"},
	{"WC -3.09", "-3.09", "WC"},
	{"廊下 0.01", "0.01", "廊下"},
	{"1OG.07\nFlur", "1OG.07", "Flur"},
	{"А-101\nКоридор", "А-101", "Коридор"},
	{"№ 12\nКладовая", "12", "Кладовая"},
	{"N° 12 Bureau", "", "N° 12 Bureau"},
	{"Nr: 104\nName: Teeküche\nFläche: 12,5 m²", "104", "Teeküche"},
	{"Raum: 1.04\nBoden: Linoleum", "1.04", ""},
	{"101: Reading Room", "101", "Reading Room"},
	{"Bureau\n24,5 m²", "", "Bureau"},
	{"204\nOFFICE\nCLG 9'-0\"", "204", "OFFICE"},
	{"卫生间\n104", "104", "卫生间"},
	{"24,5 m²", "", ""},
	{"CH = 2.70", "", ""},
	{"OFFICE 204\nPROVIDE SHEET FLOORING", "", ""},
}

func TestRoomHabits(t *testing.T) {
	for _, tt := range roomHabits {
		if number, name := Room(tt.text); number != tt.number || name != tt.name {
			t.Errorf("%q: %q and %q, want %q and %q", tt.text, number, name, tt.number, tt.name)
		}
	}
}
