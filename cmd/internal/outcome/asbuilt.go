package outcome

import "loopwright/assign/ledger"

// AsBuilt is what the ledger keeps of what the site says about a device.
type AsBuilt struct {
	Installed bool
	Exchange  bool   // it is installed as another type than is drawn
	Found     string // address found; several between semicolons where sources contradict
	Serial    string
	Done      string
	Remark    string
}

// ToExchange is what sheets and page say of a device that is installed as another type.
const ToExchange = "EXCHANGE: another type is installed"

// AsBuilt returns what the ledger says of a device so far.
func (o *Outcome) AsBuilt(id string) AsBuilt {
	r := o.memory.Rows[id]
	return AsBuilt{r.State == ledger.Installed, r.State == ledger.Exchange, r.Found, r.Serial, r.Done, r.Remark}
}

// SetAsBuilt changes what the ledger will say of a device. Addresses given are
// not touched: whoever wants a found one to hold writes it into the ledger.
func (o *Outcome) SetAsBuilt(id string, a AsBuilt) {
	r := o.memory.Rows[id]
	r.Found, r.Serial, r.Done, r.Remark = a.Found, a.Serial, a.Done, a.Remark
	switch {
	case a.Installed:
		r.State = ledger.Installed
	case r.State != ledger.Exchange:
		r.State = ledger.Planned
	}
	o.memory.Rows[id] = r
}
