package takeoff

import (
	"regexp"
	"strings"
)

// How layers and blocks are named.
var (
	doorWords   = regexp.MustCompile(`(?i)DOOR|(^|[^A-Z])DR([^A-Z]|$)|PUERTA|PORTE|PORTA|(^|[^A-Z])TÜ?R([^A-Z]|$)|ДВЕР`)
	windowWords = regexp.MustCompile(`(?i)WINDOW|(^|[^A-Z])WIN[-_ ]?\d|(^|[^A-Z])WDW|SLDR|SLIDER|VENTANA|FENSTER|ОКН`)
	// wallWords take in the glazing that closes gaps in walls; wallNot is what
	// layers of walls carry too and bounds nothing.
	wallWords       = regexp.MustCompile(`(?i)WALL|GLAZ|MURS?\b|MURO|PARED|PARET|WAND\b|WÄND|WAEND|MAUER|СТЕН|CURTAIN|PARTITION`)
	wallNot         = regexp.MustCompile(`(?i)PATT|HATCH|SCHRAFF|FILL|IDEN|ANNO|TEXT|DIM|ABOV|OVHD|DEMO|CASE|CLNG|FURN|TAG|MARK|BEMASS`)
	alarmWords      = regexp.MustCompile(`FIRE|(^|[^A-Z])FA([^A-Z]|$)|ALARM|ALRM|DETEC`)
	demolitionWords = regexp.MustCompile(`(?i)DEMO(L|$|[^A-Z])|REMOV`)
	existingWords   = regexp.MustCompile(`(?i)EXST|EXIST|(^|[^A-Z])EX([^A-Z]|$)`)
	roomPlaceWords  = regexp.MustCompile(`(?i)ROOM|(^|[^A-Z])RMS?([^A-Z]|$)|RTAG|SPACE|AREA|RAUM|LOCAL(E|ES)?([^A-Z]|$)|ПОМЕЩ|SALA`)
)

// isDoor reports whether a block or layer is named as one of doors.
func isDoor(name string) bool { return doorWords.MatchString(Unbound(name)) }

// isWindow reports whether a block or layer is named as one of windows.
func isWindow(name string) bool { return windowWords.MatchString(Unbound(name)) }

// isWall reports whether a layer is named as one of walls.
func isWall(layer string) bool {
	n := Unbound(layer)
	return wallWords.MatchString(n) && !wallNot.MatchString(n)
}

// IsAlarm reports whether a layer is named as one of fire alarm work.
func IsAlarm(layer string) bool { return alarmWords.MatchString(strings.ToUpper(Unbound(layer))) }

// isDemolition reports whether a layer is named as one of what is to be removed.
func isDemolition(layer string) bool { return demolitionWords.MatchString(Unbound(layer)) }

// isExisting reports whether a layer is named as one of what stands already.
func isExisting(layer string) bool { return existingWords.MatchString(Unbound(layer)) }

// isRoomPlace reports whether a block or layer is named as one of room names.
func isRoomPlace(name string) bool { return roomPlaceWords.MatchString(Unbound(name)) }
