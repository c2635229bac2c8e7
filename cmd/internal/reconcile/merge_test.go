package reconcile

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/cmd/internal/returned"
)

// heard is one line of a table: source: id or #address on SLC-1, then what is said.
//
//	a: #47 found 74 done
//	b: FACP 12.5 ohm
func heard(t *testing.T, lines string) []returned.Source {
	t.Helper()
	o := demoOutcome(t)
	var order []string
	by := map[string]*returned.Source{}
	for line := range strings.SplitSeq(lines, "\n") {
		file, rest, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok {
			continue
		}
		if by[file] == nil {
			order = append(order, file)
			by[file] = &returned.Source{File: file, Kind: returned.Sheets}
		}
		f := strings.Fields(rest)
		if len(f) == 3 && f[2] == "ohm" {
			by[file].Readings = append(by[file].Readings, returned.Reading{Where: "line", Circuit: "SLC-1", End: f[0], Ohm: f[1]})
			continue
		}
		r := returned.Entry{Where: "line", ID: f[0], Circuit: "SLC-1"}
		var n int
		if _, err := fmt.Sscanf(f[0], "#%d", &n); err == nil {
			r.ID = at(t, o, "SLC-1", n)
		}
		for i := 1; i < len(f); i++ {
			switch f[i] {
			case "found":
				i++
				r.Found = f[i]
			case "on":
				i++
				r.Circuit = f[i]
			case "planned":
				i++
				fmt.Sscan(f[i], &r.Planned)
			case "serial":
				i++
				r.Serial = f[i]
			case "problem":
				r.Problem = true
			case "done", "set", "mounted", "tested":
				r.Ticks = append(r.Ticks, f[i])
			default:
				r.Note = strings.TrimSpace(r.Note + " " + f[i])
			}
		}
		by[file].Entries = append(by[file].Entries, r)
	}
	var out []returned.Source
	for _, file := range order {
		out = append(out, *by[file])
	}
	return out
}

// codes lists what was found, notes about open devices left out.
func codes(m *merger) string {
	var cs []string
	for _, d := range m.diffs {
		if d.Code != codeOpen {
			cs = append(cs, d.Code+" "+d.Severity.String())
		}
	}
	slices.Sort(cs)
	return strings.Join(cs, ", ")
}

func TestDifferences(t *testing.T) {
	for _, tt := range []struct{ name, in, want, says string }{
		{"as planned", "a: #47 found 47 done", "", ""},
		{"done, nothing found", "a: #47 done", "", ""},
		{"another address", "a: #47 found 120 done", "F705 warning", "address 120 was found and 47 is planned"},
		{"two devices on one address", "a: #47 found 46 done\na: #46 done", "F704 error, F705 warning", "address 46 belongs to both"},
		{"the other one not reported yet", "a: #47 found 46", "F704 warning, F705 warning", "is not reported yet"},
		{"two found on one address", "a: #47 found 120\nb: #46 found 120", "F704 error, F705 warning, F705 warning", "both would answer"},
		{"swapped", "a: #47 found 46\na: #46 found 47", "F705 warning, F705 warning", ""},
		{"no such switch", "a: #47 found 128", "F703 error", "cannot be set in scheme binary7, which has 1 to 127"},
		{"none", "a: #47 found 0", "F703 error", "1 to 127"},
		{"takes no address", "a: L1-030 found 9", "F703 error", "it takes none"},
		{"unknown device", "a: L9-999 found 9 done", "F701 error", "it says: found 9, done"},
		{"wrong circuit", "a: #47 found 9 on SLC-2", "F702 error", `on circuit "SLC-2" and the job has it on "SLC-1"`},
		{"contradiction", "a: #47 found 9\nb: #47 found 10", "F706 error", `"9" in a, "10" in b`},
		{"agreement", "a: #47 found 47\nb: #47 found 47", "", ""},
		{"serials", "a: #47 serial A1\nb: #47 serial A2", "F706 warning", "different serial numbers"},
		{"no number", "a: #47 found 4T", "F709 warning", `"4T" in a is not an address`},
		{"other plan", "a: #47 planned 12 done", "F710 warning", "made when address 12 was planned"},
		{"problem", "a: #47 problem ceiling closed", "F711 warning", "ceiling closed"},
		{"ohms as computed", "a: FACP 12.5 ohm", "", ""},
		{"ohms with a comma", "a: FACP 12,5 ohm", "", ""},
		{"ohms far over", "a: FACP 19 ohm", "F708 warning", "far above the computed 11.49"},
		{"ohms far under", "a: FACP 3.2 ohm", "F708 warning", "look for a short"},
		{"ohms over the limit", "a: FACP 42.1 ohm", "F707 error", "over the limit of 42.0 ohm"},
		{"ohms at the limit", "a: FACP 42 ohm", "F708 warning", "far above"},
		{"no ohms", "a: FACP OL ohm", "F709 warning", "not a resistance"},
		{"readings differ", "a: FACP 12.5 ohm\nb: FACP 12.6 ohm", "F706 warning", `"12.5" in a, "12.6" in b`},
		{"no such end", "a: L1-001 12.5 ohm", "F701 error", "has no end"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m, err := hold(demoOutcome(t), heard(t, tt.in))
			if err != nil && tt.name != "unknown device" {
				t.Fatal(err)
			}
			if tt.name == "unknown device" { // alone it would be another job's file
				if m, err = hold(demoOutcome(t), heard(t, tt.in+"\na: #1 done")); err != nil {
					t.Fatal(err)
				}
			}
			if got := codes(m); got != tt.want {
				t.Errorf("%s, want %s\n%+v", got, tt.want, m.diffs)
			}
			all := ""
			for _, d := range m.diffs {
				all += d.Message + "\n"
			}
			if !strings.Contains(all, tt.says) {
				t.Errorf("%s\nwant %q", all, tt.says)
			}
		})
	}
}

