package ledger

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/testdata/against"
)

// drawn is a device as a drafter knows it.
type drawn struct {
	uid    int
	typ    string
	level  int
	sheet  string
	handle string
	at     geom.Point // metres, in a frame that no revision touches
	room   string
}

// house is a building as drawn, from revision to revision.
type house struct {
	rng    *rand.Rand
	ds     []drawn
	levels []string
	frames []geom.Affine // where each level stands on its sheets
	digits float64       // steps of the drawing's numbers in metres
	taken  []drawn       // places that were ever used: nobody is added there
	next   int
	grid   bool
}

func newHouse(rng *rand.Rand) *house {
	h := &house{rng: rng, digits: 1e-4, grid: rng.IntN(3) == 0, next: 1}
	for l := range 1 + rng.IntN(3) {
		h.levels = append(h.levels, fmt.Sprint("Level ", l+1))
		h.frames = append(h.frames, geom.Identity())
		n := 12 + rng.IntN(30)
		side := 3 + rng.IntN(5)
		for i := range n {
			d := drawn{level: l, sheet: fmt.Sprintf("level-%d.dxf", l+1), handle: fmt.Sprintf("%X", 0x100+i), typ: h.typ()}
			d.at = geom.Pt(float64(i%side)*6, float64(i/side)*7)
			if !h.grid {
				d.at = d.at.Add(geom.Pt(rng.Float64()*2.5, rng.Float64()*2.5))
			}
			if h.grid || rng.IntN(2) == 0 {
				d.room = fmt.Sprintf("%d%02d ROOM", l+1, i)
			}
			h.add(d)
		}
	}
	return h
}

func (h *house) typ() string {
	return []string{"smoke", "smoke", "smoke", "heat", "module"}[h.rng.IntN(5)]
}

func (h *house) add(d drawn) {
	d.uid = h.next
	h.next++
	h.ds = append(h.ds, d)
	h.taken = append(h.taken, d)
}

// devices are what the takeoff makes of the drawings.
func (h *house) devices() []takeoff.Device {
	var out []takeoff.Device
	for _, d := range h.ds {
		p := h.frames[d.level].Apply(d.at)
		p = geom.Pt(math.Round(p.X/h.digits)*h.digits, math.Round(p.Y/h.digits)*h.digits)
		out = append(out, takeoff.Device{Type: d.typ, Level: h.levels[d.level], Drawing: d.sheet, Handle: d.handle, Room: d.room, Status: takeoff.Counted, Pos: p})
	}
	return read(out)
}

// The kinds of revision, each of which says which devices it touched.
var revisions = []struct {
	name string
	do   func(h *house, touched map[int]bool)
}{
	{"delete", func(h *house, touched map[int]bool) {
		for range 1 + h.rng.IntN(max(1, len(h.ds)/8)) {
			k := h.rng.IntN(len(h.ds))
			touched[h.ds[k].uid] = true
			h.ds = slices.Delete(h.ds, k, k+1)
		}
	}},
	{"add", func(h *house, touched map[int]bool) {
		for range 1 + h.rng.IntN(max(1, len(h.ds)/8)) {
			d := h.ds[h.rng.IntN(len(h.ds))]
			d.at, d.typ, d.handle = d.at.Add(geom.Pt(3+h.rng.Float64()*30, h.rng.Float64()*60-30)), h.typ(), fmt.Sprintf("N%X", h.next)
			if slices.ContainsFunc(h.taken, func(o drawn) bool { return o.level == d.level && o.at.Dist(d.at) < 3.5 }) {
				continue
			}
			touched[h.next] = true
			h.add(d)
		}
	}},
	{"move", func(h *house, touched map[int]bool) {
		for range 1 + h.rng.IntN(max(1, len(h.ds)/8)) {
			d := &h.ds[h.rng.IntN(len(h.ds))]
			d.at = d.at.Add(geom.Pt(h.rng.Float64()*3-1.5, h.rng.Float64()*3-1.5))
			touched[d.uid] = true
			h.taken = append(h.taken, *d)
		}
	}},
	{"retype", func(h *house, touched map[int]bool) {
		for range 1 + h.rng.IntN(max(1, len(h.ds)/8)) {
			d := &h.ds[h.rng.IntN(len(h.ds))]
			d.typ = h.typ()
			touched[d.uid] = true
		}
	}},
	{"renumber all handles", func(h *house, _ map[int]bool) {
		next, step := map[string]int{}, h.rng.IntN(3)*0x40
		for i := range h.ds {
			d := &h.ds[i]
			d.handle = fmt.Sprintf("%X", 0x100+step+next[d.sheet])
			next[d.sheet]++
		}
	}},
	{"reverse the file", func(h *house, _ map[int]bool) { slices.Reverse(h.ds) }},
	{"shift", func(h *house, _ map[int]bool) {
		l := h.rng.IntN(len(h.levels))
		h.frames[l] = h.frames[l].Then(geom.Shift(geom.Pt(h.rng.Float64()*400-200, h.rng.Float64()*400-200)))
	}},
	{"rotate", func(h *house, _ map[int]bool) {
		l := h.rng.IntN(len(h.levels))
		turn := h.rng.Float64() * 360
		if h.rng.IntN(2) == 0 {
			turn = float64(90 * (1 + h.rng.IntN(3)))
		}
		h.frames[l] = h.frames[l].Then(geom.Rotation(turn))
	}},
	{"another unit", func(h *house, _ map[int]bool) { h.digits = []float64{1e-3, 2.54e-4, 3.048e-4}[h.rng.IntN(3)] }},
	{"split", func(h *house, _ map[int]bool) {
		l := h.rng.IntN(len(h.levels))
		for i := range h.ds {
			if d := &h.ds[i]; d.level == l {
				d.sheet = fmt.Sprintf("%s-%v.dxf", strings.TrimSuffix(d.sheet, ".dxf"), d.at.X < 12)
			}
		}
	}},
	{"join", func(h *house, _ map[int]bool) {
		l := h.rng.IntN(len(h.levels))
		for i := range h.ds {
			if d := &h.ds[i]; d.level == l { // handles of one file are unique again
				d.sheet, d.handle = fmt.Sprintf("joined-%d.dxf", l), fmt.Sprintf("%X", 0x200+i)
			}
		}
	}},
	{"rename a file", func(h *house, _ map[int]bool) {
		was := h.ds[h.rng.IntN(len(h.ds))].sheet
		for i := range h.ds {
			if h.ds[i].sheet == was {
				h.ds[i].sheet = "rev-" + was
			}
		}
	}},
	{"rename a level", func(h *house, _ map[int]bool) {
		l := h.rng.IntN(len(h.levels))
		h.levels[l] += " (new)"
	}},
}

