package assign

import (
	"encoding/csv"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// schemeOf maps the last part of a vector's name to the scheme it shows.
var schemeOf = map[string]Scheme{
	"7sw_lsbfirst_on1": {Name: "binary7"},
	"7sw_lsbfirst_on0": {Name: "binary7", OnMeansZero: true},
	"7sw_msbfirst_on1": {Name: "binary7", HighestFirst: true},
	"8sw_lsbfirst_on1": {Name: "binary8"},
	"decade":           {Name: "decade"},
}

// The vectors are figures from published notes, each row with its source and
// whether it was seen there or computed from the rule seen there.
func TestPublishedVectors(t *testing.T) {
	f, err := os.Open("../testdata/reference/addressing_vectors.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	name := regexp.MustCompile(`^addr(\d+)_(.*)$`)
	used := 0
	for _, row := range rows[1:] {
		m := name.FindStringSubmatch(row[0])
		if m == nil || m[2] == "terms" {
			continue // the rows that are not regular are below, one by one
		}
		s, ok := schemeOf[m[2]]
		if !ok {
			t.Errorf("%s: no scheme is known for this row", row[0])
			continue
		}
		used++
		address, _ := strconv.Atoi(m[1])
		got, err := s.Encode(address)
		if err != nil || got.Row != row[1] {
			t.Errorf("%s: %q, %v; want %q (%s)", row[0], got.Row, err, row[1], row[3])
		}
		if back, err := s.Decode(row[1]); err != nil || back != address {
			t.Errorf("%s: read back %d, %v", row[0], back, err)
		}
	}
	if want := 12 * 5; used != want {
		t.Errorf("%d regular rows used, want %d", used, want)
	}
}

func TestSingleVectors(t *testing.T) {
	tests := []struct {
		source  string
		scheme  Scheme
		address int
		row     string
		on      []int
	}{
		{"published address-switch table of a general device manual: 85 = 1+4+16+64", Scheme{Name: "binary8"}, 85, "10101010", []int{1, 4, 16, 64}},
		{"published trade text: thumbwheels 4 and 3 make 43", Scheme{Name: "decade"}, 43, "4/3", []int{}},
		{"published annunciator note: 30-1 = 29 = 00011101, complement 11100010, highest first", Scheme{Name: "binary8", HighestFirst: true, OnMeansZero: true, Offset: -1}, 30, "11100010", []int{2, 32, 64, 128}},
		{"arithmetic: 90 = 2+8+16+64", Scheme{Name: "binary7"}, 90, "0101101", []int{2, 8, 16, 64}},
	}
	for _, tt := range tests {
		got, err := tt.scheme.Encode(tt.address)
		if err != nil || got.Row != tt.row || !slices.Equal(got.On, tt.on) {
			t.Errorf("%s: %v, %v; want %s %v", tt.source, got, err, tt.row, tt.on)
		}
	}
}

func TestSum(t *testing.T) {
	tests := []struct {
		scheme  Scheme
		address int
		want    string
	}{
		{Scheme{Name: "binary7"}, 90, "2+8+16+64 = 90"},
		{Scheme{Name: "binary7"}, 1, "1 = 1"},
		{Scheme{Name: "binary8", Offset: -1}, 30, "1+4+8+16 = 29 (30-1)"},
		{Scheme{Name: "binary8", Offset: -1, OnMeansZero: true}, 1, "0 (1-1), OFF counts"},
		{Scheme{Name: "decade"}, 90, ""},
		{Scheme{Name: "none"}, 90, ""},
	}
	for _, tt := range tests {
		if got := tt.scheme.Sum(tt.address); got != tt.want {
			t.Errorf("%v %d: %q, want %q", tt.scheme, tt.address, got, tt.want)
		}
	}
}

func allSchemes() []Scheme {
	ss := []Scheme{{Name: "decade"}}
	for _, n := range []string{"binary7", "binary8"} {
		for _, high := range []bool{false, true} {
			for _, zero := range []bool{false, true} {
				for _, off := range []int{-1, 0, 1} {
					ss = append(ss, Scheme{n, high, zero, off})
				}
			}
		}
	}
	return ss
}

func TestEveryAddressComesBack(t *testing.T) {
	for _, s := range allSchemes() {
		first, last := s.Range()
		rows := map[string]int{}
		for a := first; a <= last; a++ {
			set, err := s.Encode(a)
			if err != nil {
				t.Fatalf("%v %d: %v", s, a, err)
			}
			if other, dup := rows[set.Row]; dup {
				t.Fatalf("%v: %d and %d have the same row", s, a, other)
			}
			rows[set.Row] = a
			if back, err := s.Decode(set.Row); err != nil || back != a {
				t.Fatalf("%v %d: row %s reads back %d, %v", s, a, set.Row, back, err)
			}
			if s.switches() > 0 {
				if back, err := s.DecodeOn(set.On); err != nil || back != a {
					t.Fatalf("%v %d: on %v reads back %d, %v", s, a, set.On, back, err)
				}
			}
		}
		for _, bad := range []int{first - 1, last + 1, -5} {
			if _, err := s.Encode(bad); err == nil {
				t.Errorf("%v: address %d must be refused", s, bad)
			}
		}
	}
}

func TestRefused(t *testing.T) {
	b7 := Scheme{Name: "binary7"}
	tests := []struct {
		name string
		err  func() error
		want string
	}{
		{"too high", func() error { _, e := b7.Encode(128); return e }, "address 128 cannot be set in scheme binary7: want 1 to 127"},
		{"unknown scheme", func() error { _, e := Scheme{Name: "ternary"}.Encode(1); return e }, `address scheme "ternary": want one of binary7, binary8, decade, none`},
		{"switch that is not there", func() error { _, e := b7.DecodeOn([]int{2, 3}); return e }, "no switch is worth 3: want 1, 2, 4, 8, 16, 32, 64"},
		{"switch twice", func() error { _, e := b7.DecodeOn([]int{2, 2}); return e }, "the switch worth 2 is named twice"},
		{"all off", func() error { _, e := b7.DecodeOn(nil); return e }, "these switches make address 0, which scheme binary7 does not have: want 1 to 127"},
		{"short row", func() error { _, e := b7.Decode("010110"); return e }, `switch row "010110": want 7 digits of 0 and 1, switch 1 first`},
		{"dials", func() error { _, e := Scheme{Name: "decade"}.Decode("43"); return e }, `dials "43": want tens/ones, for instance 4/3`},
		{"offset on dials", func() error { return Scheme{Name: "decade", Offset: 1}.Validate() }, "address scheme decade has no switches: first_switch, on_means and offset do not apply"},
		{"offset too far", func() error { return Scheme{Name: "binary7", Offset: 200}.Validate() }, "offset 200 leaves no address that 7 switches can show"},
	}
	for _, tt := range tests {
		if err := tt.err(); err == nil || err.Error() != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, row := range []string{"0101101", "4/3", "", "11100010", "12/7"} {
		f.Add(row)
	}
	f.Fuzz(func(t *testing.T, row string) {
		for _, s := range allSchemes() {
			a, err := s.Decode(row)
			if err != nil {
				continue
			}
			set, err := s.Encode(a)
			if err != nil {
				t.Fatalf("%v: %q reads as %d, which cannot be set: %v", s, row, a, err)
			}
			if back, err := s.Decode(set.Row); err != nil || back != a {
				t.Fatalf("%v: %q, %d, %q, %d", s, row, a, set.Row, back)
			}
		}
	})
}

func TestSwitchOrderDoesNotMatterToTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Scheme{Name: "binary7"}
		a := rapid.IntRange(1, 127).Draw(t, "address")
		set, _ := s.Encode(a)
		on := rapid.Permutation(set.On).Draw(t, "on")
		if back, err := s.DecodeOn(on); err != nil || back != a {
			t.Fatalf("%v: %d, %v", on, back, err)
		}
	})
}
