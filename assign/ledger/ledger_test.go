package ledger

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const head = "id,circuit,order,address,span,type,level,room,drawing,handle,x_m,y_m,state,also,found,serial,done,remark\n"

const sample = head +
	"L1-002,SLC-1,2,1,1,smoke,Level 1,101 HALL,a.dxf,6B,3.048,-2.7432,planned,,,,,\n" +
	"L1-001,SLC-1,1,7,2,module,Level 1,101 HALL,a.dxf,6D,0,0,installed,PWR-1:3;B%3Bx:1,7,S/N 12,2026-03-31,\"above the ceiling, \"\"east\"\"\nsecond line\"\n" +
	"L1-003,SLC-1,3,0,0,isolator,Level 1,,a.dxf,6F,1,1,retired,,,,,'=1+1\n" +
	"H-1,,0,0,0,horn,Level 1,,,,5.5,2,planned,,,,,\n"

func TestReadWrite(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"as written", "# rows: 4\n" + sample, "# rows: 4\n" + sample},
		{"from a spreadsheet", "\xef\xbb\xbf" + strings.ReplaceAll(strings.ReplaceAll(sample, "\n", "\r\n"), "planned", " Planned "), "# rows: 4\n" + sample},
		{"with its count, from a spreadsheet", strings.Replace(sample, "L1-003", "\"# rows: 3\",,,,,,,,,,,,,,,,,\r\nL1-003", 1), "# rows: 4\n" + sample},
		{"rows added by hand", "# rows: 2\n" + sample, "# rows: 4\n" + sample},
		{"rows in another order", head + strings.Join(reversed(strings.SplitAfter(strings.TrimPrefix(
			"H-1,,0,0,0,horn,Level 1,,,,5.5,2,planned,,,,,\nL1-002,SLC-1,2,1,1,smoke,Level 1,101 HALL,a.dxf,6B,3.048,-2.7432,planned,,,,,\n", ""), "\n")), ""),
			"# rows: 2\n" + head + "L1-002,SLC-1,2,1,1,smoke,Level 1,101 HALL,a.dxf,6B,3.048,-2.7432,planned,,,,,\nH-1,,0,0,0,horn,Level 1,,,,5.5,2,planned,,,,,\n"},
		{"columns in another order and fewer", "state,id,circuit,order,address,span,type,level,drawing,handle,x_m,y_m\nretired,A,C,0,007,1,t,L,,,-0,1e1\n",
			"# rows: 1\n" + head + "A,C,0,7,1,t,L,,,,0,10,retired,,,,,\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			l, err := Parse("x.csv", []byte(tt.in))
			if err != nil {
				t.Fatal(err)
			}
			if got := string(l.Bytes()); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func reversed(s []string) []string {
	slices.Reverse(s)
	return s
}

func TestDamageIsRefusedWithItsLine(t *testing.T) {
	row := "L1-001,SLC-1,1,7,2,module,Level 1,101,a.dxf,6D,0,0,planned,,,,,\n"
	tests := []struct {
		name, in string
		line     int
		want     string
	}{
		{"empty", "", 1, "the ledger is empty"},
		{"cut off", head + row[:20], 2, "the file ends in the middle of a line"},
		{"a cell too few", head + row + strings.Replace(row, ",,\n", ",\n", 1), 3, "the line has 17 cells and the line of the columns 18"},
		{"quote left open", head + strings.Replace(row, "module", `"module`, 1), 2, `extraneous or missing " in quoted-field`},
		{"no head", row, 1, `unknown column "l1-001"`},
		{"column missing", "id,circuit\n", 1, "column order is missing"},
		{"column twice", "id,id\n", 1, "column id is named twice"},
		{"semicolons", "id;circuit;order\n", 1, "separated by semicolons"},
		{"not a number", head + strings.Replace(row, ",7,", ",seven,", 1), 2, `address is "seven": want a whole number`},
		{"not metres", head + strings.Replace(row, ",0,0,p", ",NaN,0,p", 1), 2, `x_m is "NaN"`},
		{"decimal comma", head + strings.Replace(row, ",0,0,p", `,"1,5",0,p`, 1), 2, `x_m is "1,5": want metres, with a point`},
		{"state", head + strings.Replace(row, "planned", "done", 1), 2, `state is "done": want planned, installed, exchange, retired or released`},
		{"id twice", head + row + row, 3, "L1-001 is already in line 2"},
		{"address twice", head + row + strings.Replace(strings.Replace(row, "L1-001", "B", 1), ",7,2", ",8,1", 1), 3, "address 8 of circuit SLC-1 is held by L1-001 in line 2 and by B in line 3"},
		{"no id", head + strings.Replace(row, "L1-001", "", 1), 2, "the row has no id"},
		{"span without address", head + strings.Replace(row, ",7,2", ",0,2", 1), 2, "has a span of 2 and no address"},
		{"address without span", head + strings.Replace(row, ",7,2", ",7,0", 1), 2, "a span of 0"},
		{"address without circuit", head + strings.Replace(row, "SLC-1", "", 1), 2, "no circuit"},
		{"not UTF-8", head + row + strings.Replace(row, "101", "\xe9", 1), 3, "not UTF-8"},
		{"rows lost", "# rows: 3\n" + head + row, 1, "the ledger counts 3 rows and has 1: 2 lost, with their addresses"},
		{"reduced to its head", "# rows: 1\n" + head, 1, "1 lost"},
		{"count not a number", "# rows: many\n" + head + row, 1, "the count of rows is"},
		{"merge", "# rows: 1\n" + head + "<<<<<<< ours\n" + row + "=======\n" + row + ">>>>>>> theirs\n", 3, "a merge left both versions here"},
		{"also", head + strings.Replace(row, "planned,", "planned,PWR", 1), 2, "want circuit:order"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Parse("job.ledger.csv", []byte(tt.in))
			var d *Damage
			if !errors.As(err, &d) || d.Line != tt.line || !strings.Contains(d.Message, tt.want) {
				t.Errorf("%v\nwant line %d: %s", err, tt.line, tt.want)
			}
		})
	}
	if _, err := Parse("x", []byte(head+row+strings.NewReplacer("L1-001", "B", "planned", "released").Replace(row))); err != nil {
		t.Errorf("a released row holds nothing: %v", err)
	}
}

