package takeoff

// Caution stands under everything that the program prints and draws.
const Caution = "An aid, not an approval: the adopted code, the equipment's listing, the authority having jurisdiction and licensed practice govern."

// CautionLong stands in the workbook, which people estimate and order from.
const CautionLong = "Counts, lengths, addresses and checks are computed from the drawings as read and from the settings listed in this workbook. " +
	"They are an aid to estimating and drafting, not an engineered design and not an approval. The adopted code edition, the equipment's listing " +
	"and instructions, and the authority having jurisdiction govern. A qualified person must verify quantities, pathway class, isolation, " +
	"resistance, voltage drop, batteries and addresses before anything is ordered, submitted or installed. " +
	"Acceptance tests and records remain required. There is no warranty."
