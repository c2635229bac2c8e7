package label

import (
	"strings"
	"unicode"
)

// Advance widths in text heights (heights of capitals). They are upper bounds
// for the fonts that drawings use: one bound for a class of characters in
// place of a table for every font, because the font file is seldom at hand and
// a box too wide costs a little space where one too narrow costs legibility.
const (
	wideAdvance   = 1.45 // M W @ % and other broad signs
	normalAdvance = 1.15 // other capitals
	digitAdvance  = 1.00
	dashAdvance   = 1.25 // - + = < > ~ and arrows: broad in stroke fonts
	lowerAdvance  = 1.05 // small letters but m and w
	slimAdvance   = 0.85 // I, thin small letters and punctuation
	spaceAdvance  = 1.00
	fullAdvance   = 1.80 // ideographs, which fill a square, and all that is not known
	linePitch     = 5.0 / 3
	descent       = 0.40 // of letters and signs that reach below the line
)

// EstimateWidth returns a width that the widest line of text does not exceed in the
// common stroke and sans-serif fonts at width factor 1. It has the unit of height.
func EstimateWidth(text string, height float64) float64 {
	widest := 0.0
	for line := range strings.SplitSeq(text, "\n") {
		w := 0.0
		for _, r := range line {
			w += advance(r)
		}
		widest = max(widest, w)
	}
	return widest * height
}

// Extent returns the estimated width of text and the height of its box: from
// the top of the first line's capitals to the last baseline, or below it where
// a character of the last line reaches below.
func Extent(text string, height float64) (width, boxHeight float64) {
	lines := strings.Count(text, "\n")
	return EstimateWidth(text, height), height * (1 + linePitch*float64(lines) + below(text))
}

// below returns how far the last line reaches below its baseline, in text heights.
func below(text string) float64 {
	last := text[strings.LastIndexByte(text, '\n')+1:]
	if strings.ContainsFunc(last, func(r rune) bool {
		return r > unicode.MaxASCII || strings.ContainsRune("gjpqyJQ,;()[]{}|/\\_@$", r)
	}) {
		return descent
	}
	return 0
}

func advance(r rune) float64 {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) || unicode.IsControl(r):
		return 0
	case unicode.IsSpace(r):
		return spaceAdvance
	case strings.ContainsRune("MW@%&mw", r):
		return wideAdvance
	case strings.ContainsRune("-+=<>~#_^", r):
		return dashAdvance
	case strings.ContainsRune("Iijlft.,:;!|'`\"()[]{}", r):
		return slimAdvance
	case r >= '0' && r <= '9':
		return digitAdvance
	case r <= unicode.MaxASCII && unicode.IsLower(r):
		return lowerAdvance
	case r <= unicode.MaxASCII:
		return normalAdvance
	case unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic):
		return wideAdvance
	}
	return fullAdvance
}
