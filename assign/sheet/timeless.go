package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"time"
)

// The places where libraries write the clock or chance into a PDF. All else that
// could look like them is compressed, where such a match will not come up by chance.
var (
	datePlace  = regexp.MustCompile(`/(CreationDate|ModDate) ?\(D:[^)]*\)`)
	idPlace    = regexp.MustCompile(`/ID ?\[<[0-9A-Fa-f]*> ?<[0-9A-Fa-f]*>\]`)
	makerPlace = regexp.MustCompile(`/Producer ?\(pdfcpu [^)]*\)`)
)

// timeless writes the job's date over the clock's (blanks where the job has
// none) and an id made from the content over the random one. No byte moves, so
// the offsets in the file stay right.
func timeless(pdf []byte, date time.Time) []byte {
	out := bytes.Clone(pdf)
	for _, m := range datePlace.FindAllSubmatchIndex(out, -1) {
		entry := ""
		if !date.IsZero() {
			entry = "/" + string(out[m[2]:m[3]]) + "(D:" + date.Format("20060102") + ")"
		}
		fill(out[m[0]:m[1]], entry)
	}
	for _, m := range makerPlace.FindAllIndex(out, -1) {
		fill(out[m[0]:m[1]], "/Producer(loopwright)")
	}
	ids := idPlace.FindAllIndex(out, -1)
	for _, m := range ids {
		digits(out[m[0]+len("/ID"):m[1]], "0")
	}
	sum := sha256.Sum256(out)
	for _, m := range ids {
		digits(out[m[0]+len("/ID"):m[1]], hex.EncodeToString(sum[:16]))
	}
	return out
}

// fill writes s at the start of a place and blanks behind it.
func fill(place []byte, s string) {
	for i := copy(place, s); i < len(place); i++ {
		place[i] = ' '
	}
}

// digits writes s over the hexadecimal digits of a place, again and again.
func digits(place []byte, s string) {
	k := 0
	for i, c := range place {
		if bytes.IndexByte([]byte("<>[] "), c) < 0 {
			place[i] = s[k%len(s)]
			k++
		}
	}
}
