package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"time"
)

// The places where libraries write the clock or chance into a PDF.
var (
	datePlace = regexp.MustCompile(`/(CreationDate|ModDate) ?\(D:[^)]*\)`)
	idPlace   = regexp.MustCompile(`/ID ?\[<[0-9A-Fa-f]*> ?<[0-9A-Fa-f]*>\]`)
	maker     = regexp.MustCompile(`/Producer ?\(pdfcpu [^)]*\)`)
)

// timeless writes the job's date over the clock's, and an id made from the
// content over the random one. No byte moves, so offsets stay right. Only the
// tail and the information dictionary hold these entries as plain text; streams
// are compressed, and a chance match in one would break it, so a match must
// stand outside of them.
func timeless(pdf []byte, date time.Time) []byte {
	out := bytes.Clone(pdf)
	for _, m := range outside(out, datePlace) {
		blankOut(out, m, date)
	}
	for _, m := range outside(out, maker) {
		fill(out[m[0]:m[1]], "/Producer(loopwright)")
	}
	ids := outside(out, idPlace)
	for _, m := range ids {
		zeroHex(out[m[0]+len("/ID") : m[1]])
	}
	sum := hex.EncodeToString(hashOf(out))
	for _, m := range ids {
		rewriteHex(out[m[0]+len("/ID"):m[1]], sum)
	}
	return out
}

func hashOf(b []byte) []byte { s := sha256.Sum256(b); return s[:] }

// outside returns the matches that lie in no stream.
func outside(pdf []byte, re *regexp.Regexp) [][]int {
	var ms [][]int
	for _, m := range re.FindAllIndex(pdf, -1) {
		begin := bytes.LastIndex(pdf[:m[0]], []byte("stream\n"))
		begin = max(begin, bytes.LastIndex(pdf[:m[0]], []byte("stream\r\n")))
		end := bytes.LastIndex(pdf[:m[0]], []byte("endstream"))
		if end+len("end") >= begin {
			ms = append(ms, m)
		}
	}
	return ms
}

// blankOut replaces a date by the job's, or by blanks where the job has none.
func blankOut(pdf []byte, m []int, date time.Time) {
	place := pdf[m[0]:m[1]]
	if date.IsZero() {
		fill(place, "")
		return
	}
	name := place[:bytes.IndexByte(place, '(')]
	fill(place, string(name)+"(D:"+date.Format("20060102")+")")
}

// fill writes s at the start of a place and blanks behind it.
func fill(place []byte, s string) {
	n := copy(place, s)
	for i := n; i < len(place); i++ {
		place[i] = ' '
	}
}

func zeroHex(b []byte) {
	for i, c := range b {
		if c != '<' && c != '>' && c != '[' && c != ']' && c != ' ' {
			b[i] = '0'
		}
	}
}

func rewriteHex(b []byte, digits string) {
	k := 0
	for i, c := range b {
		if c == '0' {
			b[i] = digits[k%len(digits)]
			k++
		}
	}
}
