package words

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
	wallWords      = regexp.MustCompile(`(?i)WALL|GLAZ|MURS?\b|MURO|PARED|PARET|WAND\b|WÄND|WAEND|MAUER|СТЕН|CURTAIN|PARTITION`)
	wallNot        = regexp.MustCompile(`(?i)PATT|HATCH|SCHRAFF|FILL|IDEN|ANNO|TEXT|DIM|ABOV|OVHD|DEMO|CASE|CLNG|FURN|TAG|MARK|BEMASS`)
	alarmWords     = regexp.MustCompile(`FIRE|(^|[^A-Z])FA([^A-Z]|$)|ALARM|ALRM|DETEC`)
	wiringWords    = regexp.MustCompile(`(?i)WIR(E|ING)|CIRC|(^|[^A-Z])CKT|CABLE|CONDUIT`)
	roomPlaceWords = regexp.MustCompile(`(?i)ROOM|(^|[^A-Z])RMS?([^A-Z]|$)|RTAG|SPACE|AREA|RAUM|LOCAL(E|ES)?([^A-Z]|$)|ПОМЕЩ|SALA`)
)

// IsDoor reports whether a block or layer is named as one of doors.
func IsDoor(name string) bool { return doorWords.MatchString(Unbound(name)) }

// IsWindow reports whether a block or layer is named as one of windows.
func IsWindow(name string) bool { return windowWords.MatchString(Unbound(name)) }

// IsWall reports whether a layer is named as one of walls.
func IsWall(layer string) bool {
	n := Unbound(layer)
	return wallWords.MatchString(n) && !wallNot.MatchString(n)
}

// IsAlarm reports whether a layer is named as one of fire alarm work, in any language.
func IsAlarm(layer string) bool { return isAlarm(layer) }

var isAlarm = Remembered(func(layer string) bool {
	name := Unbound(layer)
	if alarmWords.MatchString(strings.ToUpper(name)) {
		return true
	}
	for _, r := range Usual().ReadName(name, nil, "draw") {
		if r.Concept == "draw.fire_alarm_layer" && !r.Second() {
			return true
		}
	}
	return false
})

// IsWiring reports whether a layer is named as one of the wiring of fire alarm work.
func IsWiring(layer string) bool {
	return IsAlarm(layer) && wiringWords.MatchString(Unbound(layer)) && !wallNot.MatchString(Unbound(layer))
}

// IsRoomPlace reports whether a block or layer is named as one of room names.
func IsRoomPlace(name string) bool { return roomPlaceWords.MatchString(Unbound(name)) }
