package compare

import (
	"cmp"
	"math"
	"slices"

	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
)

// Report is the outcome of a comparison, as written with --json. Lengths are metres.
type Report struct {
	Old      string            `json:"old"`
	New      string            `json:"new"`
	Changes  []Change          `json:"changes"`
	Shifts   []Shift           `json:"shifts"`
	Types    []TypeChange      `json:"types"`
	Cables   []CableChange     `json:"cables"`
	Bid      *Bid              `json:"bid,omitempty"`         // of two jobs
	Again    []Again           `json:"print_again,omitempty"` // of two jobs
	Findings []takeoff.Finding `json:"findings"`
	Outputs  []string          `json:"outputs"`
	// Sums are the SHA-256 sums of the outputs but changes.json, by name.
	Sums map[string]string `json:"sha256,omitempty"`

	marks []mark
	names map[string]string // of types that have one
}

// Again is a circuit some of whose devices need a new label and a new line on the
// switch sheets.
type Again struct {
	Circuit string   `json:"circuit"`
	Devices []string `json:"devices"`
}

// Shift is a plan that was turned about the origin and moved as a whole: no device
// of it moved for that.
type Shift struct {
	Level   string     `json:"level"`
	Drawing string     `json:"drawing"`
	Turn    float64    `json:"turned_deg,omitempty"` // counterclockwise
	By      [2]float64 `json:"by_m"`
}

// TypeChange is how many of a type there were and are, and what one costs.
type TypeChange struct {
	Type     string  `json:"type"`
	Old      int     `json:"old"`
	New      int     `json:"new"`
	Material float64 `json:"material,omitempty"`
	Hours    float64 `json:"hours,omitempty"`
}

// CableChange is how much of a cable must be ordered, before and after.
type CableChange struct {
	Cable   string  `json:"cable"`
	Old     float64 `json:"old_m"` // length along the route with slack
	New     float64 `json:"new_m"`
	Order   float64 `json:"old_order_m"` // with waste, in whole reels
	Reorder float64 `json:"new_order_m"`
	Price   float64 `json:"price_per_m,omitempty"`
}

// Bid is what the change costs: prices and hours of the new job, for both.
type Bid struct {
	Currency string `json:"currency,omitempty"`
	Material Sum    `json:"material"`
	Cable    Sum    `json:"cable"`
	Hours    Sum    `json:"hours"`
	Labor    Sum    `json:"labor"`
	Total    Sum    `json:"total"`
}

// Sum is one figure of a bid before and after.
type Sum struct {
	Old  float64 `json:"old"`
	New  float64 `json:"new"`
	Diff float64 `json:"difference"`
}

// sum rounds to cents, and the difference is that of the figures shown.
func sum(old, fresh float64) Sum {
	a, b := cents(old), cents(fresh)
	return Sum{a, b, cents(b - a)}
}

func cents(v float64) float64 { return math.Round(v*100)/100 + 0 }

// Compare sets two revisions against each other.
func Compare(old, fresh Side) Report {
	r := Report{Old: old.file, New: fresh.file, Changes: []Change{}, Shifts: []Shift{}, Cables: []CableChange{}, Findings: []takeoff.Finding{}, Outputs: []string{}}
	cs, shifts := changes(old, fresh)
	r.Changes = append(r.Changes, cs...)
	for _, s := range shifts {
		r.Shifts = append(r.Shifts, Shift{s.Level, s.Sheet, s.Turn, *at(s.By)})
	}
	r.names = names(old, fresh)
	r.Types = types(old, fresh)
	if old.job != nil {
		r.Cables = append(r.Cables, cables(old, fresh)...)
		r.Bid = bid(r, fresh)
		r.Again = again(old, fresh)
	}
	r.marks = marks(fresh, cs, r.named)
	r.Findings = append(r.Findings, doubts(old, fresh)...)
	return r
}

// names are what the types are called, as the new job has it where both do.
func names(sides ...Side) map[string]string {
	out := map[string]string{}
	for _, s := range sides {
		if s.job == nil {
			continue
		}
		for _, t := range s.job.Types {
			if t.Name != "" {
				out[t.Type] = t.Name
			}
		}
	}
	return out
}

