package words

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

var (
	numberedLevel = regexp.MustCompile(`(?i)\b(?:LEVEL|FLOOR|STOREY|STORY|LVL|FLR)\s*[-#.]?\s*(\d{1,2})\b`)
	ordinalLevel  = regexp.MustCompile(`(?i)\b(\d{1,2})(?:ST|ND|RD|TH)\s+(?:FLOOR|LEVEL|STOREY|STORY)\b`)
	wordLevel     = regexp.MustCompile(`(?i)\b(FIRST|SECOND|THIRD|FOURTH|FIFTH|SIXTH|SEVENTH|EIGHTH|NINTH|TENTH)\s+(?:FLOOR|LEVEL|STOREY|STORY)\b`)
	namedLevel    = regexp.MustCompile(`(?i)\b(BASEMENT|CELLAR|GROUND\s+FLOOR|GROUND\s+LEVEL|MEZZANINE|PENTHOUSE|ROOF|MAIN\s+FLOOR|UPPER\s+(?:FLOOR|LEVEL)|LOWER\s+(?:FLOOR|LEVEL))\b`)
	ordinals      = []string{"FIRST", "SECOND", "THIRD", "FOURTH", "FIFTH", "SIXTH", "SEVENTH", "EIGHTH", "NINTH", "TENTH"}
	namedOrder    = map[string]int{"BASEMENT": -1, "CELLAR": -1, "LOWER": 0, "GROUND": 0, "MAIN": 1, "MEZZANINE": 1, "UPPER": 2, "PENTHOUSE": 98, "ROOF": 99}
)

// Level reads the level that a title names, and its order among levels; false if it names none.
func Level(title string) (name string, order int, ok bool) {
	if m := numberedLevel.FindStringSubmatch(title); m != nil {
		n, _ := strconv.Atoi(m[1])
		return fmt.Sprintf("Level %d", n), n, true
	}
	if m := ordinalLevel.FindStringSubmatch(title); m != nil {
		n, _ := strconv.Atoi(m[1])
		return fmt.Sprintf("Level %d", n), n, true
	}
	if m := wordLevel.FindStringSubmatch(title); m != nil {
		n := slices.Index(ordinals, strings.ToUpper(m[1])) + 1
		return fmt.Sprintf("Level %d", n), n, true
	}
	if m := namedLevel.FindStringSubmatch(title); m != nil {
		words := strings.Fields(strings.ToUpper(m[1]))
		order = namedOrder[words[0]]
		for i, w := range words {
			words[i] = w[:1] + strings.ToLower(w[1:])
		}
		return strings.Join(words, " "), order, true
	}
	return "", 0, false
}
