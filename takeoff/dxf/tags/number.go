package tags

import (
	"bytes"
	"math"
	"strconv"
	"unsafe"
)

func parseInt(raw []byte) (int64, bool) {
	i := 0
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	neg := false
	if i < len(raw) && (raw[i] == '-' || raw[i] == '+') {
		neg = raw[i] == '-'
		i++
	}
	start, n := i, int64(0)
	for i < len(raw) && raw[i]-'0' <= 9 {
		if i-start > 17 {
			return 0, false
		}
		n = n*10 + int64(raw[i]-'0')
		i++
	}
	digits := i > start
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	if !digits || i < len(raw) {
		f, ok := parseFloat(raw)
		if !ok || math.Abs(f) >= 1<<53 {
			return 0, false
		}
		return int64(f), true
	}
	if neg {
		n = -n
	}
	return n, true
}

var pow10 = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10,
	1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseFloat reads what drawings write almost always (up to 15 or 16 digits, no
// exponent) by exact integer arithmetic and one division, which rounds like the
// general routine: both operands are exact up to 2^53 and 10^22.
func parseFloat(raw []byte) (float64, bool) {
	i := 0
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	start := i
	neg := false
	if i < len(raw) && (raw[i] == '-' || raw[i] == '+') {
		neg = raw[i] == '-'
		i++
	}
	mant, digits, frac := uint64(0), 0, 0
	for i < len(raw) && raw[i]-'0' <= 9 {
		mant = mant*10 + uint64(raw[i]-'0')
		digits++
		i++
	}
	if i < len(raw) && raw[i] == '.' {
		i++
		for i < len(raw) && raw[i]-'0' <= 9 {
			mant = mant*10 + uint64(raw[i]-'0')
			digits++
			frac++
			i++
		}
	}
	for i < len(raw) && (raw[i] == ' ' || raw[i] == '\t') {
		i++
	}
	if i == len(raw) && digits > 0 && digits <= 18 && mant <= 1<<53 {
		f := float64(mant) / pow10[frac]
		if neg {
			f = -f
		}
		return f, true
	}
	return parseFloatSlow(bytes.TrimSpace(raw[start:]))
}

func parseFloatSlow(raw []byte) (float64, bool) {
	if len(raw) == 0 || len(raw) > 400 {
		return 0, false
	}
	for _, c := range raw { // keep out hexadecimal floats, "inf", "nan" and digit separators
		if c-'0' > 9 && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			return 0, false
		}
	}
	f, err := strconv.ParseFloat(unsafe.String(&raw[0], len(raw)), 64)
	return f, err == nil
}
