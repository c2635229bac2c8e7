// Package result is what a job comes to as others read it: result.json, the
// tables of check, and what an earlier run noted of the files that it wrote.
package result

import (
	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/recognize"
)

// format is the number of the form of result.json. It grows when a key changes its
// meaning or goes; keys that are added leave it as it is.
const format = 1

// Result is what a job comes to, in the form of result.json. Lengths are
// metres, resistances ohms, currents amperes, whatever units people read.
type Result struct {
	Format  int             `json:"format"`  // Format, of this file
	Program string          `json:"program"` // that made it, with its version
	Job     string          `json:"job"`
	Devices []Device        `json:"devices"`
	Counts  []takeoff.Count `json:"counts"`
	// Account says what became of each figure of each drawing; its sums close.
	Account  []recognize.AccountRow `json:"account,omitempty"`
	Circuits []Circuit              `json:"circuits"`
	Cables   []CableOrder           `json:"cables"`
	Battery  []BatteryProof         `json:"batteries"`
	Inputs   []InputProof           `json:"input_circuits,omitempty"`
	Levels   []Level                `json:"levels"`
	Findings []takeoff.Finding      `json:"findings"`
	Weights  Weights                `json:"route_weights"`
	Defaults []Default              `json:"defaults"`
	Outputs  []string               `json:"outputs"`

	// Sums are the SHA-256 sums of the outputs but result.json, by name.
	Sums map[string]string `json:"sha256,omitempty"`

	// Since tells what has changed since the run that wrote the ledger. It is a
	// message of this run: a second run has nothing to tell, and the same result.
	Since []string `json:"-"`
	// Kept tells what was done to files that an earlier run had left in the
	// folder. It is a message of this run too.
	Kept []string `json:"-"`
}

// Device is one symbol with all that was decided about it.
type Device struct {
	ID       string                 `json:"id"`
	Type     string                 `json:"type"`
	Level    string                 `json:"level"`
	Room     string                 `json:"room"`
	Status   takeoff.Status         `json:"status"`
	Reason   takeoff.Reason         `json:"reason"`
	Drawing  string                 `json:"drawing"`
	Handle   string                 `json:"handle"`
	Block    string                 `json:"block,omitempty"`
	Layer    string                 `json:"layer,omitempty"`
	X        float64                `json:"x"`
	Y        float64                `json:"y"`
	XM       float64                `json:"x_m"`
	YM       float64                `json:"y_m"`
	Circuit  string                 `json:"circuit"`
	Also     []string               `json:"also,omitempty"`
	Order    int                    `json:"order"`
	Address  int                    `json:"address"`
	Span     int                    `json:"addresses,omitempty"`
	Points   []assign.NumberedPoint `json:"points"`
	Switches *assign.Setting        `json:"switches,omitempty"`
	Options  []assign.OptionSetting `json:"options,omitempty"`
}

