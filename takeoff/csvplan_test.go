package takeoff

import (
	"fmt"
	"strings"
	"testing"
)

var csvTable = []struct{ name, in, want string }{
	{"plain", "id,type,level,x,y\na,smoke,L,1,2\n", "a smoke L 1 2 "},
	{"any order, room, spaces, byte-order mark", "\ufeffX, y ,room,level,type,id\n1.5,-2e1, 103 LAB ,L, smoke,a\n", "a smoke L 1.5 -20 103 LAB"},
	{"quoted comma", "id,type,level,x,y,room\na,smoke,L,1,2,\"LAB, WET\"\n", "a smoke L 1 2 LAB, WET"},
	{"empty file", "", "the file is empty: start it with the heading row id,type,level,x,y,room"},
	{"missing column", "id,type,x,y\n", `column "level" is missing: want id, type, level, x, y, room`},
	{"unknown column", "id,type,level,x,y,floor\n", `unknown column "floor": the heading row takes id, type, level, x, y, room`},
	{"no table at all", strings.Repeat("'", 1000), `unknown column "` + strings.Repeat("'", 40) + `...": the heading row takes id, type, level, x, y, room`},
	{"column twice", "id,type,level,x,x\n", `column "x" appears twice`},
	{"no number", "id,type,level,x,y\na,smoke,L,one,2\n", `line 2: x "one" is not a number: write it in the plan's units, as in 12.5`},
	{"a long cell that is no number", "id,type,level,x,y\na,smoke,L," + strings.Repeat("x", 900) + ",2\n",
		`line 2: x "` + strings.Repeat("x", 40) + `..." is not a number: write it in the plan's units, as in 12.5`},
	{"another encoding", "id,type,level,x,y\na,smoke,L,1,2\nb,smoke,S\xfcd,1,2\n", "line 3: the file is not UTF-8 text: save it from the spreadsheet as CSV UTF-8"},
	{"not finite", "id,type,level,x,y\na,smoke,L,NaN,2\n", "line 2: x and y must be finite numbers"},
	{"no id", "id,type,level,x,y\n,smoke,L,1,2\n", "line 2: id is empty"},
	{"short row", "id,type,level,x,y\na,smoke\n", "line 2: level is empty"},
}

func TestDeviceRows(t *testing.T) {
	for _, tt := range csvTable {
		rows, err := readDeviceRows(strings.NewReader(tt.in))
		got := ""
		if err != nil {
			got = err.Error()
		}
		for _, r := range rows {
			got += strings.Join([]string{r.id, r.typ, r.level, fmt.Sprint(r.at.X), fmt.Sprint(r.at.Y), r.room}, " ")
		}
		if got != tt.want {
			t.Errorf("%s: %q\nwant %q", tt.name, got, tt.want)
		}
	}
}

func FuzzDeviceRows(f *testing.F) {
	for _, tt := range csvTable {
		f.Add(tt.in)
	}
	f.Fuzz(func(t *testing.T, in string) {
		rows, err := readDeviceRows(strings.NewReader(in))
		if err != nil && len(err.Error()) > 500 {
			t.Fatalf("a message of %d bytes", len(err.Error()))
		}
		if err == nil {
			for _, r := range rows {
				if r.id == "" || r.typ == "" || r.level == "" || !r.at.IsFinite() {
					t.Fatalf("accepted %+v", r)
				}
			}
		}
	})
}
