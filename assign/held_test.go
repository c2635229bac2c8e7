package assign

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff"
)

// walkOf makes devices from words "id:type@level/room=address+span", of which
// all but the type may be left out, and the walk along them.
func walkOf(words string, a Addressing) ([]takeoff.Device, Walk) {
	w := Walk{Circuit: "C", Kind: takeoff.SLC, Addressing: a, Held: map[string]Held{}, Levels: []string{"L1", "L2", "L3"}}
	var ds []takeoff.Device
	for i, word := range strings.Fields(words) {
		d := takeoff.Device{ID: fmt.Sprintf("D%d", i+1), Level: "L1", Status: takeoff.Counted}
		word, held, has := strings.Cut(word, "=")
		if has {
			h := Held{Span: 1}
			if _, err := fmt.Sscanf(held, "%d+%d", &h.Address, &h.Span); err != nil {
				fmt.Sscanf(held, "%d", &h.Address)
			}
			w.Held[d.ID] = h
		}
		word, d.Room, _ = strings.Cut(word, "/")
		word, level, _ := strings.Cut(word, "@")
		if level != "" {
			d.Level = level
		}
		d.Type = word
		ds = append(ds, d)
		w.Devices = append(w.Devices, d.ID)
	}
	return ds, w
}

func TestHeldAndOrdered(t *testing.T) {
	types := []takeoff.DeviceType{typeOf("s", 1), typeOf("m", 2), typeOf("iso", 0), typeOf("r", 1)}
	all := Addressing{Scheme: Scheme{Name: "binary7"}, First: 1, Last: 127}
	with := func(change func(*Addressing)) Addressing {
		a := all
		change(&a)
		return a
	}
	levels := with(func(a *Addressing) {
		a.Order, a.LevelStart = OrderLevel, []LevelStart{{"L2", 51}, {"L1", 1}, {"L3", 101}}
	})
	tests := []struct {
		name, walk string
		a          Addressing
		retired    []Held
		want, code string
	}{
		{"held stays", "s=7 s=3 s=9", all, nil, "7 3 9", ""},
		{"a new one between its neighbours", "s=1 s s=5", all, nil, "1 2 5", ""},
		{"no room between: the next free", "s=1 s s=2 s=3", all, nil, "1 4 2 3", ""},
		{"at the end: the lowest of all", "s=2 s=127 s", all, nil, "2 127 1", ""},
		{"retired is not given out", "s=1 s s=5", all, []Held{{2, 2}}, "1 4 5", ""},
		{"two in a row between", "s=1 s m s=9", all, nil, "1 2 3 9", ""},
		{"two addresses find no gap", "s=1 m s=3 s=4", all, nil, "1 5 3 4", ""},
		{"retyped, same span", "r=4 s=5", all, nil, "4 5", ""},
		{"retyped to a smaller span", "s=4+2 s", all, nil, "4 5", ""},
		{"retyped to a larger span, free behind", "m=4 s=6", all, nil, "4 6", ""},
		{"retyped to a larger span, taken behind", "m=4 s=5 s=7", all, nil, "1 5 7", ""},
		{"retyped to a larger span, retired behind", "m=4 s=7", all, []Held{{5, 1}}, "1 7", ""},
		{"retyped to none", "iso=4 s", all, nil, "0 1", ""},
		{"held outside", "s=3 s=9", with(func(a *Addressing) { a.Last = 5 }), nil, "3 9", "F505"},
		{"held and reserved", "s=3 s", with(func(a *Addressing) { a.Reserved = []int{1, 3} }), nil, "3 4", "F505"},
		{"held twice", "s=3 s=3", all, nil, "3 4", "F506"},
		{"by level", "s@L2 s@L1 s@L2", with(func(a *Addressing) { a.Order = OrderLevel }), nil, "2 1 3", ""},
		{"by level with starts", "s@L2 s@L1 s@L2 s@L3", levels, nil, "51 1 52 101", ""},
		{"by level, a new one in its block", "s@L2=51 s@L1=1 s@L2 s@L1=2", levels, nil, "51 1 52 2", ""},
		{"by room", "s/110 s/9 s s/102 s@L2/1", with(func(a *Addressing) { a.Order = OrderRoom }), nil, "3 1 4 2 5", ""},
		{"ranges keep others out", "s r s s", with(func(a *Addressing) { a.Last = 6; a.Ranges = []Range{{Types: []string{"r"}, First: 2, Last: 3}} }), nil, "1 2 4 5", ""},
		{"a range that is full", "r r r s", with(func(a *Addressing) { a.Ranges = []Range{{Types: []string{"r"}, First: 2, Last: 3}} }), nil, "2 3 0 1", "F502"},
		{"retired counts as used", "s=1 s=2", with(func(a *Addressing) { a.Last, a.Spare = 5, .5 }), []Held{{3, 1}}, "1 2", "F503"},
		{"spare of a level", "s@L3 s@L3 s@L3", with(func(a *Addressing) {
			a.Order, a.Last, a.Spare, a.LevelStart = OrderLevel, 100, .2, []LevelStart{{"L3", 1}, {"L1", 4}, {"L2", 50}}
		}), nil, "1 2 3", "F503"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ds, w := walkOf(tt.walk, tt.a)
			w.Retired = tt.retired
			got, fs := Number(ds, types, []Walk{w})
			var as, codes []string
			for _, n := range got {
				as = append(as, fmt.Sprint(n.Address))
			}
			for _, f := range fs {
				codes = append(codes, f.Code)
			}
			if a := strings.Join(as, " "); a != tt.want {
				t.Errorf("addresses %s, want %s", a, tt.want)
			}
			if c := strings.Join(codes, " "); c != tt.code {
				t.Errorf("findings %v, want %q", fs, tt.code)
			}
		})
	}
}

