package words

import (
	"regexp"
	"unicode"
)

var (
	legendWords = regexp.MustCompile(`(?i)LEGEND|\bLEYENDA|\bSYMBOLS?\b|\bSYMBOLE|\bSIMBOL|SYMBOL LIST|^\s*KEY\s*$|ЛЕГЕНД|УСЛОВН`)
	partWords   = regexp.MustCompile(`(?i)^\s*(KEY ?PLAN|LOCATION PLAN|DETAILS?\b|TYPICAL\b|TYP\.? |MOUNTING HEIGHTS?|NOT TO SCALE|N\.?T\.?S\.?$|RISER DIAGRAM|.*\bDETAILS?$|.*\bRISER DIAGRAM$|.*\bMOUNTING HEIGHTS?$)`)
	deviceWords = regexp.MustCompile(`(?i)DETECT|DÉTECT|MELDER|SENSOR|STATION|CALL ?POINT|\bHORN|STROBE|SPEAKER|SOUNDER|SIREN|\bBELL\b|CHIME|BEACON|MODULE|RELAY|ISOLATOR|ANNUNCIATOR|\bPANEL\b|SWITCH|TAMPER|\bHOLDER|PHONE\b|DAMPER|VALVE|OUTLET|RECEPTACLE|LUMINAIRE|FIXTURE|LIGHT\b|SPRINKLER|HYDRANT|EXTINGUISHER|CAMERA|READER\b`)
	projectTag  = regexp.MustCompile(`^(PROJECT|JOB)([_ -]?(NAME|TITLE))?[_ -]?1?$`)
)

// IsLegendHeading reports whether a text stands over a legend; "KEY" only where it stands
// alone, since a key plan is something else.
func IsLegendHeading(text string) bool { return legendWords.MatchString(text) }

// IsPartTitle reports whether a text is what drafters write beside parts of a
// sheet that repeat symbols: key plans, details, risers.
func IsPartTitle(text string) bool { return partWords.MatchString(text) }

// NamesDevice reports whether a text explains a symbol, and does not name a room.
func NamesDevice(text string) bool { return deviceWords.MatchString(text) }

// IsProjectTag reports whether the attribute of a title block with this tag, in
// capitals, gives the name of the job.
func IsProjectTag(tag string) bool { return projectTag.MatchString(tag) }

// Letters counts the letters of a text.
func Letters(s string) int {
	n := 0
	for _, r := range s {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}

// HasWord reports whether a text can explain a symbol: it has a word of three letters.
func HasWord(s string) bool {
	run := 0
	for _, r := range s {
		if r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r > 0x7f {
			if run++; run == 3 {
				return true
			}
		} else {
			run = 0
		}
	}
	return false
}
