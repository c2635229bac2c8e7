package words

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

var (
	// roomNumber are the forms of numbers of rooms: 101, 1.01, -1.01, E.05, B-12, EG-03, 1OG.07, 104A. The parts
	// before the last say building, storey or wing.
	roomNumber = regexp.MustCompile(`^[-–−]?(?:(?:\p{L}{1,3}\d{0,2}|\d{1,3}\p{L}{0,2})[-.–/_])*\p{Lu}{0,2}\d{1,4}\p{L}?$`)
	longNumber = regexp.MustCompile(`^[-–−]?(?:(?:\p{L}{1,3}\d{0,2}|\d{1,3}\p{L}{0,2})[-.–/_])*\p{Lu}{0,2}\d{2,4}\p{L}?$`)
	// numberMark stands before a number.
	numberMark = regexp.MustCompile(`^(?:№|[Nn][°º]|[Nn][RrOo]\.|#)\s*`)
	keyed      = regexp.MustCompile(`^([^:=]{1,24}?)\s*[:=]\s*(.+)$`)
	// dimension are what a room's label carries beside its name: areas, heights, sizes.
	dimension = regexp.MustCompile(`(^|[^\pL\d])\d[\d./ -]*['"]|[=:@%#±⌀]|\d\s*[xX×]\s*\d|\d\s*(mm|MM|cm|CM|m2|m²|㎡|qm|SF|sf|FT|ft|SQ\.?|sq\.?|м²|м2|кв\.?|m)(\P{L}|$)`)
	value     = regexp.MustCompile(`^[-+±<>]?\d[\d.,' ]*$`)
	ceiling   = regexp.MustCompile(`(?i)^(CLG|CH|FFL|RH|LH)\b.*\d`)
	// noRoom are words of notes and titles.
	noRoom = regexp.MustCompile(`(?i)^(UP|DN|DOWN|TYP\.?|N\.?T\.?S\.?|NORTH|OPEN|REF\.?|EXIT|FACP)$|\b(CLG|SEE|NOTES?|SCALE|DETAILS?|PLAN|SECTION|MATCH ?LINE|PROVIDE|VERIFY|SHEET|DWG|LEGEND|SYMBOLS?|ABOVE|BELOW|EXISTING TO|REMOVE|RELOCATE|ELEV\.?|TYPICAL|CONTRACTOR|OTHERS|DETECTORS?|DATE|DRAWN|PROJECT|ISSUE|REVISION|ALARM|LEVEL)\b`)
	// roomWord are short forms and parts of names that the vocabulary does not read.
	roomWord = regexp.MustCompile(`(?i)\b(ROOMS?|OFFICES?|CORRIDOR|HALL|HALLWAY|LOBBY|VESTIBULE|FOYER|STAIRS?|STAIRWELL|STORAGE|STOR|STORE|TOILETS?|TOIL|UTIL|BEDRM|BDRM|W\.?I\.?C|RESTROOM|BATH(ROOM)?|WC|MEN'?S?|WOMEN'?S?|KITCHEN(ETTE)?|JANITOR|CLOSET|MECHANICAL|ELECTRICAL|ELEVATOR|SHAFT|CLASSROOM|CONFERENCE|LIBRARY|LIVING|DINING|BEDROOM|GARAGE|LAUNDRY|PANTRY|RECEPTION|ENTRY|CAFE|LAB(ORATORY)?|WORKSHOP|GYM|STUDIO|PATIO|PORCH|UTILITY|SALON|BEDRM|FAMILY|DEN|DECK|CLO|MASTER|BED|NOOK|BREAKFAST)\b`)
)

// NamesRoom reports whether a lone text has a word by which it is taken for a room's name,
// in the languages of the drawing or in English.
func NamesRoom(name string, languages []string) bool {
	if roomWord.MatchString(name) {
		return true
	}
	all := 0 // letters
	for _, r := range Usual().Read(name, languages, "room") {
		if !r.Second() {
			all += r.Letters
		}
	}
	n := Letters(name)
	if n > 0 && utf8.RuneCountInString(name) < len(name)/2 { // a sign counts as two letters
		n *= 2
	}
	return all > 0 && 2*all >= n
}

// NamesFurniture reports whether a text names what stands in rooms.
func NamesFurniture(name string, languages []string) bool {
	rs := Usual().Read(name, languages, "room", "draw")
	return len(rs) > 0 && rs[0].Concept == "draw.furniture" && !rs[0].Second()
}

// IsLongNumber reports whether a room's number has two digits at least.
func IsLongNumber(number string) bool { return longNumber.MatchString(number) }

