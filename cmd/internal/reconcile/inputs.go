package reconcile

import (
	"strconv"
	"strings"

	"loopwright/assign/sheet"
)

// expectInput fills in what a module's own circuit must read, if that is what
// the end names: the resistor, and as much wire as the module allows.
func (m *merger) expectInput(x *metered) {
	at := strings.LastIndex(x.End, " ")
	if at < 0 {
		return
	}
	n, err := strconv.Atoi(x.End[at+1:])
	if err != nil {
		return
	}
	id, ok := strings.CutSuffix(x.End, sheet.InputEnd("", n))
	s := m.at[id]
	if !ok || s == nil || s.Circuit != x.Circuit {
		return
	}
	for _, in := range m.outcome.Inputs() {
		if in.Type == s.Type && n >= 1 && n <= in.Each {
			x.place, x.input = true, true
			if in.EndOfLine > 0 && in.MaxOhm > 0 {
				x.at20, x.hot = in.EndOfLine, in.EndOfLine+in.MaxOhm
			}
		}
	}
}
