package takeoff

import (
	"fmt"
	"math"

	"github.com/tidwall/rtree"
)

// coincide is the distance in metres within which two symbols stand on one spot.
const coincide = 0.01

// overlapReach is the share of a symbol's size, and the least distance in
// metres, within which a symbol on a second sheet of a level is the first one again.
const (
	overlapReach = 0.5
	overlapLeast = 0.05
)

// dropDuplicates leaves out what repeats another symbol of its type on the same
// spot or in the overlap of two sheets, and reports pairs that stand closer
// than a symbol's size.
func (t *taker) dropDuplicates() {
	trees := map[string]*rtree.RTreeG[int]{}
	for i := range t.res.Devices {
		d := &t.res.Devices[i]
		if d.Status != Counted {
			continue
		}
		tree := trees[d.Level]
		if tree == nil {
			tree = &rtree.RTreeG[int]{}
			trees[d.Level] = tree
		}
		t.against(tree, i)
		if d.Status == Counted {
			at := [2]float64{d.Pos.X, d.Pos.Y}
			tree.Insert(at, at, i)
		}
	}
}

// against compares a device with those before it that count.
func (t *taker) against(tree *rtree.RTreeG[int], i int) {
	d := &t.res.Devices[i]
	reach := max(t.size(d), overlapLeast)
	near := -1
	best := math.Inf(1)
	spot := -1
	tree.Search([2]float64{d.Pos.X - reach, d.Pos.Y - reach}, [2]float64{d.Pos.X + reach, d.Pos.Y + reach}, func(_, _ [2]float64, j int) bool {
		o := &t.res.Devices[j]
		dist := o.Pos.Dist(d.Pos)
		switch {
		case o.Type == d.Type && (dist < best || dist == best && j < near):
			best, near = dist, j
		case o.Type != d.Type && dist <= coincide && (spot < 0 || j < spot):
			spot = j
		}
		return true
	})
	if near >= 0 {
		t.nearPair(near, i, best)
	}
	if spot >= 0 && d.Status == Counted && !t.stacks(&t.res.Devices[spot], d) {
		o := &t.res.Devices[spot]
		t.find(Finding{Code: codeNearby, Severity: Warning, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true,
			Message: fmt.Sprintf("%s and %s (%s) are on the same spot: both count; check whether one is a mistake", d.Type, o.Type, handleOf(o))})
	}
}

// nearPair judges device i and the nearest of its type before it.
func (t *taker) nearPair(j, i int, dist float64) {
	o, d := &t.res.Devices[j], &t.res.Devices[i]
	size := t.size(d)
	f := Finding{Code: codeNearby, Severity: Warning, Drawing: d.Drawing, Handle: d.Handle, At: d.At, Placed: true}
	switch {
	case t.twoSheets(o, d) && dist <= max(overlapLeast, overlapReach*size):
		d.Status, d.Reason = Excluded, Overlap
		f.Severity = Note
		f.Message = fmt.Sprintf("%s also appears on %s, as %s: counted once", d.Type, o.Drawing, handleOf(o))
	case dist <= coincide && t.listed(o) && t.listed(d):
		f.Message = fmt.Sprintf("%s and %s are on the same spot: both count, since the list gives each its own id; check whether one is a mistake", o.ID, d.ID)
	case dist <= coincide:
		d.Status, d.Reason = Excluded, Duplicate
		f.Message = fmt.Sprintf("%s lies exactly on top of another, %s: counted once; erase the copy", d.Type, handleOf(o))
	case dist < size-1e-9:
		f.Message = fmt.Sprintf("%s is %s from another, %s, less than its symbol's size of %s: both count", d.Type, t.req.Units.Length(dist, 2), handleOf(o), t.req.Units.Length(size, 2))
	default:
		return
	}
	t.find(f)
}

// listed reports whether a device comes from a list: there a copy is not a
// drafting slip: each row is meant.
func (t *taker) listed(d *Device) bool { return t.req.Plans[d.plan].Devices != "" }

// twoSheets reports whether two devices of a level are shown by two plans.
func (t *taker) twoSheets(a, b *Device) bool { return a.plan != b.plan }

// size is the smaller side of a device's symbol in metres.
func (t *taker) size(d *Device) float64 {
	_, s := t.sheet(d.plan)
	return min(d.Symbol.Width(), d.Symbol.Height()) * s.MetrePer
}

// stacks reports whether two types belong on one spot: a base, which takes no
// address of its own, and what is mounted on it.
func (t *taker) stacks(a, b *Device) bool {
	var ta, tb DeviceType
	for _, ty := range t.req.Types {
		if ty.Type == a.Type {
			ta = ty
		}
		if ty.Type == b.Type {
			tb = ty
		}
	}
	base := func(x, y DeviceType) bool {
		return x.Addresses == 0 && y.Addresses > 0 && x.Mounting.Kind == y.Mounting.Kind && x.Mounting.Height == y.Mounting.Height
	}
	return base(ta, tb) || base(tb, ta)
}

func handleOf(d *Device) string {
	if d.Handle == "" {
		return d.ID
	}
	return "#" + d.Handle
}
