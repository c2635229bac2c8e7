package begin

import (
	"slices"

	"loopwright/takeoff/words"
)

// device is one kind of device as the trade knows it, with neutral defaults.
// Currents, prices and hours are left to the user: they come from a listing. A new
// kind is one row here, and its words under one concept in takeoff/words/data/own.csv.
type device struct {
	concept    words.Concept
	Type, name string
	mounting   string
	addresses  int
	wiredTo    string
	isolates   bool
	points     [][2]string // function and event code
	endOfLine  int
	why        string // where the defaults come from
}

// Sources of the defaults.
const (
	eventSource  = "event code: ANSI/SIA DC-05-1999.09"
	heightPull   = "operable part 42-48 in: NFPA 72-2022, published quick reference on installation heights"
	heightVisual = "lens 80-96 in: NFPA 72-2022, published quick reference on installation heights"
	heightSound  = "top at least 90 in: NFPA 72-2022, published quick reference on installation heights"
	practice     = "common practice, no source"
)

// catalogue lists the usual devices; in the order in which a draft lists them.
var catalogue = []device{
	{concept: "device.duct", Type: "duct smoke", name: "Duct smoke detector", mounting: "ceiling", addresses: 1, wiredTo: "slc",
		points: [][2]string{{"duct smoke", "116"}}, why: eventSource},
	{concept: "device.sounder_base", Type: "sounder base", name: "Sounder base", mounting: "ceiling", wiredTo: "slc, power", why: practice},
	{concept: "device.co", Type: "co", name: "Carbon monoxide detector", mounting: "ceiling", addresses: 1, wiredTo: "slc",
		points: [][2]string{{"carbon monoxide", "162"}}, why: eventSource},
	{concept: "device.multi", Type: "multi-criteria", name: "Multi-criteria detector", mounting: "ceiling",
		addresses: 1, wiredTo: "slc", points: [][2]string{{"smoke", "111"}}, why: eventSource},
	{concept: "device.beam", Type: "beam smoke", name: "Beam smoke detector", mounting: "wall", addresses: 1, wiredTo: "slc", points: [][2]string{{"smoke", "111"}}, why: eventSource},
	{concept: "device.aspirating", Type: "air sampling", name: "Air-sampling smoke detector", mounting: "wall", addresses: 1, wiredTo: "slc, power",
		points: [][2]string{{"smoke", "111"}}, why: eventSource},
	{concept: "device.flame", Type: "flame", name: "Flame detector", mounting: "wall", addresses: 1, wiredTo: "slc", points: [][2]string{{"flame", "117"}}, why: eventSource},
	{concept: "device.heat", Type: "heat", name: "Heat detector", mounting: "ceiling", addresses: 1, wiredTo: "slc",
		points: [][2]string{{"heat", "114"}}, why: eventSource},
	{concept: "device.smoke", Type: "smoke", name: "Smoke detector", mounting: "ceiling", addresses: 1, wiredTo: "slc", points: [][2]string{{"smoke", "111"}}, why: eventSource},
	{concept: "device.callpoint", Type: "pull station", name: "Manual station", mounting: "46 in", addresses: 1, wiredTo: "slc", points: [][2]string{{"manual station", "115"}}, why: eventSource + "; " + heightPull},
	{concept: "device.waterflow", Type: "waterflow", name: "Input module, waterflow", mounting: "60 in", addresses: 1, wiredTo: "slc", endOfLine: 1,
		points: [][2]string{{"waterflow", "113"}}, why: eventSource + "; height and resistor: " + practice},
	{concept: "device.valve_tamper", Type: "tamper", name: "Input module, valve tamper", mounting: "60 in", addresses: 1,
		wiredTo: "slc", endOfLine: 1, points: [][2]string{{"valve tamper", "203"}}, why: eventSource + "; height and resistor: " + practice},
	{concept: "device.pressure_switch", Type: "low pressure", name: "Input module, low water pressure", mounting: "60 in", addresses: 1, wiredTo: "slc", endOfLine: 1,
		points: [][2]string{{"low water pressure", "201"}}, why: eventSource + "; height and resistor: " + practice},
	{concept: "device.isolator", Type: "isolator", name: "Short-circuit isolator", mounting: "ceiling", wiredTo: "slc", isolates: true, why: practice},
	{concept: "device.output_module", Type: "relay", name: "Output module, relay", mounting: "ceiling", addresses: 1, wiredTo: "slc",
		points: [][2]string{{"relay", "320"}}, why: eventSource},
	{concept: "device.input_module", Type: "input module", name: "Input module", mounting: "ceiling", addresses: 1, wiredTo: "slc", endOfLine: 1,
		points: [][2]string{{"input", "140"}}, why: eventSource + " (general alarm: give what it monitors)"},
	{concept: "device.speaker_strobe", Type: "speaker strobe", name: "Speaker strobe", mounting: "88 in", wiredTo: "nac", why: heightVisual},
	{concept: "device.sounder_strobe", Type: "horn strobe", name: "Horn strobe", mounting: "88 in", wiredTo: "nac", why: heightVisual},
	{concept: "device.strobe", Type: "strobe", name: "Strobe", mounting: "88 in", wiredTo: "nac", why: heightVisual},
	{concept: "device.speaker", Type: "speaker", name: "Speaker", mounting: "90 in", wiredTo: "nac", why: heightSound},
	{concept: "device.sounder", Type: "horn", name: "Horn", mounting: "90 in", wiredTo: "nac", why: heightSound},
	{concept: "device.bell", Type: "bell", name: "Bell", mounting: "90 in", wiredTo: "nac", why: heightSound},
	{concept: "device.fire_phone", Type: "phone", name: "Emergency phone", mounting: "46 in", addresses: 1, wiredTo: "slc", why: practice},
	{concept: "device.door_holder", Type: "door holder", name: "Door holder", mounting: "wall", wiredTo: "power", why: practice},
	{concept: "device.repeater", Type: "annunciator", name: "Annunciator", mounting: "60 in", wiredTo: "power", why: "controls and displays 15-72 in: NFPA 72-2022, published quick reference on installation heights"},
}

// Symbols that are places and no devices.
const (
	panelConcept = "device.panel"
	riserConcept = "place.riser"
)

// deviceOf is the usual device of a concept.
func deviceOf(c words.Concept) (device, bool) {
	i := slices.IndexFunc(catalogue, func(d device) bool { return d.concept == c })
	if i < 0 {
		return device{}, false
	}
	return catalogue[i], true
}

// named is a device that only its legend names: what it needs is the user's to say.
func named(text string) device {
	return device{Type: text, name: text, mounting: "ceiling", addresses: 1, wiredTo: "slc",
		why: "these words are not in the vocabulary: say how it is mounted, wired and addressed"}
}
