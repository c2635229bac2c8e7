package begin

import (
	"regexp"
	"strings"
)

// device is one kind of device as the trade knows it, with neutral defaults.
// Currents, prices and hours are left to the user: they come from a listing.
type device struct {
	Type, Name string
	// Words is looked for in the text of a legend, Block in the name of a block.
	Words, Block *regexp.Regexp
	Not          *regexp.Regexp // words that mean something else
	Mounting     string
	Addresses    int
	WiredTo      string
	Isolates     bool
	Points       [][2]string // function and event code
	EndOfLine    int
	Why          string // where the defaults come from
}

func re(s string) *regexp.Regexp { return regexp.MustCompile(`(?i)` + s) }

// part makes a pattern that finds one of some abbreviations standing alone in a block's name.
func part(s string) *regexp.Regexp { return re(`(^|[^A-Z])(` + s + `)([^A-Z]|$)`) }

// Sources of the defaults.
const (
	eventSource  = "event code: ANSI/SIA DC-05-1999.09"
	heightPull   = "operable part 42-48 in: NFPA 72-2022, published quick reference on installation heights"
	heightVisual = "lens 80-96 in: NFPA 72-2022, published quick reference on installation heights"
	heightSound  = "top at least 90 in: NFPA 72-2022, published quick reference on installation heights"
	practice     = "common practice, no source"
)

