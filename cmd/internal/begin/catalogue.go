package begin

import (
	"slices"

	"loopwright/takeoff/words"
)

// device is one kind of device as the trade knows it, with neutral defaults.
// Currents, prices and hours are left to the user: they come from a listing. A new
// kind is one row here, and its words under one concept in takeoff/words/data/own.csv.
type device struct {
	Concept    words.Concept
	Type, Name string
	Mounting   string
	Addresses  int
	WiredTo    string
	Isolates   bool
	Points     [][2]string // function and event code
	EndOfLine  int
	Why        string // where the defaults come from
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
	{Concept: "device.duct", Type: "duct smoke", Name: "Duct smoke detector", Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"duct smoke", "116"}}, Why: eventSource},
	{Concept: "device.sounder_base", Type: "sounder base", Name: "Sounder base", Mounting: "ceiling", WiredTo: "slc, power", Why: practice},
	{Concept: "device.co", Type: "co", Name: "Carbon monoxide detector", Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"carbon monoxide", "162"}}, Why: eventSource},
	{Concept: "device.multi", Type: "multi-criteria", Name: "Multi-criteria detector", Mounting: "ceiling",
		Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Concept: "device.beam", Type: "beam smoke", Name: "Beam smoke detector", Mounting: "wall", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Concept: "device.aspirating", Type: "air sampling", Name: "Air-sampling smoke detector", Mounting: "wall", Addresses: 1, WiredTo: "slc, power",
		Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Concept: "device.flame", Type: "flame", Name: "Flame detector", Mounting: "wall", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"flame", "117"}}, Why: eventSource},
	{Concept: "device.heat", Type: "heat", Name: "Heat detector", Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"heat", "114"}}, Why: eventSource},
	{Concept: "device.smoke", Type: "smoke", Name: "Smoke detector", Mounting: "ceiling", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Concept: "device.callpoint", Type: "pull station", Name: "Manual station", Mounting: "46 in", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"manual station", "115"}}, Why: eventSource + "; " + heightPull},
	{Concept: "device.waterflow", Type: "waterflow", Name: "Input module, waterflow", Mounting: "60 in", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"waterflow", "113"}}, Why: eventSource + "; height and resistor: " + practice},
	{Concept: "device.valve_tamper", Type: "tamper", Name: "Input module, valve tamper", Mounting: "60 in", Addresses: 1,
		WiredTo: "slc", EndOfLine: 1, Points: [][2]string{{"valve tamper", "203"}}, Why: eventSource + "; height and resistor: " + practice},
	{Concept: "device.pressure_switch", Type: "low pressure", Name: "Input module, low water pressure", Mounting: "60 in", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"low water pressure", "201"}}, Why: eventSource + "; height and resistor: " + practice},
	{Concept: "device.isolator", Type: "isolator", Name: "Short-circuit isolator", Mounting: "ceiling", WiredTo: "slc", Isolates: true, Why: practice},
	{Concept: "device.output_module", Type: "relay", Name: "Output module, relay", Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"relay", "320"}}, Why: eventSource},
	{Concept: "device.input_module", Type: "input module", Name: "Input module", Mounting: "ceiling", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"input", "140"}}, Why: eventSource + " (general alarm: give what it monitors)"},
	{Concept: "device.speaker_strobe", Type: "speaker strobe", Name: "Speaker strobe", Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Concept: "device.sounder_strobe", Type: "horn strobe", Name: "Horn strobe", Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Concept: "device.strobe", Type: "strobe", Name: "Strobe", Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Concept: "device.speaker", Type: "speaker", Name: "Speaker", Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Concept: "device.sounder", Type: "horn", Name: "Horn", Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Concept: "device.bell", Type: "bell", Name: "Bell", Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Concept: "device.fire_phone", Type: "phone", Name: "Emergency phone", Mounting: "46 in", Addresses: 1, WiredTo: "slc", Why: practice},
	{Concept: "device.door_holder", Type: "door holder", Name: "Door holder", Mounting: "wall", WiredTo: "power", Why: practice},
	{Concept: "device.repeater", Type: "annunciator", Name: "Annunciator", Mounting: "60 in", WiredTo: "power", Why: "controls and displays 15-72 in: NFPA 72-2022, published quick reference on installation heights"},
}

// Symbols that are places and no devices.
const (
	panelConcept = "device.panel"
	riserConcept = "place.riser"
)

// deviceOf is the usual device of a concept.
func deviceOf(c words.Concept) (device, bool) {
	i := slices.IndexFunc(catalogue, func(d device) bool { return d.Concept == c })
	if i < 0 {
		return device{}, false
	}
	return catalogue[i], true
}

// named is a device that only its legend names: what it needs is the user's to say.
func named(text string) device {
	return device{Type: text, Name: text, Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Why: "these words are not in the vocabulary: say how it is mounted, wired and addressed"}
}
