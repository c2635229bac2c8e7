package dxf

import (
	"bytes"
	"os"
	"strconv"
	"testing"
	"time"
)

// The yardstick: a bare scan over a byte slice on one core that knows nothing
// about DXF but lines, and takes from each INSERT its place, scales, rotation and
// the values of its attributes. No nesting, no checks, no index, no text decoding.

type yardInsert struct {
	name, layer          string
	x, y, z, rot, sx, sy float64
	tags, values         []string
}

// yardstickASCII is the bare scan of an ASCII drawing.
func yardstickASCII(b []byte) (inserts []yardInsert) {
	var cur *yardInsert
	what := byte(0) // 'i' in an INSERT, 'a' in an ATTRIB
	for pos := 0; pos < len(b); {
		n := bytes.IndexByte(b[pos:], '\n')
		if n < 0 {
			break
		}
		code := 0
		for _, c := range b[pos : pos+n] {
			if c >= '0' && c <= '9' {
				code = code*10 + int(c-'0')
			}
		}
		pos += n + 1
		n = bytes.IndexByte(b[pos:], '\n')
		if n < 0 {
			n = len(b) - pos
		}
		value := b[pos : pos+n]
		if n > 0 && value[n-1] == '\r' {
			value = value[:n-1]
		}
		pos = min(pos+n+1, len(b))
		switch {
		case code == 0:
			switch string(value) {
			case "INSERT":
				inserts = append(inserts, yardInsert{sx: 1, sy: 1})
				cur, what = &inserts[len(inserts)-1], 'i'
			case "ATTRIB":
				what = 'a'
			default:
				what = 0
			}
		case what == 'i':
			switch code {
			case 2:
				cur.name = string(value)
			case 8:
				cur.layer = string(value)
			case 10:
				cur.x = yardFloat(value)
			case 20:
				cur.y = yardFloat(value)
			case 30:
				cur.z = yardFloat(value)
			case 41:
				cur.sx = yardFloat(value)
			case 42:
				cur.sy = yardFloat(value)
			case 50:
				cur.rot = yardFloat(value)
			}
		case what == 'a':
			switch code {
			case 1:
				cur.values = append(cur.values, string(value))
			case 2:
				cur.tags = append(cur.tags, string(value))
			}
		}
	}
	return inserts
}

func yardFloat(b []byte) float64 {
	f, _ := strconv.ParseFloat(string(bytes.TrimSpace(b)), 64)
	return f
}

// bigDrawing returns the drawing to measure: the file that LOOPWRIGHT_BIG_DXF
// names, or a generated plan of about 24 MB.
func bigDrawing(tb testing.TB) []byte {
	if name := os.Getenv("LOOPWRIGHT_BIG_DXF"); name != "" {
		b, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		return b
	}
	return generatedPlan(4000)
}

// BenchmarkSurvey reads everything that a survey needs: all inserts with place,
// rotation, scales and attributes, nesting expanded, and all texts.
func BenchmarkSurvey(b *testing.B) {
	src := bigDrawing(b)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		n = surveyOnce(b, src)
	}
	b.ReportMetric(float64(n), "inserts")
}

func surveyOnce(tb testing.TB, src []byte) int {
	d, err := Parse("bench.dxf", src)
	if err != nil {
		tb.Fatal(err)
	}
	inserts, _, err := d.Inserts(Options{})
	if err != nil {
		tb.Fatal(err)
	}
	texts, _, err := d.Texts(Options{})
	if err != nil || len(texts) == 0 {
		tb.Fatal(err, len(texts))
	}
	return len(inserts)
}

func BenchmarkYardstick(b *testing.B) {
	src := bigDrawing(b)
	if bytes.HasPrefix(src, []byte(sentinel)) {
		b.Skip("the yardstick is for ASCII drawings")
	}
	b.SetBytes(int64(len(src)))
	n := 0
	for b.Loop() {
		n = len(yardstickASCII(src))
	}
	b.ReportMetric(float64(n), "inserts")
}

// BenchmarkRatio runs both in turn and reports how many times as long the survey
// takes as the yardstick.
func BenchmarkRatio(b *testing.B) {
	src := bigDrawing(b)
	if bytes.HasPrefix(src, []byte(sentinel)) {
		b.Skip("the yardstick is for ASCII drawings")
	}
	var survey, yard time.Duration
	for b.Loop() {
		start := time.Now()
		yardstickASCII(src)
		yard += time.Since(start)
		start = time.Now()
		surveyOnce(b, src)
		survey += time.Since(start)
	}
	b.ReportMetric(float64(survey)/float64(yard), "x-yardstick")
}
