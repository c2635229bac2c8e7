// Package paper makes the documents that go on site, as PDF: switch sheets,
// labels, test sheets and plans. It gathers what an outcome says about them as
// plain values; package sheet draws those and knows no routes.
package paper

import (
	"fmt"
	"os"
	"slices"

	"loopwright/assign"
	"loopwright/assign/sheet"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/program"
	"loopwright/route"
	"loopwright/takeoff"
	"loopwright/takeoff/parallel"
)

// File is one document.
type File struct {
	Name string
	PDF  []byte
}

// Documents draws every document of a job, and says what a person must know
// about them. They are drawn side by side, those that take longest first.
func Documents(o *outcome.Outcome) ([]File, []takeoff.Finding, error) {
	b, err := newBinder(o)
	if err != nil {
		return nil, nil, err
	}
	names := []string{"switch-sheets.pdf", "labels.pdf", "test-sheet.pdf", "plans.pdf"}
	draw := []func() (sheet.Document, error){b.switchSheets, b.labels, b.testSheet, b.plans}
	docs, errs := make([]sheet.Document, len(names)), make([]error, len(names))
	longestFirst := []int{3, 0, 1, 2}
	parallel.For(len(draw), func(k int) { i := longestFirst[k]; docs[i], errs[i] = draw[i]() })
	for i, err := range errs {
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", names[i], err)
		}
	}
	var files []File
	var fs []takeoff.Finding
	for i, doc := range docs {
		files = append(files, File{names[i], doc.PDF})
		for _, f := range doc.Findings {
			f.Message = names[i] + ": " + f.Message
			fs = append(fs, f)
		}
	}
	return files, fs, nil
}

// Again draws the switch sheets and labels of the devices whose papers have changed
// since an earlier ledger, in a folder of their own; none where nothing has, or nobody asked.
func Again(o *outcome.Outcome) ([]File, error) {
	if len(o.PrintAgain) == 0 {
		return nil, nil
	}
	b, err := newBinder(o)
	if err != nil {
		return nil, err
	}
	b.only = o.PrintAgain
	switches, err := b.switchSheets()
	if err != nil {
		return nil, err
	}
	labels, err := b.labels()
	return []File{{"print-again/switch-sheets.pdf", switches.PDF}, {"print-again/labels.pdf", labels.PDF}}, err
}

// binder holds a job's values by their names.
type binder struct {
	*outcome.Outcome
	job    sheet.Job
	types  map[string]job.Type
	device map[string]assign.Numbered
	only   map[string]bool // the devices to be printed; nil for all
}

// prints reports whether a device is to be printed.
func (b *binder) prints(id string) bool { return b.only == nil || b.only[id] }

func newBinder(o *outcome.Outcome) (*binder, error) {
	b := &binder{Outcome: o, types: map[string]job.Type{}, device: make(map[string]assign.Numbered, len(o.Devices)),
		job: sheet.Job{Name: o.Job.Name, Revision: o.Job.Revision, Date: o.Job.Date, Units: o.Job.Report, Program: program.Name()}}
	for _, t := range o.Job.Types {
		b.types[t.Type] = t
	}
	for _, d := range o.Devices {
		b.device[d.ID] = d
	}
	var err error
	b.job.Font, err = Font(o.Job)
	return b, err
}

// Font reads the font that a job names for letters which the built-in one lacks;
// nil for none. One that cannot be used is an error with its place in the job file.
func Font(j *job.Job) (*sheet.Font, error) {
	if j.Font == "" {
		return nil, nil
	}
	data, err := os.ReadFile(j.Resolve(j.Font))
	if err != nil {
		return nil, j.Complain("font", "the font cannot be read: %v", err)
	}
	f := &sheet.Font{Name: j.Font, Data: data}
	if err := f.Check(); err != nil {
		return nil, j.Complain("font", "%v", err)
	}
	return f, nil
}

// typeName is what a type is called on paper.
func (b *binder) typeName(typ string) string {
	if t, ok := b.types[typ]; ok && t.Name != "" {
		return t.Name
	}
	return typ
}