func TestAdviceOnTooManyDevices(t *testing.T) {
	tests := []struct{ walk, want string }{
		{"s@L1 s@L1 s@L1 s@L2 s@L2 s@L2", "next best: 2 circuits, L1 with 3, L2 with 3"},
		{"s@L1 s@L1 s@L1 s@L1 s@L1 s@L2", "next best: 2 circuits, D1 to D3 with 3, D4 to D6 with 3"},
		{"s@L1 s@L2 s@L3 s@L3 s@L3 s@L3", "next best: 2 circuits, L1 and L2 with 2, L3 with 4"},
		{"big", "no split helps"},
	}
	types := []takeoff.DeviceType{typeOf("s", 1), typeOf("big", 9)}
	for _, tt := range tests {
		ds, w := walkOf(tt.walk, Addressing{Scheme: Scheme{Name: "none"}, First: 1, Last: 5, Spare: .2})
		_, fs := Number(ds, types, []Walk{w})
		if len(fs) != 1 || fs[0].Severity != takeoff.Error || !strings.Contains(fs[0].Message, tt.want) {
			t.Errorf("%s: %v\nwant %s", tt.walk, fs, tt.want)
		}
	}
}

func TestContradictions(t *testing.T) {
	base := Addressing{First: 1, Last: 100, Reserved: []int{7}}
	tests := []struct {
		name   string
		ranges []Range
		want   string
	}{
		{"fine", []Range{{[]string{"a"}, 1, 50}, {nil, 51, 100}}, ""},
		{"empty", []Range{{[]string{"a"}, 9, 8}}, "0 the range is empty: its first address, 9, comes after its last, 8"},
		{"outside", []Range{{[]string{"a"}, 90, 101}}, "0 the range 90 to 101 goes beyond the circuit's addresses, 1 to 100"},
		{"all reserved", []Range{{[]string{"a"}, 7, 7}}, "0 every address of the range 7 to 7 is reserved"},
		{"overlap", []Range{{[]string{"a"}, 1, 50}, {[]string{"b"}, 50, 60}}, "1 the range 50 to 60 overlaps the range 1 to 50 of row 1: an address belongs to one range"},
		{"type twice", []Range{{[]string{"a"}, 1, 50}, {[]string{"b", "a"}, 51, 60}}, "1 type a has a range already, in row 1"},
		{"rest twice", []Range{{nil, 1, 50}, {nil, 51, 60}}, "1 the range has no types, and neither has row 1: only one can be for all other types"},
	}
	for _, tt := range tests {
		a := base
		a.Ranges = tt.ranges
		var got []string
		for _, c := range a.CheckRanges() {
			got = append(got, fmt.Sprint(c.Row, " ", c.Message))
		}
		if s := strings.Join(got, "; "); s != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, s, tt.want)
		}
	}
	a := base
	a.LevelStart = []LevelStart{{"L1", 5}, {"L2", 5}, {"L3", 200}}
	if cs := a.CheckLevelStarts(); len(cs) != 2 || cs[0].Row != 1 || cs[1].Row != 2 {
		t.Errorf("%v", cs)
	}
}