// Circuit is one circuit as laid and proved.
type Circuit struct {
	Circuit         string  `json:"circuit"`
	Kind            string  `json:"kind"`
	Panel           string  `json:"panel"`
	Pathway         string  `json:"pathway"`
	Cable           string  `json:"cable"`
	Marking         string  `json:"cable_marking,omitempty"` // this and the next are data of the job, printed and not judged
	Survivability   string  `json:"survivability,omitempty"`
	Devices         int     `json:"devices"`
	AddressesUsed   int     `json:"addresses_used"`
	AddressCapacity int     `json:"address_capacity"`
	Length          float64 `json:"length_m"` // the sum of the legs: along the route, drops and rises
	Outgoing        float64 `json:"outgoing_m"`
	Return          float64 `json:"return_m"`
	Slack           float64 `json:"slack_m"` // allowances at devices and panel, on top of the length
	OrderCable      float64 `json:"order_cable_m"`
	LowerBound      float64 `json:"lower_bound_m,omitempty"` // no route measured in this way is shorter
	Proved          bool    `json:"shortest,omitempty"`      // the order is proved to be the shortest
	Turns           int     `json:"turns"`
	Walls           *int    `json:"walls_crossed,omitempty"` // none where the way ignores walls
	LevelChanges    int     `json:"level_changes"`
	LoopOhm         float64 `json:"loop_ohm"`
	WorstBranchOhm  float64 `json:"worst_branch_ohm"`
	WorstBranch     string  `json:"worst_branch,omitempty"`
	LimitOhm        float64 `json:"limit_ohm,omitempty"`
	Left            float64 `json:"cable_left_m,omitempty"` // cable that may be added before the limit; negative: too long by this much
	OhmBasis        string  `json:"ohm_basis"`
	Judged          bool    `json:"judged"`                            // false where a figure is blank without which the circuit is not judged
	Passes          bool    `json:"passes"`                            // judged, and no limit is broken: as drawn
	Verdict         string  `json:"verdict"`                           // as drawn: passes, FAILS or not proved
	VerdictWith     string  `json:"verdict_with_isolators,omitempty"`  // with the isolators to add, where there are any
	OhmWith         float64 `json:"loop_ohm_with_isolators,omitempty"` // once these are in, where their resistance is known
	Wire            string  `json:"wire"`                              // the verdict on the wire alone
	Legs            []Leg   `json:"legs"`

	Branches []Branch `json:"branches"`
	Walk     []Step   `json:"walk,omitempty"` // devices and isolators to add, where there are any to add

	SmallestConductor string            `json:"smallest_conductor,omitempty"` // that passes, of the same family
	Capacitance       *CapacitanceProof `json:"capacitance,omitempty"`
	Isolators         *Isolators        `json:"isolators,omitempty"`
	Power             *PowerProof       `json:"power,omitempty"`
	Together          float64           `json:"return_beside_m,omitempty"`   // metres over which two stretches of the loop lie side by side
	Meetings          []Meeting         `json:"beside,omitempty"`            // where, by level
	Shaft             float64           `json:"return_in_shaft_m,omitempty"` // metres of a riser that holds both
}

// Isolators is what single shorts cost a signaling line circuit, and the
// isolators that bring it within its limits.
type Isolators struct {
	OnPlan       int        `json:"on_plan"`
	Segment      int        `json:"segment_devices"`                // between two isolators at most, as drawn
	SegmentWith  int        `json:"segment_devices_with,omitempty"` // with those to add
	LimitSegment int        `json:"limit_segment_devices,omitempty"`
	Add          []Isolator `json:"add"`
	WorstShort   Loss       `json:"worst_short"`      // with those on the plans
	WorstWith    Loss       `json:"worst_short_with"` // with those to add
	WorstOpen    Loss       `json:"worst_open"`
	LimitDevices int        `json:"limit_devices,omitempty"`
	LimitZones   int        `json:"limit_zones,omitempty"`
	OneZone      bool       `json:"one_zone"`    // limit_zones is 1
	Passes       bool       `json:"passes"`      // with those on the plans
	PassesWith   bool       `json:"passes_with"` // with those to add
}

// Meeting is what of a loop lies side by side on one level.
type Meeting struct {
	Level   string  `json:"level"`
	Length  float64 `json:"length_m"`
	Devices int     `json:"devices"` // that one event there takes, at most
	X       float64 `json:"x_m"`
	Y       float64 `json:"y_m"`
}

// Isolator is one to add: on a leg, beside a device or the panel.
type Isolator struct {
	Beside string `json:"beside"`
	From   string `json:"from"`
	To     string `json:"to"`
}

// Loss is what one fault on a leg costs.
type Loss struct {
	From    string `json:"from"`
	To      string `json:"to"`
	Devices int    `json:"devices"`
	Zones   int    `json:"zones,omitempty"`
}