// roundTrip fails unless a ledger comes back from its bytes as it was.
func roundTrip(t interface{ Fatalf(string, ...any) }, l Ledger) {
	b := l.Bytes()
	again, err := Parse("again", b)
	if err != nil {
		t.Fatalf("what was written is refused: %v\n%s", err, b)
	}
	l.sort()
	if !reflect.DeepEqual(l.Rows, again.Rows) {
		t.Fatalf("came back otherwise:\n%+v\n%+v\n%s", l.Rows, again.Rows, b)
	}
	if string(again.Bytes()) != string(b) {
		t.Fatalf("other bytes:\n%s\n%s", b, again.Bytes())
	}
}

func FuzzLedger(f *testing.F) {
	f.Add([]byte(sample))
	f.Add([]byte(head))
	f.Add([]byte("# rows: 4\n" + sample))
	f.Add([]byte("state,id,circuit,order,address,span,type,level,drawing,handle,x_m,y_m\nretired,A,C,0,007,1,t,L,,,-0,1e1\n"))
	f.Add([]byte("\xef\xbb\xbf" + head + "'-A,'=C,0,1,1,t,L,'',,,1e-7,0.1,planned,a:b:3,'+1,\",\",\"\"\"\",' x\n"))
	f.Add([]byte("\u0589\u04a0@\xa0\x8f"))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Parse("f", data)
		if err != nil {
			return
		}
		roundTrip(t, l)
	})
}

func TestAnyLedgerComesBack(t *testing.T) {
	word := rapid.StringMatching(`[-=+@#' ,;:%"\pL0-9]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		var l Ledger
		next := 1
		for i := range rapid.IntRange(0, 8).Draw(t, "rows") {
			r := Row{ID: word.Draw(t, "id") + string(rune('A'+i)), Circuit: "C" + word.Draw(t, "circuit"), Order: i, Type: word.Draw(t, "type"), Level: word.Draw(t, "level"),
				Room: word.Draw(t, "room"), X: rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), Y: rapid.Float64Range(-1, 1).Draw(t, "y") + 0,
				State: rapid.SampledFrom([]State{Planned, Installed, Exchange, Retired}).Draw(t, "state"), Remark: word.Draw(t, "remark") + "\n" + word.Draw(t, "more")}
			if rapid.Bool().Draw(t, "address") {
				r.Address, r.Span = next, rapid.IntRange(1, 3).Draw(t, "span")
				next += r.Span
			}
			for range rapid.IntRange(0, 2).Draw(t, "also") {
				r.Also = append(r.Also, Place{"P" + word.Draw(t, "power"), rapid.IntRange(0, 99).Draw(t, "order")})
			}
			l.Rows = append(l.Rows, r)
		}
		roundTrip(t, l)
	})
}
