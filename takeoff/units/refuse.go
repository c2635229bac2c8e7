package units

import (
	"fmt"
	"strings"

	"loopwright/takeoff/measure"
)

// Refuse returns an error unless the header's units can be believed for a level
// on a drawing.
func (u Fit) Refuse(drawing, level string) error {
	_, unknown := measure.MetresPer(u.Header)
	doubts := u.Doubts(u.Header)
	var why string
	switch {
	case u.From != "header":
		why = "the drawing does not say what units it is in"
	case unknown != nil:
		why = fmt.Sprintf("the header says %s, which no building is drawn in", u.Header)
	case len(doubts) > 0:
		why = fmt.Sprintf("the header says %s, but then %s", u.Header, strings.Join(doubts, " and "))
	default:
		return nil
	}
	if u.Best == "" {
		return fmt.Errorf("plan %s (%s): %s; nothing else on it tells: measure something and write units: in (or ft, mm, cm, m) in its row under plans", drawing, level, why)
	}
	if u.Best == u.Header {
		return fmt.Errorf("plan %s (%s): %s; if that is right, as for a site of several buildings, write units: %s in its row under plans",
			drawing, level, why, u.Header)
	}
	if r := u.Rivals(); len(r) > 0 {
		why += fmt.Sprintf("; %s would fit too", strings.Join(r, " or "))
	}
	return fmt.Errorf("plan %s (%s): %s; units: %s would make %s; if that is right, write units: %s in its row under plans", drawing, level, why, u.Best, u.Sizes(u.Best), u.Best)
}
