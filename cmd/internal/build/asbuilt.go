package build

import (
	"slices"
	"strings"

	"loopwright/assign/ledger"
	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/drafting"
	"loopwright/takeoff"
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

// asBuiltLayers stands before the kind in the names of the layers that found
// addresses stand on.
const asBuiltLayers = "ASBT-{kind}"

// AsBuiltPlans writes texts, by device, onto layers of their own in a copy of
// every drawing that shows one of the devices. A drawing that cannot be edited
// is a finding.
func (o *Outcome) AsBuiltPlans(texts map[string]string) ([]Output, []takeoff.Finding) {
	w := drafting.Work{Job: o.Job, Take: o.Take, Devices: o.Devices}
	var outs []Output
	var fs []takeoff.Finding
	taken := map[string]bool{}
	for _, name := range w.Drawings() {
		file := PlanName(name, taken)
		a, err := o.asBuiltPlan(w, name, texts)
		if err != nil {
			fs = append(fs, drafting.Refused(name, err))
			continue
		}
		fs = append(fs, a.Findings...)
		if len(a.Bytes) > 0 {
			outs = append(outs, Output{file, a.Bytes})
		}
	}
	return outs, fs
}

// asBuiltPlan is one drawing with nothing of ours but the texts; no bytes if it
// shows none of the devices.
func (o *Outcome) asBuiltPlan(w drafting.Work, name string, texts map[string]string) (drafting.Annotated, error) {
	s, err := w.Sheet(name)
	if err != nil {
		return drafting.Annotated{}, err
	}
	s.Layers = strings.ReplaceAll(s.Layers, "{kind}", asBuiltLayers)
	s.Attribute, s.Schedule, s.Riser = "", nil, nil
	for i := range s.Views {
		s.Views[i].Routes = nil
	}
	var marks []drafting.Mark
	for _, m := range s.Marks {
		if m.Text = texts[m.ID]; m.Text != "" {
			m.Kind = drafting.Address
			marks = append(marks, m)
		}
	}
	if s.Marks = marks; len(marks) == 0 {
		return drafting.Annotated{}, nil
	}
	d, err := dxf.Open(o.Job.Resolve(name))
	if err != nil {
		return drafting.Annotated{}, err
	}
	defer d.Close()
	return drafting.Annotate(d, s)
}

// WriteWithLedger is WriteAll with the ledger beside the job file among the files
// and what the job is read from among the inputs.
func (o *Outcome) WriteWithLedger(dir, record string, outs []Output, inputs []string) (said []string, err error) {
	s, err := commit.Open(dir, LedgerPath(o.Job), BeforePath(o.Job))
	if err != nil {
		return nil, err
	}
	defer s.Close()
	files, err := placed(dir, outs)
	if err != nil {
		return nil, err
	}
	more, said := readEarlier(dir, record).spare(dir, files)
	return said, o.commit(s, append(files, more...), slices.Concat(inputs, Inputs(o.Job)))
}