// named is what a type is called.
func (r Report) named(typ string) string { return cmp.Or(r.names[typ], typ) }

// again lists the devices whose papers have to be printed again, by circuit.
func again(old, fresh Side) []Again {
	changed := fresh.out.Again(old.out.Ledger())
	var out []Again
	for _, c := range fresh.out.Circuits {
		a := Again{Circuit: c.Name}
		for _, id := range c.Devices {
			if changed[id] {
				a.Devices = append(a.Devices, id)
			}
		}
		if len(a.Devices) > 0 {
			out = append(out, a)
		}
	}
	return out
}

// doubts are the errors in reading or counting one of the revisions: what a
// drawing that is cut off has lost is no change of the plans.
func doubts(old, fresh Side) []takeoff.Finding {
	var out []takeoff.Finding
	for _, s := range []Side{old, fresh} {
		for _, f := range s.take.Findings {
			if f.Severity == takeoff.Error {
				out = append(out, finding(f.Code, f.Severity, f.Drawing, "in "+s.file+": "+f.Message))
			}
		}
		if s.file == fresh.file {
			break // a revision against itself
		}
	}
	return out
}

// types counts both revisions by type, in the order of the new job's types, those that only the old one has last.
func types(old, fresh Side) []TypeChange {
	out := []TypeChange{}
	at := func(t string) *TypeChange {
		i := slices.IndexFunc(out, func(c TypeChange) bool { return c.Type == t })
		if i < 0 {
			out = append(out, TypeChange{Type: t})
			i = len(out) - 1
		}
		return &out[i]
	}
	for _, s := range []Side{fresh, old} { // the new job's prices hold where it has the type
		if s.job == nil {
			continue
		}
		for _, t := range s.job.Types {
			if !slices.ContainsFunc(out, func(c TypeChange) bool { return c.Type == t.Type }) {
				*at(t.Type) = TypeChange{Type: t.Type, Material: t.Material, Hours: t.Hours}
			}
		}
	}
	for _, d := range counted(old) {
		at(d.Type).Old++
	}
	for _, d := range counted(fresh) {
		at(d.Type).New++
	}
	return slices.DeleteFunc(out, func(c TypeChange) bool { return c.Old == 0 && c.New == 0 })
}

func cables(old, fresh Side) []CableChange {
	var out []CableChange
	at := func(name string) *CableChange {
		i := slices.IndexFunc(out, func(c CableChange) bool { return c.Cable == name })
		if i < 0 {
			out = append(out, CableChange{Cable: name})
			i = len(out) - 1
		}
		return &out[i]
	}
	for _, s := range []Side{old, fresh} {
		for _, k := range s.job.Cables {
			at(k.Cable).Price = k.Price
		}
	}
	for _, c := range result.Of(old.out, nil).Cables {
		k := at(c.Cable)
		k.Old, k.Order = tidy(c.Length+c.Slack), c.Order
	}
	for _, c := range result.Of(fresh.out, nil).Cables {
		k := at(c.Cable)
		k.New, k.Reorder = tidy(c.Length+c.Slack), c.Order
	}
	return out
}

func bid(r Report, fresh Side) *Bid {
	var m, c, h [2]float64
	for _, t := range r.Types {
		m[0] += float64(t.Old) * t.Material
		m[1] += float64(t.New) * t.Material
		h[0] += float64(t.Old) * t.Hours
		h[1] += float64(t.New) * t.Hours
	}
	for _, k := range r.Cables {
		c[0] += k.Order * k.Price
		c[1] += k.Reorder * k.Price
	}
	rate := fresh.job.Labor
	return &Bid{Currency: fresh.job.Currency, Material: sum(m[0], m[1]), Cable: sum(c[0], c[1]), Hours: sum(h[0], h[1]),
		Labor: sum(h[0]*rate, h[1]*rate), Total: sum(m[0]+c[0]+h[0]*rate, m[1]+c[1]+h[1]*rate)}
}

// finding puts a finding of this package's own into the report's form.
func finding(code string, s takeoff.Severity, drawing, message string) takeoff.Finding {
	return takeoff.Finding{Code: code, Severity: s, Message: message, Drawing: drawing}
}
