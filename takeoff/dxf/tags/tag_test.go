package tags

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// TestParseFloat compares with the standard library on everything that is a
// plain decimal number.
func TestParseFloat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64().Draw(t, "f")
		prec := rapid.IntRange(-1, 20).Draw(t, "precision")
		s := strconv.FormatFloat(f, rapid.SampledFrom([]byte("fgeE")).Draw(t, "format"), prec, 64)
		want, err := strconv.ParseFloat(s, 64)
		got, ok := parseFloat([]byte("  " + s + " "))
		if ok != (err == nil && len(s) <= 400) || ok && got != want {
			t.Fatalf("%s: %v %v, want %v %v", s, got, ok, want, err)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		s := fmt.Sprintf("%d.%s", rapid.IntRange(-1e9, 1e9).Draw(t, "whole"), rapid.StringMatching(`[0-9]{0,18}`).Draw(t, "part"))
		want, _ := strconv.ParseFloat(s, 64)
		if got, ok := parseFloat([]byte(s)); !ok || got != want {
			t.Fatalf("%s: %v, want %v", s, got, want)
		}
	})
	for _, s := range []string{"", " ", "-", ".", "1,5", "0x10", "nan", "inf", "1e400", "1 2", "1e", "--1", "1_000"} {
		if f, ok := parseFloat([]byte(s)); ok {
			t.Errorf("%q is %v", s, f)
		}
	}
	for s, want := range map[string]float64{"5": 5, "-.5": -0.5, "+2.": 2, "\t1e3": 1000, "9007199254740993": 9007199254740992, "-0": math.Copysign(0, -1)} {
		if f, ok := parseFloat([]byte(s)); !ok || f != want {
			t.Errorf("%q is %v %v, want %v", s, f, ok, want)
		}
	}
}

func TestParseInt(t *testing.T) {
	for s, want := range map[string]int64{"5": 5, "     -5": -5, "+7 ": 7, "1.0": 1, "1e3": 1000, "999999999999999999": 999999999999999999} {
		if n, ok := parseInt([]byte(s)); !ok || n != want {
			t.Errorf("%q is %v %v, want %v", s, n, ok, want)
		}
	}
	for _, s := range []string{"", "x", "5x", "99999999999999999999", "1e300"} {
		if n, ok := parseInt([]byte(s)); ok {
			t.Errorf("%q is %v", s, n)
		}
	}
}

func TestHandle(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want Handle
	}{{"2F1", 0x2f1}, {" 2f1 ", 0x2f1}, {"0", 0}, {"FFFFFFFFFFFFFFFF", math.MaxUint64}} {
		if h, ok := ParseHandle(tt.in); !ok || h != tt.want {
			t.Errorf("%q is %v %v", tt.in, h, ok)
		}
	}
	for _, s := range []string{"", "xyz", "10000000000000000", "-1", "2 1"} {
		if h, ok := ParseHandle(s); ok {
			t.Errorf("%q is %v", s, h)
		}
	}
	if Handle(0).String() != "" || Handle(0x2f1).String() != "2F1" {
		t.Error("handles are written wrongly")
	}
}

// TestLineEnd compares with a plain search at every alignment.
func TestLineEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SliceOfN(rapid.SampledFrom([]byte("a\n\r\t\x0e\x0d\xff\x80 0")), 0, 40).Draw(t, "bytes")
		for i := 0; i <= len(b); i++ {
			want := len(b)
			for k := i; k < len(b); k++ {
				if b[k] == '\n' || b[k] == '\r' {
					want = k
					break
				}
			}
			if got := lineEnd(b, i, len(b)); got != want {
				t.Fatalf("%q from %d: %d, want %d", b, i, got, want)
			}
		}
	})
}

// TestLines: lines are those of the rule LF, CRLF or CR.
func TestLines(t *testing.T) {
	s := Source{Bytes: []byte("a\nb\r\nc\rd\n\ne")}
	for i, want := range []int{1, 1, 2, 2, 2, 3, 3, 4, 4, 5, 6, 6} {
		if got := s.Line(i); got != want {
			t.Errorf("offset %d is on line %d, want %d", i, got, want)
		}
	}
}

// TestTags: the parts of a tag in both forms.
func TestTags(t *testing.T) {
	d := NewSource("test.dxf", []byte("  0\r\nSECTION\r\n  2\r\nENTITIES\r\n  0\r\nTEXT\r\n 10\r\n  1.5 \r\n  0\r\nEOF"))
	sc := d.Scanner(d.Body, len(d.Bytes))
	want := []Tag{{0, 0, 5, 12, 14}, {2, 14, 19, 27, 29}, {0, 29, 34, 38, 40}, {10, 40, 45, 51, 53}, {0, 53, 58, 61, 61}}
	for _, w := range want {
		if got, ok := sc.Next(); !ok || got != w {
			t.Errorf("%+v %v, want %+v", got, ok, w)
		}
	}
	if _, ok := sc.Next(); ok || len(sc.Faults) > 0 {
		t.Error("more tags")
	}
	if f, ok := d.Float(want[3]); !ok || f != 1.5 || d.Text(want[3]) != "  1.5 " || string(d.Raw(want[0])) != "SECTION" {
		t.Errorf("%v %v", f, ok)
	}
}