// TestNothingIsLost looks for every value of sources that contradict one
// another in what the ledger will keep.
func TestNothingIsLost(t *testing.T) {
	o := demoOutcome(t)
	m, err := hold(o, heard(t, `a: #47 found 9 set mounted serial S1 first note
		b: #47 found 10 tested serial S2 second note
		c: #47 found 4T on SLC-1
		d: #47 found 33 on SLC-2 third note`))
	if err != nil {
		t.Fatal(err)
	}
	s := m.at[at(t, o, "SLC-1", 47)]
	kept := strings.Join([]string{values(s.found), values(s.serial), s.done(), strings.Join(s.notes, "\n")}, "|")
	for _, want := range []string{"9; 10", "S1; S2", "set mounted tested", "first note", "second note", "4T", "33", "SLC-2", "third note"} {
		if !strings.Contains(kept, want) {
			t.Errorf("%q is lost: %s", want, kept)
		}
	}
	if !s.installed() {
		t.Error("mounted and not installed")
	}
}

// TestOrderOfFiles: whatever the order in which files are given, the same is
// found, and a file given twice says nothing new.
func TestOrderOfFiles(t *testing.T) {
	sources := heard(t, `a: #47 found 9 done
		b: #47 found 10 problem
		c: #46 found 9 serial X
		d: #12 done serial Y
		e: FACP 51 ohm`)
	want, err := hold(demoOutcome(t), sources)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		mixed := rapid.Permutation(slices.Concat(sources, sources[:rapid.IntRange(0, 3).Draw(rt, "twice")])).Draw(rt, "order")
		m, err := hold(demoOutcome(t), mixed)
		if err != nil {
			rt.Fatal(err)
		}
		if codes(m) != codes(want) {
			rt.Errorf("%s, want %s", codes(m), codes(want))
		}
		for i, s := range m.states {
			w := want.states[i]
			if s.done() != w.done() || len(s.found) != len(w.found) || len(s.serial) != len(w.serial) || s.installed() != w.installed() {
				rt.Errorf("%s: %q %v, want %q %v", s.ID, s.done(), s.found, w.done(), w.found)
			}
		}
	})
}

func TestOhms(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want float64
		ok   bool
	}{
		{"12.5", 12.5, true}, {" 12,5 ohm", 12.5, true}, {"12 \u2126", 12, true}, {"12\u03a9", 12, true}, {"0", 0, true}, {".5", 0.5, true},
		{"", 0, false}, {"OL", 0, false}, {"-1", 0, false}, {"1e5", 0, false}, {"1.2.3", 0, false}, {"1,234.5", 0, false}, {"NaN", 0, false}, {"0x10", 0, false},
		{"5.15k", 5150, true}, {"5,2 kohm", 5200, true}, {"5.1 k\u2126", 5100, true}, {"k", 0, false}, {"0,125", 0.125, true},
		{"5,150", 0, false}, {"12,500 ohm", 0, false}, // a thousand, or a thousandth?
	} {
		if got, ok := ohms(tt.in); got != tt.want && ok || ok != tt.ok {
			t.Errorf("%q: %v, %v, want %v, %v", tt.in, got, ok, tt.want, tt.ok)
		}
	}
}

func TestAnotherJob(t *testing.T) {
	for _, tt := range []struct {
		name string
		in   returned.Source
		want string
	}{
		{"by name", returned.Source{File: "x.json", Kind: returned.Page, Job: "Another"}, `belongs to the job "Another"`},
		{"by its devices", returned.Source{File: "x.pdf", Kind: returned.Sheets, Entries: []returned.Entry{{ID: "Q-1", Circuit: "Q", Found: "1"}}}, "names no device"},
	} {
		if _, err := hold(demoOutcome(t), []returned.Source{tt.in}); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}
