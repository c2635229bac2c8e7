package dxf

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// refReading is the reading of a drawing by ezdxf, see README beside the files.
type refReading struct {
	ID      string
	Mode    string
	Cut     bool `json:"cut_at_limit"`
	Units   map[string]any
	Inserts []refInsert
	Texts   []refText
}

type refInsert struct {
	Name, Effective, Layer string
	LayerEff               string `json:"layer_effective"`
	XYZ                    [3]float64
	Rot                    *float64 `json:"rot_deg"`
	SX, SY                 float64
	Mirrored               bool `json:"mirrored_in_plan"`
	Path                   []string
	Handle                 string
	Attribs                map[string]string
	AttribList             []struct {
		Tag, Value string
		XYZ        [3]float64
	} `json:"attrib_list"`
}

type refText struct {
	Type, Text, Layer string
	LayerEff          string `json:"layer_effective"`
	XYZ               [3]float64
	Path              []string
	Handle            string
}

// onPurpose lists where we read otherwise than the reference, and why.
var onPurpose = map[string]string{
	"D112": `an MTEXT holds \~, the space that does not break; the reference leaves the code in the text`,
}

// TestAgainstOpenDrawings compares every drawing of the reference folder with the reading
// by an independent implementation (ezdxf).
func TestAgainstOpenDrawings(t *testing.T) {
	dir := against.Folder(t, "dxf", "open")
	names, _ := filepath.Glob(filepath.Join(dir, "*.json"))
	equal, total := 0, 0
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var ref refReading
		if err := json.Unmarshal(raw, &ref); err != nil {
			t.Fatal(name, err)
		}
		drawing := strings.TrimSuffix(name, ".json") + ".dxf"
		if _, err := os.Stat(drawing); err != nil || ref.Mode == "FAILED" || ref.Cut {
			continue
		}
		total++
		diffs := compareReading(drawing, &ref)
		if len(diffs) == 0 {
			equal++
			continue
		}
		if why := onPurpose[ref.ID]; why != "" {
			t.Logf("%s differs on purpose: %s", ref.ID, why)
			continue
		}
		t.Errorf("%s: %s", ref.ID, strings.Join(diffs[:min(len(diffs), 6)], "\n\t"))
	}
	t.Logf("equal %d of %d", equal, total)
}

func compareReading(path string, ref *refReading) (diffs []string) {
	d, err := Open(path)
	if err != nil {
		return []string{err.Error()}
	}
	defer d.Close()
	inserts, _, err := d.Inserts(Options{})
	if err != nil {
		return []string{err.Error()}
	}
	texts, _, err := d.Texts(Options{})
	if err != nil {
		return []string{err.Error()}
	}
	diffs = append(diffs, compareInserts(inserts, ref.Inserts)...)
	diffs = append(diffs, compareTexts(texts, ref.Texts)...)
	diffs = append(diffs, compareTextPlaces(texts, ref.Texts)...)
	// $INSUNITS as the reference reads it; without a header it tells its own defaults
	if n, ok := ref.Units["$INSUNITS"].(float64); ok && n > 0 && len(d.header) > 0 {
		if u := d.Units(); u.Name != unitNames[int(n)] {
			diffs = append(diffs, fmt.Sprintf("the units are %q, want %q", u.Name, unitNames[int(n)]))
		}
	}
	return diffs
}

