package job

// Figure is a price or a number of hours that a job file may leave open. What is
// not known is flagged in the bid; it is never taken for zero.
type Figure struct {
	V     float64
	Known bool
}

// Cost is what one piece costs in material and time.
type Cost struct {
	Material Figure // price of one
	Hours    Figure // labor for one
}

// Box is a kind of box, under the name by which types ask for it.
type Box struct {
	Box string
	Cost
}

// Conduit says how much cable runs in conduit and what that costs.
type Conduit struct {
	Share  float64 // fraction of the measured length; 0 for none
	Cables int     // cables in one run
	Sizes  []ConduitSize
}

// ConduitSize is one trade size of EMT.
type ConduitSize struct {
	Size  string
	Price Figure // per metre
	Hours Figure // per metre
}

// conduitSizes are the trade sizes that the bid knows, the smallest first.
var conduitSizes = []string{"1/2", "3/4", "1", "1-1/4", "1-1/2", "2"}

// Acceptance is the time that testing takes.
type Acceptance struct {
	Hours       Figure // with the authority, records included
	DeviceHours Figure // for each device that counts, besides
}

// Item is whatever else is in the bid.
type Item struct {
	Item  string
	Name  string  // what it is, in more words; "" for none
	Count float64 // how many
	Cost
}

// Bid holds what is added to the sum of the parts, as fractions; what is not
// known is not added.
type Bid struct {
	Sundries    Figure // of material, for what no count shows
	Tax         Figure // of material and sundries
	Contingency Figure // of material, tax and labor
	Overhead    Figure // of the same with contingency
	Profit      Figure // of the same with overhead
}
