package words

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Fold brings a text into the form in which words are compared: compatibility forms
// joined (full-width digits, half-width kana), case and marks taken off, letters
// that only some offices write with a stroke or a ligature spelt plainly. Signs that
// tell kana apart stay, and syllables of Hangul stay whole.
func Fold(s string) string {
	s = letterForms.Replace(cases.Fold().String(norm.NFKC.String(s)))
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r) && r != '\u3099' && r != '\u309a':
			return -1
		case r == '\u0640' || unicode.Is(unicode.Cf, r): // tatweel, marks of direction
			return -1
		}
		return r
	}, norm.NFD.String(s))
	return norm.NFC.String(s)
}

// letterForms are letters that no decomposition takes apart. The dotless i and the
// final sigma are the usual ones in other clothes.
var letterForms = strings.NewReplacer("ø", "o", "æ", "ae", "œ", "oe", "å", "a", "ł", "l", "đ", "d", "ð", "d", "þ", "th", "ß", "ss", "ı", "i", "i̇", "i", "ς", "σ", "ё", "е",
	"ş", "ș", "ţ", "ț", "أ", "ا", "إ", "ا", "آ", "ا", "ٱ", "ا", "ة", "ه", "ى", "ي", "٠", "0", "١", "1", "٢", "2", "٣", "3", "٤", "4", "٥", "5", "٦", "6", "٧", "7", "٨", "8", "٩", "9")

// spelled are the ways in which a language writes its own letters where a keyboard has none of them.
var spelled = map[string]*strings.Replacer{
	"de": strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "Ä", "AE", "Ö", "OE", "Ü", "UE"),
	"da": strings.NewReplacer("ø", "oe", "å", "aa", "Ø", "OE", "Å", "AA"),
	"nb": strings.NewReplacer("ø", "oe", "å", "aa", "Ø", "OE", "Å", "AA"),
	"sv": strings.NewReplacer("ö", "oe", "å", "aa", "ä", "ae", "Ö", "OE", "Å", "AA", "Ä", "AE"),
	"uk": strings.NewReplacer("'", "", "’", ""),
}

// ideographic reports whether a sign belongs to a script that is written without
// spaces between words, or, as Korean, with spaces where the writer likes.
func ideographic(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul) || r == 'ー'
}

// token is one word of a folded text, or one run of ideographic signs.
type token struct {
	text  string
	runes int
	signs bool // ideographic
}

// tokens takes a folded text apart at whatever is no letter and no digit, and
// where letters meet digits or another script's signs.
func tokens(folded string) []token {
	var out []token
	kind := func(r rune) int {
		switch {
		case unicode.IsDigit(r):
			return 1
		case ideographic(r):
			return 2
		case unicode.IsLetter(r) || unicode.Is(unicode.Mc, r):
			return 3
		}
		return 0
	}
	start, last, n := 0, 0, 0
	end := func(i int) {
		if last != 0 {
			out = append(out, token{folded[start:i], n, last == 2})
		}
	}
	for i, r := range folded {
		if k := kind(r); k != last {
			end(i)
			start, last, n = i, k, 0
		}
		n++
	}
	end(len(folded))
	return out
}

// nameTokens takes a name of a block or layer apart: also where a small letter meets a capital.
func nameTokens(name string) []token {
	var b strings.Builder
	var before rune
	for _, r := range Unprefixed(name) {
		if unicode.IsUpper(r) && unicode.IsLower(before) {
			b.WriteByte(' ')
		}
		b.WriteRune(r)
		before = r
	}
	return tokens(Fold(b.String()))
}

// pasted is how a CAD program names what is pasted as a block.
var pasted = regexp.MustCompile(`(?i)^A\$C[0-9A-F]{6,}$`)

// Unprefixed returns a name without what stands before its last $ or |: what binding
// or attaching another drawing puts there. A name that ends so is kept, and so is one
// that a CAD program gave to what was pasted as a block: A$C and a number.
func Unprefixed(name string) string {
	if bound := Unbound(name); pasted.MatchString(bound) {
		return bound
	}
	if i := strings.LastIndexAny(name, "$|"); i >= 0 && i+1 < len(name) {
		return name[i+1:]
	}
	return name
}