// PowerProof is current and voltage of an appliance or 24 V circuit, each in the
// state of the system in which it is worse.
type PowerProof struct {
	State     string  `json:"state"` // standby or alarm: the one that asks most of the circuit
	Current   float64 `json:"current_a"`
	Allowed   float64 `json:"allowed_a,omitempty"`
	Start     float64 `json:"start_v,omitempty"`
	Minimum   float64 `json:"minimum_v,omitempty"`
	Lowest    float64 `json:"lowest_v,omitempty"`
	LowestAt  string  `json:"lowest_at,omitempty"`
	Lumped    float64 `json:"lumped_v,omitempty"` // at the last device by the lumped method, which is the harder one
	CurrentOK bool    `json:"current_passes"`     // these three are false, too, where nothing is given to judge by
	VoltageOK bool    `json:"voltage_passes"`
	LumpedOK  bool    `json:"lumped_passes"`
	Blank     bool    `json:"blank,omitempty"` // a device's current is not given

	Currents []StateCurrent `json:"currents"` // in every state that is judged
}

// StateCurrent is what a circuit draws in one state of the system.
type StateCurrent struct {
	State   string  `json:"state"`
	Current float64 `json:"current_a"`
}

// BatteryProof is the standby battery of one panel.
type BatteryProof struct {
	Panel    string   `json:"panel"`
	Standby  float64  `json:"standby_ah"`
	Alarm    float64  `json:"alarm_ah"`
	Factor   float64  `json:"factor"`
	Required float64  `json:"required_ah"`
	Size     float64  `json:"size_ah"` // next published size; 0 while a current is blank or where none is enough
	Basis    string   `json:"basis"`
	Blank    []string `json:"blank,omitempty"`

	Supply *SupplyProof `json:"supply,omitempty"` // of a panel with appliance or power circuits
}

// SupplyProof is what the appliance and power circuits of a panel draw together.
type SupplyProof struct {
	Rating  float64 `json:"rating_a,omitempty"` // not there if not given: nothing is judged then
	Standby float64 `json:"standby_a"`
	Alarm   float64 `json:"alarm_a"`
	Verdict string  `json:"verdict"`
}

// Leg is the cable between two neighbours.
type Leg struct {
	From       string  `json:"from"`
	To         string  `json:"to"`
	Length     float64 `json:"length_m"`
	Horizontal float64 `json:"horizontal_m"`
	Drop       float64 `json:"drop_m"`
	Rise       float64 `json:"rise_m,omitempty"`
	Slack      float64 `json:"slack_m,omitempty"`
	Crossings  int     `json:"walls_crossed,omitempty"`
	Return     bool    `json:"return,omitempty"`
	OpenLoses  int     `json:"open_loses,omitempty"`  // devices that an open here loses; slc
	ShortLoses int     `json:"short_loses,omitempty"` // devices that a short here loses, with the isolators drawn; slc
	ShortZones int     `json:"short_zones,omitempty"`
	Via        string  `json:"via"`
	Note       string  `json:"note,omitempty"`
}

// CableOrder is how much of one cable to order.
type CableOrder struct {
	Cable    string  `json:"cable"`
	Length   float64 `json:"length_m"`
	Slack    float64 `json:"slack_m"`
	Waste    float64 `json:"waste_m"`
	Order    float64 `json:"order_m"` // rounded up to whole reels where the job gives a reel
	Reels    int     `json:"reels,omitempty"`
	ReelSize float64 `json:"reel_m,omitempty"`
}

// Level is one storey, with its size as a person would check it.
type Level struct {
	Level     string  `json:"level"`
	Elevation float64 `json:"elevation_m"`
	Ceiling   float64 `json:"ceiling_m"`
	Drawings  []Sheet `json:"drawings"`
}

// Sheet is one drawing of a level and its units.
type Sheet struct {
	Drawing   string `json:"drawing"`
	Units     string `json:"units"`
	UnitsFrom string `json:"units_from"`
}

// Default is a value that the program supplied where the job file says nothing.
type Default struct {
	Path  string `json:"path"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// Weights are the detours in metres that the routes would make to avoid a thing.
type Weights struct {
	Along       string  `json:"along"`
	Wall        float64 `json:"wall_m"`
	RatedWall   float64 `json:"rated_wall_m"`
	LevelChange float64 `json:"level_change_m"`
	Corridor    float64 `json:"corridor"` // share that a metre there costs less
	Near        float64 `json:"near"`     // share by which a route may be longer if it turns and crosses less
}
