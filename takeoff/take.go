package takeoff

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"loopwright/takeoff/geom"
)

// Request is what to take off: the plans, the types to look for, and the
// symbols that are not devices but places.
type Request struct {
	Folder string // where relative paths of plans start
	Plans  []Plan
	Types  []DeviceType
	Panels []Landmark
	Risers []Landmark
}

// Landmark is a panel or a riser: found by its symbol, or set down at a place.
type Landmark struct {
	Name  string
	Match []Match
	Level string // of At; "" for every level
	At    *geom.Point
}

// Spot is a landmark as found.
type Spot struct {
	Name    string
	Level   string
	Pos     geom.Point // metres, building's frame
	At      geom.Point // drawing units
	Drawing string
	Handle  string
}

// Result is everything taken off the plans.
type Result struct {
	Levels   []Level // from the lowest up
	Rooms    []Room
	Devices  []Device // those that count and those that do not, in reading order
	Panels   []Spot
	Risers   []Spot
	Findings []Finding
}

// Take reads the plans and takes the devices off them. An error means that a
// plan cannot be read at all; everything else that a person must know is a
// finding in the result.
func Take(req Request) (Result, error) {
	t := taker{req: req, files: newFiles(req.Folder), hits: make([][]int, len(req.Types))}
	for i := range t.hits {
		t.hits[i] = make([]int, len(req.Types[i].Match))
	}
	defer t.files.close()
	if err := t.stackLevels(); err != nil {
		return Result{}, err
	}
	for i, p := range req.Plans {
		var err error
		if p.Devices != "" {
			err = t.takeCSV(i)
		} else {
			err = t.takeDrawing(i)
		}
		if err != nil {
			return Result{}, err
		}
	}
	t.placeLandmarks()
	t.dropDuplicates()
	t.nameDevices()
	t.unusedRules()
	SortFindings(t.res.Findings)
	return t.res, nil
}

// taker carries one takeoff through its plans.
type taker struct {
	req   Request
	files *files
	hits  [][]int // how often each rule of each type matched
	res   Result
	// sheetAt says which sheet of which level a plan became.
	sheetAt []sheetRef
}

type sheetRef struct{ level, sheet int }

func (t *taker) sheet(plan int) (*Level, *Sheet) {
	r := t.sheetAt[plan]
	l := &t.res.Levels[r.level]
	return l, &l.Sheets[r.sheet]
}

func (t *taker) find(f Finding) { t.res.Findings = append(t.res.Findings, f) }

// stackLevels makes the levels out of the plans, the lowest first, and opens
// every drawing to learn how it maps to the building.
func (t *taker) stackLevels() error {
	byName := map[string]int{}
	for _, p := range t.req.Plans {
		if _, ok := byName[p.Level]; !ok {
			byName[p.Level] = len(t.res.Levels)
			t.res.Levels = append(t.res.Levels, Level{Name: p.Level, Elevation: p.Elevation, Ceiling: p.Ceiling, CableHeight: p.CableHeight})
		}
	}
	slices.SortStableFunc(t.res.Levels, func(a, b Level) int { return cmp.Compare(a.Elevation, b.Elevation) })
	for i := range t.res.Levels {
		t.res.Levels[i].Index = i
		byName[t.res.Levels[i].Name] = i
	}
	for i, p := range t.req.Plans {
		s, err := t.openSheet(p)
		if err != nil {
			return err
		}
		l := &t.res.Levels[byName[p.Level]]
		t.sheetAt = append(t.sheetAt, sheetRef{byName[p.Level], len(l.Sheets)})
		l.Sheets = append(l.Sheets, s)
		_ = i
	}
	return nil
}

// openSheet works out a plan's units and its place in the building.
func (t *taker) openSheet(p Plan) (Sheet, error) {
	s := Sheet{Plan: p, Units: p.Units, UnitsFrom: "job"}
	if p.Drawing != "" {
		d, err := t.files.open(p.Drawing)
		if err != nil {
			return s, err
		}
		t.fileFindings(p.Drawing, d)
		if s.Units == "" {
			s.Units, s.UnitsFrom = d.Units().Name, "header"
		}
	}
	m, err := MetresPer(s.Units)
	if err != nil {
		name := cmp.Or(p.Drawing, p.Devices)
		if s.Units == "" {
			return s, fmt.Errorf("%s does not say in which units it is drawn: give units in its row under plans", name)
		}
		return s, fmt.Errorf("%s: %w", name, err)
	}
	s.MetrePer = m
	s.ToBuilding = toBuilding(p, m)
	return s, nil
}

// toBuilding maps drawing units to metres with the datum at the origin and the plan turned back.
func toBuilding(p Plan, metres float64) geom.Affine {
	tr := geom.Identity()
	if p.Datum != nil {
		tr = tr.Then(geom.Shift(p.Datum.Mul(-1)))
	}
	if p.Turned != nil {
		tr = tr.Then(geom.Rotation(-*p.Turned))
	}
	return tr.Then(geom.Scaling(metres, metres))
}

// nameDevices puts the devices into reading order, level by level, and gives each its id.
func (t *taker) nameDevices() {
	at := map[string]int{}
	for i, l := range t.res.Levels {
		at[l.Name] = i
	}
	ds := t.res.Devices
	slices.SortStableFunc(ds, func(a, b Device) int {
		return cmp.Or(
			cmp.Compare(at[a.Level], at[b.Level]),
			cmp.Compare(row(b.Pos), row(a.Pos)), // top of the sheet first
			cmp.Compare(a.Pos.X, b.Pos.X),
			cmp.Compare(b.Pos.Y, a.Pos.Y),
			cmp.Compare(a.Type, b.Type),
			cmp.Compare(a.Drawing, b.Drawing),
			cmp.Compare(a.Handle, b.Handle))
	})
	taken := map[string]bool{}
	for _, d := range ds {
		taken[d.ID] = true
	}
	n := map[string]int{}
	for i := range ds {
		for ds[i].ID == "" {
			n[ds[i].Level]++
			if id := fmt.Sprintf("L%d-%03d", at[ds[i].Level]+1, n[ds[i].Level]); !taken[id] {
				ds[i].ID = id
			}
		}
	}
}

// rowHeight is how far apart in metres two devices may lie and still be read as one row.
const rowHeight = 3.0

func row(p geom.Point) float64 {
	r := p.Y / rowHeight
	if r < 0 {
		r-- // truncation rounds towards zero; rows must not meet there
	}
	return float64(int(r))
}

// unusedRules reports rules that matched nothing: most often a misspelt name.
func (t *taker) unusedRules() {
	for i, ty := range t.req.Types {
		for k, n := range t.hits[i] {
			if n == 0 {
				t.find(Finding{Code: CodeUnusedRule, Severity: Warning,
					Message: fmt.Sprintf("type %s: rule %d (%s) matched nothing: check its spelling, or take it out", ty.Type, k+1, ty.Match[k])})
			}
		}
	}
}

// path makes a plan's path relative to the job's folder usable.
func (f *files) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(f.folder, name)
}
