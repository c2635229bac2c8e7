package words

import (
	"regexp"
	"strings"
)

var (
	roomNumber = regexp.MustCompile(`^(?:\p{Lu}{1,2}[-.]?)?\d{1,4}(?:[-.]\d{1,3})?\p{Lu}?$`)
	longNumber = regexp.MustCompile(`^(?:\p{Lu}{1,2}[-.]?)?\d{2,4}(?:[-.]\d{1,3})?\p{Lu}?$`)
	dimension  = regexp.MustCompile(`(^|[^\pL\d])\d[\d./ -]*['"]|[=:@%#±⌀]|\d\s*[xX]\s*\d|\d\s*(mm|MM|cm|CM|m2|SF|sf|FT|ft)\b`)
	// noRoom are words of notes and titles.
	noRoom = regexp.MustCompile(`(?i)^(UP|DN|DOWN|TYP\.?|N\.?T\.?S\.?|NORTH|OPEN|REF\.?|EXIT|FACP)$|\b(CLG|SEE|NOTES?|SCALE|DETAILS?|PLAN|SECTION|MATCH ?LINE|PROVIDE|VERIFY|SHEET|DWG|LEGEND|SYMBOLS?|ABOVE|BELOW|EXISTING TO|REMOVE|RELOCATE|ELEV\.?|TYPICAL|CONTRACTOR|OTHERS|DETECTORS?|DATE|DRAWN|PROJECT|ISSUE|REVISION|ALARM|LEVEL)\b`)
	// roomWord are words by which a lone text is taken for a room's name.
	roomWord = regexp.MustCompile(`(?i)\b(ROOMS?|OFFICES?|CORRIDOR|HALL|HALLWAY|LOBBY|VESTIBULE|FOYER|STAIRS?|STAIRWELL|STORAGE|STOR|STORE|TOILETS?|TOIL|UTIL|BEDRM|BDRM|W\.?I\.?C|RESTROOM|BATH(ROOM)?|WC|MEN'?S?|WOMEN'?S?|KITCHEN(ETTE)?|JANITOR|CLOSET|MECHANICAL|ELECTRICAL|ELEVATOR|SHAFT|CLASSROOM|CONFERENCE|LIBRARY|LIVING|DINING|BEDROOM|GARAGE|LAUNDRY|PANTRY|RECEPTION|ENTRY|CAFE|LAB(ORATORY)?|WORKSHOP|GYM|STUDIO|PATIO|PORCH|UTILITY|SALON|BEDRM|FAMILY|DEN|DECK|CLO|MASTER|BED|NOOK|BREAKFAST)\b`)
)

// NamesRoom reports whether a lone text has a word by which it is taken for a room's name.
func NamesRoom(name string) bool { return roomWord.MatchString(name) }

// IsLongNumber reports whether a room's number has two digits at least.
func IsLongNumber(number string) bool { return longNumber.MatchString(number) }

// looksNamed reports whether a line can be a room's name.
func looksNamed(s string) bool {
	n := Letters(s)
	return n >= 2 && len([]rune(s)) <= 40 && 2*n >= len([]rune(strings.ReplaceAll(s, " ", ""))) && !dimension.MatchString(s) && !noRoom.MatchString(s)
}

// Room splits a text into number and name; both empty if it is neither.
func Room(text string) (number, name string) {
	var names []string
	for line := range strings.Lines(text) {
		line = strings.Join(strings.Fields(line), " ")
		switch {
		case line == "":
		case roomNumber.MatchString(line) && number == "":
			number = line
		case looksNamed(line):
			names = append(names, line)
		default: // one line of something else makes it a note
			return "", ""
		}
	}
	if len(names) > 3 {
		return "", ""
	}
	name = strings.Join(names, " ")
	if number != "" || name == "" {
		return number, name
	}
	words := strings.Fields(name)
	if len(words) < 2 {
		return "", name
	}
	last := len(words) - 1
	switch {
	case roomNumber.MatchString(words[0]):
		return words[0], strings.Join(words[1:], " ")
	case longNumber.MatchString(words[last]): // STAIR 1 is a name, CORRIDOR 300 is not
		return words[last], strings.Join(words[:last], " ")
	}
	return "", name
}
