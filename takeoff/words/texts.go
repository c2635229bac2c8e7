package words

import (
	"regexp"
	"unicode"
)

var (
	deviceWords = regexp.MustCompile(`(?i)DETECT|DÉTECT|MELDER|SENSOR|STATION|CALL ?POINT|\bHORN|STROBE|SPEAKER|SOUNDER|SIREN|\bBELL\b|CHIME|BEACON|MODULE|RELAY|ISOLATOR|ANNUNCIATOR|\bPANEL\b|SWITCH|TAMPER|\bHOLDER|PHONE\b|DAMPER|VALVE|OUTLET|RECEPTACLE|LUMINAIRE|FIXTURE|LIGHT\b|SPRINKLER|HYDRANT|EXTINGUISHER|CAMERA|READER\b`)
	projectTag  = regexp.MustCompile(`^(PROJECT|JOB)([_ -]?(NAME|TITLE))?[_ -]?1?$`)
)

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
