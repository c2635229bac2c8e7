package build

import (
	"fmt"
	"strings"

	"loopwright/assign/ledger"
	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/drafting"
	"loopwright/takeoff/dxf"
)

// AsBuilt is what the ledger keeps of what the site says about a device.
type AsBuilt struct {
	Installed bool
	Found     string // address found; several between semicolons where sources contradict
	Serial    string
	Done      string
	Remark    string
}

// AsBuilt returns what the ledger says of a device so far.
func (o *Outcome) AsBuilt(id string) AsBuilt {
	r := o.memory.Rows[id]
	return AsBuilt{r.State == ledger.Installed, r.Found, r.Serial, r.Done, r.Remark}
}

// SetAsBuilt changes what the ledger will say of a device. Addresses given are
// not touched: whoever wants a found one to hold writes it into the ledger.
func (o *Outcome) SetAsBuilt(id string, a AsBuilt) {
	r := o.memory.Rows[id]
	r.Found, r.Serial, r.Done, r.Remark = a.Found, a.Serial, a.Done, a.Remark
	r.State = ledger.Planned
	if a.Installed {
		r.State = ledger.Installed
	}
	o.memory.Rows[id] = r
}

// asBuiltKind is the kind of layer that found addresses stand on.
const asBuiltKind = "ASBUILT"

// AsBuiltPlans writes texts, by device, onto a layer of their own in a copy of
// every drawing that shows one of the devices.
func (o *Outcome) AsBuiltPlans(texts map[string]string) ([]Output, error) {
	var outs []Output
	taken := map[string]bool{}
	for _, name := range o.drawings() {
		file := "plans/" + unique(planName(name), taken)
		s := o.sheetFor(name)
		s.Layers = strings.ReplaceAll(s.Layers, "{kind}", asBuiltKind)
		s.Marks = nil
		for _, d := range o.Devices {
			if t := texts[d.ID]; t != "" && d.Drawing == name {
				s.Marks = append(s.Marks, drafting.Mark{ID: d.ID, Text: t, At: d.At, Symbol: d.Symbol, Handle: d.Handle})
			}
		}
		if len(s.Marks) == 0 {
			continue
		}
		data, err := o.annotated(name, s)
		if err != nil {
			return nil, err
		}
		outs = append(outs, Output{file, data})
	}
	return outs, nil
}

func (o *Outcome) annotated(name string, s drafting.Sheet) ([]byte, error) {
	d, err := dxf.Open(o.Job.Resolve(name))
	if err != nil {
		return nil, err
	}
	defer d.Close()
	data, fs, err := drafting.Annotate(d, s)
	if err != nil {
		return nil, fmt.Errorf("as-built layer on %s: %w", name, err)
	}
	o.Findings = append(o.Findings, fs...)
	return data, nil
}

// WriteWithLedger writes outputs into dir and the ledger beside the job file,
// all or none.
func (o *Outcome) WriteWithLedger(dir string, outs []Output) error {
	s, err := commit.Open(dir, LedgerPath(o.Job))
	if err != nil {
		return err
	}
	defer s.Close()
	return o.write(s, dir, outs)
}