func (b *binder) switchSheets() (sheet.Document, error) {
	var cs []sheet.Circuit
	for _, c := range b.Circuits {
		if s := b.circuit(c); b.only == nil || len(s.Rows) > 0 {
			cs = append(cs, s)
		}
	}
	return sheet.SwitchSheets(b.job, cs, sheet.SwitchOptions{})
}

func (b *binder) circuit(l outcome.Laid) sheet.Circuit {
	c := sheet.Circuit{Name: l.Name, Kind: l.Kind, Panel: l.Panel, Pathway: string(l.Pathway), Cable: l.Cable.Name}
	if l.Kind == takeoff.SLC {
		c.Scheme = l.Addressing.Scheme
	}
	in, out := b.neighbors(l)
	order, adds := 0, 0
	for _, step := range l.Walk(l.Survival.Added) {
		if step.Device == "" {
			if adds++; b.only == nil {
				c.Rows = append(c.Rows, b.toAdd(step.Add, adds))
			}
			continue
		}
		id := step.Device
		if order++; !b.prints(id) {
			continue
		}
		d := b.device[id]
		t := b.types[d.Type]
		r := sheet.Row{Order: order, ID: id, Type: b.typeName(d.Type), Level: d.Level, Room: d.Place(),
			Isolates: t.Isolates, EndOfLine: t.EndOfLine, EndOfLineOhm: t.EndOfLineOhm, In: in[id], Out: out[id]}
		if d.Circuit == l.Name {
			b.addressed(&r, d, t, l)
		} else if d.Circuit != "" {
			r.Note = fmt.Sprintf("its place in the walk of %s: %d", d.Circuit, d.Order)
		}
		c.Rows = append(c.Rows, r)
	}
	return c
}

// toAdd is the row of an isolator that no plan shows.
func (b *binder) toAdd(a route.Isolator, n int) sheet.Row {
	return sheet.Row{ID: fmt.Sprintf("to add %d", n), Type: "Isolator TO ADD, not on the drawing", Level: a.Level, Room: b.device[a.Beside].Room, Isolates: true,
		Note: fmt.Sprintf("beside %s, on the cable between %s and %s", a.Beside, a.From, a.To)}
}

// addressed fills in what a device has on the circuit that numbers it.
func (b *binder) addressed(r *sheet.Row, d assign.Numbered, t job.Type, l outcome.Laid) {
	r.Address, r.Span, r.Setting, r.Points = d.Address, d.Span, d.Switches, d.Points
	r.Options = assign.OptionSettings(t.DeviceType, t.Inputs)
	if t.Addresses > 0 && d.Address == 0 && l.Kind == takeoff.SLC {
		r.Note = "NO ADDRESS LEFT on this circuit"
	}
	if len(d.Also) > 0 {
		r.Note = "also on " + join(d.Also)
	}
	if b.AsBuilt(d.ID).Exchange {
		r.Note = join(slices.DeleteFunc([]string{outcome.ToExchange, r.Note}, func(n string) bool { return n == "" }))
	}
}

// neighbors returns where the cables of each device come from and go to.
func (b *binder) neighbors(l outcome.Laid) (in, out map[string][]sheet.Neighbor) {
	in, out = map[string][]sheet.Neighbor{}, map[string][]sheet.Neighbor{}
	for _, g := range l.Legs {
		end := func(name string) sheet.Neighbor {
			n := sheet.Neighbor{Name: name, Length: g.Length, Return: g.Return}
			if d, ok := b.device[name]; ok && d.Circuit == l.Name {
				n.Address = d.Address
			}
			return n
		}
		in[g.To] = append(in[g.To], end(g.From))
		out[g.From] = append(out[g.From], end(g.To))
	}
	return in, out
}

func join(names []string) string {
	names = slices.Clone(names)
	slices.Sort(names)
	s := ""
	for i, n := range names {
		if i > 0 {
			s += ", "
		}
		s += n
	}
	return s
}
