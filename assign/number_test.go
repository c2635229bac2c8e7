package assign

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff"
	"pgregory.net/rapid"
)

func typeOf(name string, addresses int, points ...string) takeoff.DeviceType {
	t := takeoff.DeviceType{Type: name, Addresses: addresses, WiredTo: []takeoff.CircuitKind{takeoff.SLC}}
	for _, p := range points {
		t.Points = append(t.Points, takeoff.Point{Function: p, Event: "000"})
	}
	return t
}

// devicesOf makes devices from words such as "smoke smoke iso".
func devicesOf(words string) (ds []takeoff.Device, ids []string) {
	for i, w := range strings.Fields(words) {
		d := takeoff.Device{ID: fmt.Sprintf("D%d", i+1), Type: w, Level: "L", Status: takeoff.Counted}
		ds = append(ds, d)
		ids = append(ids, d.ID)
	}
	return ds, ids
}

func TestNumber(t *testing.T) {
	types := []takeoff.DeviceType{typeOf("smoke", 1, "smoke"), typeOf("iso", 0), typeOf("mod", 2, "flow", "valve"), typeOf("dual", 1, "a", "b")}
	b7 := Scheme{Name: "binary7"}
	tests := []struct {
		name    string
		walk    string
		a       Addressing
		want    string // address of each, 0 for none
		points  string
		finding string
	}{
		{"in walking order", "smoke smoke smoke", Addressing{Scheme: b7, First: 1, Last: 127}, "1 2 3", "1.1 2.1 3.1", ""},
		{"from first", "smoke smoke", Addressing{Scheme: b7, First: 90, Last: 127}, "90 91", "90.1 91.1", ""},
		{"reserved are skipped", "smoke smoke smoke", Addressing{Scheme: b7, First: 1, Last: 127, Reserved: []int{1, 3}}, "2 4 5", "2.1 4.1 5.1", ""},
		{"an isolator takes none", "smoke iso smoke", Addressing{Scheme: b7, First: 1, Last: 127}, "1 0 2", "1.1 2.1", ""},
		{"two addresses stay together", "smoke mod smoke", Addressing{Scheme: b7, First: 1, Last: 127, Reserved: []int{3}}, "1 4 6", "1.1 4.1 5.1 6.1", ""},
		{"two points under one address", "dual smoke", Addressing{Scheme: b7, First: 12, Last: 127}, "12 13", "12.1 12.2 13.1", ""},
		{"ranges by type", "smoke dual smoke dual", Addressing{Scheme: b7, First: 1, Last: 127, Ranges: []Range{{Types: []string{"dual"}, First: 101, Last: 127}, {First: 1, Last: 99}}}, "1 101 2 102", "1.1 101.1 101.2 2.1 102.1 102.2", ""},
		{"no spare left in a range", "smoke dual dual", Addressing{Scheme: b7, First: 1, Last: 127, Spare: .2, Ranges: []Range{{Types: []string{"dual"}, First: 101, Last: 102}, {First: 1, Last: 99}}}, "1 101 102", "1.1 101.1 101.2 102.1 102.2", "F503 warning: [dual] on circuit C uses 2 of 2 addresses: 0 are left, and the job asks for 20 % spare"},
		{"over capacity", "smoke smoke smoke", Addressing{Scheme: b7, First: 1, Last: 2}, "1 2 0", "1.1 2.1", "F502 error: circuit C needs 3 addresses and has 2: none for 1 device, first D3; next best: 2 circuits, D1 to D2 with 2, D3 with 1; or write circuits: auto in its row to have it split"},
		{"no spare left", "smoke smoke smoke smoke", Addressing{Scheme: b7, First: 1, Last: 5, Reserved: []int{1}, Spare: .2}, "2 3 4 5", "2.1 3.1 4.1 5.1", "F503 warning: circuit C uses 4 of 4 addresses: 0 are left, and the job asks for 20 % spare"},
		{"spare just kept", "smoke smoke smoke smoke", Addressing{Scheme: b7, First: 1, Last: 5, Spare: .2}, "1 2 3 4", "1.1 2.1 3.1 4.1", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			ds, ids := devicesOf(tt.walk)
			got, fs := Number(ds, types, []Walk{{Circuit: "C", Kind: takeoff.SLC, Devices: ids, Addressing: tt.a}})
			var as, ps []string
			for _, n := range got {
				as = append(as, fmt.Sprint(n.Address))
				for _, p := range n.Points {
					ps = append(ps, p.Point)
				}
				if n.Address > 0 {
					if back, err := b7.Decode(n.Switches.Row); err != nil || back != n.Address {
						t.Errorf("%s: switches %s read back %d, %v", n.ID, n.Switches.Row, back, err)
					}
				}
			}
			if a := strings.Join(as, " "); a != tt.want {
				t.Errorf("addresses %s, want %s", a, tt.want)
			}
			if p := strings.Join(ps, " "); p != tt.points {
				t.Errorf("points %s, want %s", p, tt.points)
			}
			var f string
			for _, x := range fs {
				f += x.String()
			}
			if f != tt.finding {
				t.Errorf("finding %q\nwant    %q", f, tt.finding)
			}
		})
	}
}