// catalogue lists the usual devices; the first that fits wins, so that those
// whose words hold another's stand before it.
var catalogue = []device{
	{Type: "duct smoke", Name: "Duct smoke detector", Words: re(`\bDUCT\b`), Block: part(`DUCT\w*|DSD|DD`), Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"duct smoke", "116"}}, Why: eventSource},
	{Type: "sounder base", Name: "Sounder base", Words: re(`\bSOUNDER BASE|BASE WITH SOUNDER`), Block: part(`BASE|SBASE|SNDBASE`), Mounting: "ceiling", WiredTo: "slc, power", Why: practice},
	{Type: "co", Name: "Carbon monoxide detector", Words: re(`CARBON MONOXIDE|\bCO (DETECTOR|ALARM)`), Block: part(`CO|COD`), Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"carbon monoxide", "162"}}, Why: eventSource},
	{Type: "multi-criteria", Name: "Multi-criteria detector", Words: re(`MULTI.?(SENSOR|CRITERIA)|SMOKE\W+(AND\W+)?HEAT|COMBINATION (SMOKE|DETECTOR)`), Block: part(`MULTI\w*`), Mounting: "ceiling",
		Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Type: "beam smoke", Name: "Beam smoke detector", Words: re(`\bBEAM\b`), Block: part(`BEAM\w*`), Mounting: "wall", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Type: "air sampling", Name: "Air-sampling smoke detector", Words: re(`AIR.?SAMPLING|ASPIRAT`), Block: part(`ASD|ASPIR\w*`), Mounting: "wall", Addresses: 1, WiredTo: "slc, power",
		Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Type: "flame", Name: "Flame detector", Words: re(`\bFLAME\b`), Block: part(`FLAME\w*`), Mounting: "wall", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"flame", "117"}}, Why: eventSource},
	{Type: "heat", Name: "Heat detector", Words: re(`\bHEAT\b|\bTHERMAL DET`), Not: re(`HEAT (TRACE|PUMP|EXCH)`), Block: part(`HEAT\w*|HD|HTD`), Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"heat", "114"}}, Why: eventSource},
	{Type: "smoke", Name: "Smoke detector", Words: re(`\bSMOKE\b|PHOTOELECTRIC|IONI[SZ]ATION`), Not: re(`DAMPER|BARRIER|EXHAUST|CONTROL|VENT`), Block: part(`SMK\w*|SMOKE\w*|SD|PSD`),
		Mounting: "ceiling", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"smoke", "111"}}, Why: eventSource},
	{Type: "pull station", Name: "Manual station", Words: re(`MANUAL (FIRE ALARM )?(PULL |)?(STATION|BOX|CALL)|PULL STATION|CALL POINT|BREAK.?GLASS`), Block: part(`PULL\w*|MPS|MCP|PS|FPS`),
		Mounting: "46 in", Addresses: 1, WiredTo: "slc", Points: [][2]string{{"manual station", "115"}}, Why: eventSource + "; " + heightPull},
	{Type: "waterflow", Name: "Input module, waterflow", Words: re(`WATER ?FLOW|FLOW SWITCH`), Block: part(`WF|WFS|FLOW\w*`), Mounting: "60 in", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"waterflow", "113"}}, Why: eventSource + "; height and resistor: " + practice},
	{Type: "tamper", Name: "Input module, valve tamper", Words: re(`TAMPER|VALVE SUPERV|SUPERVIS\w* (CONTROL )?VALVE|GATE VALVE`), Block: part(`TS|TAMP\w*|VS|VTS`), Mounting: "60 in", Addresses: 1,
		WiredTo: "slc", EndOfLine: 1, Points: [][2]string{{"valve tamper", "203"}}, Why: eventSource + "; height and resistor: " + practice},
	{Type: "low pressure", Name: "Input module, low water pressure", Words: re(`PRESSURE SWITCH|LOW (WATER |AIR )?PRESSURE`), Block: part(`LPS|LAP`), Mounting: "60 in", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"low water pressure", "201"}}, Why: eventSource + "; height and resistor: " + practice},
	{Type: "isolator", Name: "Short-circuit isolator", Words: re(`ISOLAT`), Block: part(`ISO\w*`), Mounting: "ceiling", WiredTo: "slc", Isolates: true, Why: practice},
	{Type: "relay", Name: "Output module, relay", Words: re(`\bRELAY\b|OUTPUT MODULE|CONTROL MODULE`), Block: part(`RLY|RELAY\w*|CM|CTRL|CTL`), Mounting: "ceiling", Addresses: 1, WiredTo: "slc",
		Points: [][2]string{{"relay", "320"}}, Why: eventSource},
	{Type: "input module", Name: "Input module", Words: re(`INPUT MODULE|MONITOR MODULE|ZONE MODULE`), Block: part(`MM|MON\w*`), Mounting: "ceiling", Addresses: 1, WiredTo: "slc", EndOfLine: 1,
		Points: [][2]string{{"input", "140"}}, Why: eventSource + " (general alarm: give what it monitors)"},
	{Type: "speaker strobe", Name: "Speaker strobe", Words: re(`SPEAKER\W{0,3}(AND |WITH |\w* )?(STROBE|VISUAL)`), Block: part(`SPKST\w*|SPS|SPKS|SP(EA)?KE?R?[^A-Z]?STR\w*`), Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Type: "horn strobe", Name: "Horn strobe", Words: re(`(HORN|AUDI\w*)\W{0,3}(AND |WITH )?(STROBE|VISUAL|VISIBLE)`), Block: part(`HS|HST|HNST\w*|AV|HORN[^A-Z]?STR\w*`), Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Type: "strobe", Name: "Strobe", Words: re(`STROBE|VISUAL (ALARM|APPL|NOTIF|SIGNAL|DEVICE)|VISIBLE`), Block: part(`STB|STR\w*|STROBE\w*|VIS`), Mounting: "88 in", WiredTo: "nac", Why: heightVisual},
	{Type: "speaker", Name: "Speaker", Words: re(`SPEAKER`), Block: part(`SPK\w*|SPEAKER\w*`), Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Type: "horn", Name: "Horn", Words: re(`\bHORN\b|\bSOUNDER\b|AUDIBLE`), Block: part(`HORN\w*|SNDR\w*`), Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Type: "bell", Name: "Bell", Words: re(`\bBELL\b|\bGONG\b|\bCHIME\b`), Block: part(`BELL\w*|CHIME\w*`), Mounting: "90 in", WiredTo: "nac", Why: heightSound},
	{Type: "phone", Name: "Emergency phone", Words: re(`(TELE)?PHONE`), Block: part(`FFT|FFP`), Mounting: "46 in", Addresses: 1, WiredTo: "slc", Why: practice},
	{Type: "door holder", Name: "Door holder", Words: re(`DOOR HOLD|MAGNETIC (DOOR )?HOLD`), Block: part(`DH|DOORHOLD\w*`), Mounting: "wall", WiredTo: "power", Why: practice},
	{Type: "annunciator", Name: "Annunciator", Words: re(`ANNUNCIATOR`), Block: part(`ANN|FAA|FAAP|RAP`), Mounting: "60 in", WiredTo: "power", Why: "controls and displays 15-72 in: NFPA 72-2022, published quick reference on installation heights"},
}

// Symbols that are places and no devices.
var (
	panelWords = re(`(FIRE ALARM )?CONTROL (PANEL|UNIT)\b|\bFACP\b|\bFACU\b`)
	panelBlock = part(`FACP|FACU`)
	riserWords = re(`CABLE RISER|\bRISER\b`)
	riserBlock = part(`RISER`)
	notRiser   = re(`DIAGRAM|SPRINKLER|STANDPIPE|VALVE`)
	abbrevRest = regexp.MustCompile(`[0-9]+$`)
)

// byWords finds the device that a text of a legend names.
func byWords(text string) (device, bool) {
	for _, d := range catalogue {
		if d.Words.MatchString(text) && (d.Not == nil || !d.Not.MatchString(text)) {
			return d, true
		}
	}
	return device{}, false
}

// byBlock finds the device that a block's name abbreviates.
func byBlock(name string) (device, bool) {
	name = abbrevRest.ReplaceAllString(strings.ToUpper(name), "")
	for _, d := range catalogue {
		if d.Block.MatchString(name) && (d.Not == nil || !d.Not.MatchString(name)) {
			return d, true
		}
	}
	return device{}, false
}