// TestSurvivorsKeepTheirAddresses edits a circuit at random, run after run:
// nobody is renumbered, no address is given twice, and none that is retired.
func TestSurvivorsKeepTheirAddresses(t *testing.T) {
	types := []takeoff.DeviceType{typeOf("one", 1), typeOf("two", 2), typeOf("none", 0)}
	a := Addressing{Scheme: Scheme{Name: "binary7"}, First: 1, Last: 127, Ranges: []Range{{Types: []string{"two"}, First: 90, Last: 127}}}
	rapid.Check(t, func(t *rapid.T) {
		var walk []takeoff.Device
		held, retired := map[string]Held{}, []Held{}
		a := a
		a.Order = rapid.SampledFrom([]Order{OrderWalk, OrderRoom}).Draw(t, "order")
		next := 0
		for range rapid.IntRange(1, 6).Draw(t, "runs") {
			for range rapid.IntRange(0, 15).Draw(t, "added") {
				next++
				d := takeoff.Device{ID: fmt.Sprint("D", next), Level: "L1", Status: takeoff.Counted,
					Type: rapid.SampledFrom([]string{"one", "two", "none"}).Draw(t, "type"), Room: rapid.SampledFrom([]string{"9", "10", ""}).Draw(t, "room")}
				walk = slices.Insert(walk, rapid.IntRange(0, len(walk)).Draw(t, "at"), d)
			}
			for range rapid.IntRange(0, len(walk)/3).Draw(t, "removed") {
				k := rapid.IntRange(0, len(walk)-1).Draw(t, "which")
				if h := held[walk[k].ID]; h.Address > 0 {
					retired = append(retired, h)
				}
				delete(held, walk[k].ID)
				walk = slices.Delete(walk, k, k+1)
			}
			var ids []string
			for _, d := range walk {
				ids = append(ids, d.ID)
			}
			got, _ := Number(walk, types, []Walk{{Circuit: "C", Kind: takeoff.SLC, Devices: ids, Addressing: a, Held: held, Retired: retired}})
			used := map[int]string{}
			for _, h := range retired {
				for k := range h.Span {
					used[h.Address+k] = "retired"
				}
			}
			for _, n := range got {
				if h := held[n.ID]; h.Address > 0 && (h.Address != n.Address || h.Span != n.Span) {
					t.Fatalf("%s was %v and is now %d+%d", n.ID, h, n.Address, n.Span)
				}
				for k := range n.Span {
					if who, twice := used[n.Address+k]; twice {
						t.Fatalf("address %d of %s is %s", n.Address+k, n.ID, who)
					}
					used[n.Address+k] = n.ID
				}
				if n.Address > 0 {
					held[n.ID] = Held{n.Address, n.Span}
				}
			}
		}
	})
}

func TestNatural(t *testing.T) {
	in := []string{"Room 10", "101B", "room 9", "101", "12", "101A", "2", "0012"}
	slices.SortFunc(in, Natural)
	if got := strings.Join(in, ", "); got != "2, 0012, 12, 101, 101A, 101B, room 9, Room 10" {
		t.Error(got)
	}
}

func TestOptionSettings(t *testing.T) {
	ty := takeoff.DeviceType{Options: []takeoff.Option{{Switch: "class A", OnWhen: "A"}, {Switch: "class B", OnWhen: "B"}}}
	if got := fmt.Sprint(OptionSettings(ty, "A"), OptionSettings(ty, "B")); got != "[{class A true} {class B false}] [{class A false} {class B true}]" {
		t.Error(got)
	}
}
