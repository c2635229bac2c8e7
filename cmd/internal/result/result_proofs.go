package result

// Branch is the loop from the panel to one end of a circuit, as a meter reads it
// with the conductors shorted there.
type Branch struct {
	End    string  `json:"end"` // the panel for the return terminals of class A and X
	Length float64 `json:"length_m"`
	Series float64 `json:"series_ohm,omitempty"` // devices passed
	Ohm    float64 `json:"ohm"`                  // at the temperature of the job
	Ohm20  float64 `json:"ohm_20c"`
}

// Step is one thing along a circuit: a device, or an isolator to be added.
type Step struct {
	Device string    `json:"device,omitempty"`
	Add    *Isolator `json:"add_isolator,omitempty"`
}

// CapacitanceProof is the capacitance of all cable of a circuit.
type CapacitanceProof struct {
	Value  float64 `json:"uf"`
	Limit  float64 `json:"limit_uf"`
	Passes bool    `json:"passes"`
}

// InputProof is how long the cable of the own input circuits of a device type may be.
type InputProof struct {
	Type      string        `json:"type"`
	Devices   int           `json:"devices"`
	MaxOhm    float64       `json:"max_ohm,omitempty"`         // of the wire, both conductors; none if not given
	EndOfLine float64       `json:"end_of_line_ohm,omitempty"` // a meter at the module reads this and the wire; none if not given
	Source    string        `json:"source"`
	Lengths   []InputLength `json:"lengths"`
}

// InputLength is the longest one-way cable of an input circuit with one of the job's cables.
type InputLength struct {
	Cable     string  `json:"cable"`
	Conductor string  `json:"conductor"`
	OneWay    float64 `json:"one_way_m"`
	Basis     string  `json:"basis"`
}
