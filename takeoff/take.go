package takeoff

import (
	"cmp"
	"fmt"
	"slices"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// Request is what to take off: the plans, the types to look for, and the
// symbols that are not devices but places.
type Request struct {
	Folder string // where relative paths of plans start
	Plans  []Plan
	Types  []DeviceType
	Panels []Landmark
	Risers []Landmark
	Units  measure.System // in which findings give lengths
	Words  []words.Row    // the job's own, besides the usual ones
}

// Landmark is a panel or a riser: found by its symbol, or set down at a place.
type Landmark struct {
	Name  string
	Match []words.Match
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
	Account  []recognize.AccountRow // what became of each figure of each drawing
	Findings []Finding

	missing []missing // panels that were not found
}

// Take reads the plans and takes the devices off them. An error means that a
// plan cannot be read at all or that its units are unknown; everything else that a
// person must know is a finding in the result.
func Take(req Request) (Result, error) {
	files, err := openScenes(req)
	if err != nil {
		return Result{}, err
	}
	defer files.close()
	t := taker{req: req, files: files, badUnits: map[int]bool{}, storeys: map[*Sheet]geom.Box{}, deviceBlocks: map[string]bool{}}
	if err := t.stackLevels(); err != nil {
		return Result{}, err
	}
	if err := t.readPlans(); err != nil {
		return Result{}, err
	}
	t.fileFindings()
	t.placeLandmarks()
	t.doubtPlaces()
	t.dropDuplicates()
	t.nameDevices()
	t.account()
	t.report()
	SortFindings(t.res.Findings)
	return t.res, nil
}

// taker carries one takeoff through its plans.
type taker struct {
	req          Request
	files        *scenes
	rules        []rule
	tallies      []tally             // by rule
	aside        []aside             // symbols of panels and risers that are left out
	badUnits     map[int]bool        // plans whose units cannot be right
	deviceBlocks map[string]bool     // blocks, as stored, that a rule takes for a device
	storeys      map[*Sheet]geom.Box // by sheet: storeyBox
	res          Result
	// sheetAt says which sheet of which level a plan became.
	sheetAt []sheetRef
	marks   []mark
}

type sheetRef struct{ level, sheet int }

func (t *taker) sheet(plan int) (*Level, *Sheet) {
	r := t.sheetAt[plan]
	l := &t.res.Levels[r.level]
	return l, &l.Sheets[r.sheet]
}

func (t *taker) find(f Finding) { t.res.Findings = append(t.res.Findings, f) }

// readPlans takes the devices off every plan, several at a time, and puts the
// yields together in the job's order.
func (t *taker) readPlans() error {
	t.rules = rulesOf(t.req.Types)
	t.tallies = make([]tally, len(t.rules))
	figures, notes := t.sampleFigures()
	t.res.Findings = append(t.res.Findings, notes...)
	yields := make([]yield, len(t.req.Plans))
	errs := make([]error, len(t.req.Plans))
	readers := make([]*reader, len(t.req.Plans)) // nil where devices come as a list
	parallel.For(len(t.req.Plans), func(i int) {
		if t.req.Plans[i].Devices != "" {
			yields[i], errs[i] = t.takeCSV(i)
		} else {
			readers[i] = newReader(t, i, figures)
			yields[i] = readers[i].take()
		}
	})
	for i, y := range yields {
		if errs[i] != nil {
			return errs[i]
		}
		t.res.Devices = append(t.res.Devices, y.devices...)
		t.res.Panels = append(t.res.Panels, y.panels...)
		t.res.Risers = append(t.res.Risers, y.risers...)
		t.aside = append(t.aside, y.aside...)
		t.res.Findings = append(t.res.Findings, y.findings...)
		t.marks = append(t.marks, y.marks...)
		for k := range y.tallies {
			t.tallies[k].add(y.tallies[k])
		}
	}
	t.placeInRooms(readers)
	return nil
}

// yield is what one plan gave.
type yield struct {
	devices        []Device
	panels, risers []Spot
	aside          []aside // symbols of panels and risers that are left out
	marks          []mark
	findings       []Finding
	tallies        []tally // by rule
}

// nameDevices puts the devices into reading order, level by level, and gives each its id.
func (t *taker) nameDevices() {
	at := map[string]int{}
	for i, l := range t.res.Levels {
		at[l.Name] = i
	}
	at[""] = -1 // between the levels of one drawing
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