func compareInserts(got []Insert, want []refInsert) (diffs []string) {
	if len(got) != len(want) {
		count := map[string]int{}
		for _, w := range want {
			count[w.Effective]++
		}
		for _, g := range got {
			count[g.Effective]--
		}
		for k, n := range count {
			if n != 0 {
				diffs = append(diffs, fmt.Sprintf("%q: %+d", k, -n))
			}
		}
		sort.Strings(diffs)
		return append([]string{fmt.Sprintf("%d inserts, want %d", len(got), len(want))}, diffs...)
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, w := range want {
		lo, hi = min(lo, w.XYZ[0], w.XYZ[1]), max(hi, w.XYZ[0], w.XYZ[1])
	}
	tol := max(1e-6*(hi-lo), 1e-6, 1e-9*max(math.Abs(lo), math.Abs(hi)))
	for i, w := range want { // the order is the drawing's in both
		g := got[i]
		bad := func(format string, args ...any) {
			diffs = append(diffs, fmt.Sprintf("insert %d %s %s: ", i, w.Handle, w.Name)+fmt.Sprintf(format, args...))
		}
		if !strings.EqualFold(g.Effective, w.Effective) || g.Block != w.Name || g.Layer != w.Layer || g.EffLayer != w.LayerEff ||
			strings.Join(g.Path, "/") != strings.Join(w.Path, "/") || g.Handle != 0 && g.Handle.String() != w.Handle {
			bad("%s %s on %s (%s) in %q, want %s on %s (%s) in %q", g.Handle, g.Effective, g.Layer, g.EffLayer, g.Path,
				w.Effective, w.Layer, w.LayerEff, w.Path)
		}
		if far(g.Pos, w.XYZ, tol) {
			bad("at %v, want %v", g.Pos, w.XYZ)
		}
		sy := w.SY
		if w.Mirrored {
			sy = -sy
		}
		turn := 0.0
		if w.Rot != nil {
			turn = math.Mod(math.Abs(g.Rotation-*w.Rot), 360)
		}
		if min(turn, 360-turn) > 1e-4 || differs(g.XScale, w.SX) || differs(g.YScale, sy) {
			bad("turned %v scaled %v %v, want %v, %v %v", g.Rotation, g.XScale, g.YScale, *w.Rot, w.SX, sy)
		}
		for tag, value := range w.Attribs {
			if v, ok := attribOf(g, tag); !ok || v != value {
				bad("attribute %s is %q (%v), want %q", tag, v, ok, value)
			}
		}
		for k, a := range w.AttribList {
			if k >= len(g.Attribs) || g.Attribs[k].Tag != a.Tag || far(g.Attribs[k].Pos, a.XYZ, tol) {
				bad("attribute %d is %+v, want %v", k, g.Attribs, a)
				break
			}
		}
	}
	return diffs
}

func compareTexts(got []Text, want []refText) (diffs []string) {
	if len(got) != len(want) {
		diffs = append(diffs, fmt.Sprintf("%d texts, want %d", len(got), len(want)))
	}
	count := map[string]int{}
	for _, w := range want {
		count[strings.Join(strings.Fields(w.Text), " ")+" on "+w.Layer+" "+w.LayerEff+" in "+strings.Join(w.Path, "/")]++
	}
	for _, g := range got {
		count[strings.Join(strings.Fields(g.Text), " ")+" on "+g.Layer+" "+g.EffLayer+" in "+strings.Join(g.Path, "/")]--
	}
	var wrong []string
	for k, n := range count {
		if n != 0 {
			wrong = append(wrong, fmt.Sprintf("text %q: %+d", k, -n))
		}
	}
	sort.Strings(wrong)
	return append(diffs, wrong...)
}

func compareTextPlaces(got []Text, want []refText) (diffs []string) {
	for i, w := range want {
		if i < len(got) && far(got[i].Pos, w.XYZ, 1e-6*(1+math.Abs(w.XYZ[0])+math.Abs(w.XYZ[1]))) {
			diffs = append(diffs, fmt.Sprintf("text %d %s %q at %v, want %v", i, w.Handle, w.Text, got[i].Pos, w.XYZ))
		}
	}
	return diffs
}

func far(p Vec3, q [3]float64, tol float64) bool {
	return max(math.Abs(p.X-q[0]), math.Abs(p.Y-q[1]), math.Abs(p.Z-q[2])) > tol
}

func differs(a, b float64) bool { return math.Abs(a-b) > 1e-6*max(1, math.Abs(b)) }

// attribOf returns the value of an attribute, the last one if the tag is repeated.
func attribOf(in Insert, tag string) (string, bool) {
	for _, a := range slices.Backward(in.Attribs) {
		if a.Tag == tag {
			return a.Value, true
		}
	}
	return "", false
}
