package takeoff

// The codes of findings about the takeoff.
const (
	CodeUnexplained  = "F201" // a symbol on a layer that the rules look at, which no rule explains
	CodeUnusedRule   = "F202" // a rule that matched nothing
	CodeExcluded     = "F203" // symbols left out, by reason
	CodeNoRoom       = "F204" // a device in no room
	CodeNearby       = "F205" // two of a type closer than a symbol's size
	CodeLandmark     = "F206" // a panel or riser that was not found, or found more than once
	CodeMostlyHidden = "F207" // most of a type's symbols are on hidden layers
	CodeUnits        = "F208" // units that do not fit what is drawn
	CodeTurned       = "F209" // a plan that was found to be turned
	CodeSeveral      = "F210" // a plan that seems to show more than one level
	CodeRegion       = "F211" // symbols that seem to stand in a key plan or detail
	CodeFigure       = "F212" // a figure that resembles a sample, or a sample that is none
	CodeStatus       = "F213" // symbols left out as demolition, existing or by others
	CodeLegend       = "F214" // symbols that count and may be the samples of a legend
	CodeUnseen       = "F215" // symbols that count and show nothing
	CodeNothing      = "F216" // nothing counts at all
)
