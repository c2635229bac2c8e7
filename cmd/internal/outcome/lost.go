package outcome

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopwright/assign/ledger"
	"loopwright/takeoff"
	"loopwright/takeoff/where"
)

// Known is what a command knows of earlier runs beside the ledger.
type Known struct {
	Result string // path of the result.json of the last build; "" if there is none to look at
	Forget int    // how many addresses a person gives up
	Since  string // path of an earlier ledger, since which papers are printed again; "" for none
}

// Lost is why a run stops that would give up addresses which nobody has given up.
type Lost struct {
	error
	Devices []any // that hold them: as result.json told of them, or as rows of the ledger
}

// Unwrap returns the error alone, with the ledger as its place.
func (l *Lost) Unwrap() error { return l.error }

func lostIn(file string, devices []any, format string, args ...any) error {
	return &Lost{where.In(file, fmt.Errorf(format, args...)), devices}
}

// given is a device as result.json tells of it.
type given struct {
	as json.RawMessage

	ID      string         `json:"id"`
	Status  takeoff.Status `json:"status"`
	Circuit string         `json:"circuit"`
	Address int            `json:"address"`
}

// lost compares the ledger with the count of its rows and with the last result. What
// is missing is an error unless a person gives up just that many; left is what that
// number leaves over.
func (o *Outcome) lost(l ledger.Ledger, missing int, known Known) (left int, err error) {
	gone, err := o.notInLedger(l, known.Result)
	if err != nil {
		return 0, err
	}
	n := max(missing, len(gone))
	if n == 0 || known.Forget >= n {
		return known.Forget - n, nil
	}
	file := LedgerPath(o.Job)
	var what []string
	if missing > 0 {
		what = append(what, fmt.Sprintf("has lost %d of the rows that it counts", missing))
	}
	if len(gone) > 0 {
		what = append(what, fmt.Sprintf("lacks %d addresses that %s gave, first %s, %s address %d", len(gone), known.Result, gone[0].ID, gone[0].Circuit, gone[0].Address))
	}
	var devices []any
	for _, g := range gone {
		devices = append(devices, g.as)
	}
	return 0, lostIn(file, devices, "%s %s; restore it from version control or a copy%s, or give them up: --forget %d (nothing was written)", file, strings.Join(what, " and "), o.keptCopy(), n)
}

// keptCopy names the ledger of the issue before, if there is one.
func (o *Outcome) keptCopy() string {
	if _, err := os.Stat(BeforePath(o.Job)); err != nil {
		return ""
	}
	return fmt.Sprintf(" (%s has it as it was before the drawings last changed)", filepath.Base(BeforePath(o.Job)))
}

// notInLedger lists the devices of the last result whose address has no row any more.
// A result that cannot be read, or of another job, tells nothing.
func (o *Outcome) notInLedger(l ledger.Ledger, file string) ([]given, error) {
	if file == "" {
		return nil, nil
	}
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var was struct {
		Job     string            `json:"job"`
		Devices []json.RawMessage `json:"devices"`
	}
	if json.Unmarshal(data, &was) != nil || was.Job != o.Job.Name {
		return nil, nil
	}
	type held struct {
		circuit string
		address int
	}
	ids, addresses := map[string]bool{}, map[held]bool{}
	for _, r := range l.Rows {
		ids[r.ID], addresses[held{r.Circuit, r.Address}] = true, true
	}
	var gone []given
	for _, raw := range was.Devices {
		d := given{as: raw}
		if json.Unmarshal(raw, &d) != nil || d.Status != takeoff.Counted || d.Address == 0 || ids[d.ID] || addresses[held{d.Circuit, d.Address}] {
			continue
		}
		gone = append(gone, d)
	}
	return gone, nil
}

// Of the devices of a ledger, three in four that are nowhere on the drawings, and eight
// at least, are no revision: the plan is another one, or stands otherwise. Both are ours.
const (
	another = 0.75
	fewGone = 8
)

// replaced stops a run that would retire nearly every row of the ledger, unless a
// person gives up just that many. Their addresses are free then.
func (o *Outcome) replaced(l ledger.Ledger, forget int) error {
	rows, addresses, first, devices := 0, 0, "", []any{}
	for _, r := range o.memory.Gone {
		if !slices.Contains(o.memory.Changes.Gone, r.ID) {
			continue
		}
		rows++
		devices = append(devices, map[string]any{"id": r.ID, "type": r.Type, "level": r.Level, "status": r.State, "circuit": r.Circuit, "address": r.Address, "x_m": r.X, "y_m": r.Y})
		if r.Address > 0 {
			if addresses++; first == "" {
				first = fmt.Sprintf("%s, %s address %d", r.ID, r.Circuit, r.Address)
			}
		}
	}
	was := rows + len(o.memory.Rows) - len(o.memory.Changes.Returned)
	if rows < fewGone || float64(rows) < another*float64(was) || addresses == 0 {
		if forget > 0 {
			return fmt.Errorf("--forget names %d more than are lost: correct the number, or leave it out", forget)
		}
		return nil
	}
	if forget != addresses {
		file := LedgerPath(o.Job)
		return lostIn(file, devices, "%s: %d of its %d devices are nowhere on the drawings (first %s), so nearly every address would be new; check drawing, units, datum and turned under plans; for a plan that is new, give the addresses up: --forget %d (nothing was written)", file, rows, was, first, addresses)
	}
	o.memory.Give(o.memory.Changes.Gone)
	return nil
}