// revise changes a building in some of the ways above, in any order, and says which.
func (h *house) revise(kinds int) (names []string, touched map[int]bool) {
	touched = map[int]bool{}
	for _, k := range h.rng.Perm(len(revisions))[:kinds] {
		revisions[k].do(h, touched)
		names = append(names, revisions[k].name)
	}
	return names, touched
}

// TestAddressesHold: whatever a revision does to the drawings, a device that it
// does not touch keeps its address, is not retired and is not an error, and no
// address is held twice.
func TestAddressesHold(t *testing.T) { rapid.Check(t, addressesHold) }

// TestAgainstTenThousandRevisions is TestAddressesHold for as long as the checks
// against other programs may take.
func TestAgainstTenThousandRevisions(t *testing.T) {
	if os.Getenv(against.Switch) != "1" {
		t.Skipf("%s=1 runs it", against.Switch)
	}
	was := flag.Lookup("rapid.checks").Value.String()
	if err := flag.Set("rapid.checks", "5000"); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = flag.Set("rapid.checks", was) }()
	rapid.Check(t, addressesHold)
}

func addressesHold(t *rapid.T) {
	h := newHouse(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7)))
	_, numbered, l := run(Ledger{}, h.devices())
	open := map[int]bool{} // devices drawn otherwise than installed, which stay errors
	for range 2 {          // 100 buildings make 200 revisions
		was := map[int]int{}
		for i, d := range h.ds {
			was[d.uid] = numbered[i].Address
		}
		for i := range l.Rows {
			if l.Rows[i].State == Planned {
				l.Rows[i].State, l.Rows[i].Found = Installed, fmt.Sprint(l.Rows[i].Address)
			}
		}
		kinds := rapid.IntRange(1, len(revisions)).Draw(t, "kinds")
		names, touched := h.revise(kinds)
		var rec Recalled
		rec, numbered, l = run(l, h.devices())
		untouched := map[string]bool{}
		for i, d := range h.ds {
			if touched[d.uid] {
				open[d.uid] = true
				continue
			}
			if open[d.uid] {
				continue // where it hangs and where it is drawn are two places
			}
			untouched[numbered[i].ID] = true
			if a, known := was[d.uid]; known && a != numbered[i].Address {
				t.Fatalf("%v: %s at %v had address %d and has %d; %+v", names, numbered[i].ID, numbered[i].Pos, a, numbered[i].Address, rec.Changes)
			}
		}
		for _, f := range rec.Doubts("l", measure.Metric, func(string) bool { return true }) {
			for id := range untouched {
				if strings.HasPrefix(f.Message, id+" ") {
					t.Fatalf("%v: %s", names, f.Message)
				}
			}
		}
		held := map[int]string{}
		for _, r := range l.Rows {
			for k := range r.Span {
				if who, twice := held[r.Address+k]; twice {
					t.Fatalf("%v: address %d of %s and of %s", names, r.Address+k, who, r.ID)
				}
				held[r.Address+k] = r.ID
			}
		}
	}
}