func TestAddressesAreUniqueAndClimb(t *testing.T) {
	types := []takeoff.DeviceType{typeOf("one", 1), typeOf("two", 2), typeOf("none", 0)}
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.SampledFrom([]string{"one", "two", "none"}), 1, 80).Draw(t, "walk")
		reserved := rapid.SliceOfN(rapid.IntRange(1, 127), 0, 10).Draw(t, "reserved")
		ds, ids := devicesOf(strings.Join(words, " "))
		got, fs := Number(ds, types, []Walk{{Circuit: "C", Kind: takeoff.SLC, Devices: ids,
			Addressing: Addressing{Scheme: Scheme{Name: "binary7"}, First: 1, Last: 127, Reserved: reserved}}})
		used, last, without := map[int]bool{}, 0, 0
		for _, n := range got {
			if n.Type != "none" && n.Address == 0 {
				without++
			}
			for a := n.Address; a < n.Address+n.Span; a++ {
				if a <= last || a > 127 || used[a] || slices.Contains(reserved, a) {
					t.Fatalf("%s: address %d out of order, taken twice, reserved or out of range", n.ID, a)
				}
				used[a], last = true, a
			}
		}
		if (without > 0) != slices.ContainsFunc(fs, func(f takeoff.Finding) bool { return f.Code == CodeOverCapacity }) {
			t.Fatalf("%d without an address, findings %v", without, fs)
		}
	})
}

func TestDivide(t *testing.T) {
	types := []takeoff.DeviceType{
		{Type: "smoke", WiredTo: []takeoff.CircuitKind{takeoff.SLC}},
		{Type: "base", WiredTo: []takeoff.CircuitKind{takeoff.SLC, takeoff.Power}},
		{Type: "horn", WiredTo: []takeoff.CircuitKind{takeoff.NAC}},
	}
	dev := func(id, typ, level string) takeoff.Device {
		return takeoff.Device{ID: id, Type: typ, Level: level, Status: takeoff.Counted}
	}
	devices := []takeoff.Device{dev("a", "smoke", "1"), dev("b", "base", "2"), dev("c", "horn", "1"), dev("d", "smoke", "2"), dev("e", "horn", "2"),
		{ID: "x", Type: "smoke", Level: "1", Status: takeoff.Excluded}}
	rows := []Row{{Circuit: "S1", Kind: takeoff.SLC, Levels: []string{"1"}}, {Circuit: "S2", Kind: takeoff.SLC}, {Circuit: "N1", Kind: takeoff.NAC, Levels: []string{"1"}}}
	groups, fs := Divide(devices, types, rows)
	var got []string
	for _, g := range groups {
		s := string(g.Kind) + ":"
		for _, r := range g.Rows {
			s += " " + r.Circuit
		}
		s += " <-"
		for _, d := range g.Devices {
			s += " " + d.ID
		}
		got = append(got, s)
	}
	want := []string{"slc: S1 S2 <- a", "slc: S2 <- b d", "nac: N1 <- c"}
	if !slices.Equal(got, want) {
		t.Errorf("groups %q\nwant   %q", got, want)
	}
	var codes []string
	for _, f := range fs {
		codes = append(codes, f.String())
	}
	wantFindings := []string{
		"F501 error: 2: no circuit of kind power for 1 device, first b (base): add a circuit, or leave power out of wired_to",
		"F501 error: 2: no circuit of kind nac for 1 device, first e (horn): add a circuit, or leave nac out of wired_to",
	}
	if !slices.Equal(codes, wantFindings) {
		t.Errorf("findings %q", codes)
	}
}

func TestDevicesOnTwoCircuits(t *testing.T) {
	ds, ids := devicesOf("smoke")
	got, _ := Number(ds, []takeoff.DeviceType{typeOf("smoke", 1)}, []Walk{
		{Circuit: "SLC-1", Kind: takeoff.SLC, Devices: ids, Addressing: Addressing{Scheme: Scheme{Name: "none"}, First: 5, Last: 9}},
		{Circuit: "PWR-1", Kind: takeoff.Power, Devices: ids},
	})
	if n := got[0]; n.Circuit != "SLC-1" || n.Address != 5 || !slices.Equal(n.Also, []string{"PWR-1"}) {
		t.Errorf("%+v", n)
	}
}