// looksNamed reports whether a line can be a room's name.
func looksNamed(s string) bool {
	n := Letters(s)
	least := 2
	if strings.ContainsFunc(s, ideographic) {
		least = 1
	}
	return n >= least && len([]rune(s)) <= 40 && 2*n >= len([]rune(strings.ReplaceAll(s, " ", ""))) && !dimension.MatchString(s) && !noRoom.MatchString(s)
}

// isNumber reports whether a line is a room's number and nothing else.
func isNumber(s string) bool { return utf8.RuneCountInString(s) <= 14 && roomNumber.MatchString(s) }

// How keys and attributes of rooms are named beside the words of the vocabulary.
var (
	numberTags = regexp.MustCompile(`^(ROOM|RM|R|SPACE|SP|RAUM)?(NO|NUM|NUMBER|NR|NUMMER|ID|#)$|^(ROOM|RM|SPACE|RAUM)$`)
	nameTags   = regexp.MustCompile(`^(ROOM|RM|R|SPACE|SP|RAUM)?(NAME|TITLE|DESC|DESCRIPTION)[1-4]?$`)
	roomTags   = regexp.MustCompile(`^(ROOM|RM|SPACE|RAUM)`)
	tagRest    = regexp.MustCompile(`[^\pL\d#]`)
)

// IsRoomTag reports whether an attribute is named as one of rooms only.
func IsRoomTag(tag string) bool {
	return roomTags.MatchString(tagRest.ReplaceAllString(strings.ToUpper(tag), ""))
}

// roomTag says what a key of a label stands for: number, name, or else.
func roomTag(key string) (number, name bool) {
	tag := tagRest.ReplaceAllString(strings.ToUpper(key), "")
	if numberTags.MatchString(tag) {
		return true, false
	}
	if nameTags.MatchString(tag) {
		return false, true
	}
	for _, r := range Usual().ReadName(key, nil, "tag") {
		number = number || r.Concept == "tag.room_number"
		name = name || r.Concept == "tag.room_name"
	}
	return number, name && !number
}

// RoomValue is what a value says of a room that stands beside a key, as in an
// attribute or in "number: 101": both are empty if it is neither number nor name. Keys in no
// language that is known say nothing; then the value itself decides.
func RoomValue(key, text string) (number, name string) {
	text = strings.Join(strings.Fields(text), " ")
	switch isNo, isName := roomTag(key); {
	case text == "":
	case isNo:
		return text, ""
	case isName:
		return "", text
	}
	return "", ""
}

// roomLine says what one line of a text says of a room. side is true for lines that stand
// in labels beside number and name: areas, heights, finishes behind a key.
func roomLine(line string) (number, name string, side bool) {
	bare := numberMark.ReplaceAllString(line, "")
	switch {
	case isNumber(bare):
		return bare, "", false
	case value.MatchString(line) || ceiling.MatchString(line):
		return "", "", true
	}
	if m := keyed.FindStringSubmatch(line); m != nil {
		key, text := m[1], m[2]
		if number, name = RoomValue(key, text); number+name != "" {
			if number != "" && !isNumber(number) {
				number, name = "", number
			}
			return number, name, false
		}
		if isNumber(numberMark.ReplaceAllString(key, "")) && looksNamed(text) {
			return numberMark.ReplaceAllString(key, ""), text, false
		}
		if NamesRoom(key, nil) {
			if isNumber(text) {
				return text, key, false
			}
			if looksNamed(text) {
				return "", text, false
			}
		}
		if looksNamed(text) && NamesRoom(text, nil) {
			return "", text, false
		}
		return "", "", true
	}
	if dimension.MatchString(line) && !noRoom.MatchString(line) {
		return "", "", true
	}
	if n, name, ok := strings.Cut(line, " "); ok && isNumber(numberMark.ReplaceAllString(n, "")) && looksNamed(name) {
		return numberMark.ReplaceAllString(n, ""), strings.Trim(name, "-– "), false
	}
	// STAIR 1 is a name, CORRIDOR 300 is not.
	if i := strings.LastIndexByte(line, ' '); i > 0 && longNumber.MatchString(line[i+1:]) && looksNamed(line[:i]) {
		return line[i+1:], strings.TrimRight(line[:i], "-– "), false
	}
	if looksNamed(line) {
		return "", line, false
	}
	return "", "", false
}

// Room splits a text into number and name; both empty if it is neither.
func Room(text string) (number, name string) {
	var names []string
	for line := range strings.Lines(text) {
		line = strings.Join(strings.Fields(line), " ")
		if line == "" {
			continue
		}
		no, na, side := roomLine(line)
		switch {
		case side:
		case no == "" && na == "": // one line of something else makes it a note
			return "", ""
		case no != "" && number == "":
			number = no
		}
		if na != "" {
			names = append(names, na)
		}
	}
	if len(names) > 3 {
		return "", ""
	}
	return number, strings.Join(names, " ")
}
