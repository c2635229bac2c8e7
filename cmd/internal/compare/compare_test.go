package compare

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
)

const revision = "../../../testdata/revision"

// truth is what the script that drew the revisions wrote down while it drew.
type truth struct {
	Pairs []struct {
		Old, New string
		Shift    [2]float64
	}
	Changes []struct {
		Change, Type, Why string
		NewType           string      `json:"new_type"`
		From, To          *[2]float64 // inches
		FromRoom          string      `json:"from_room"`
		ToRoom            string      `json:"to_room"`
		Distance          float64     `json:"distance_m"`
		NeedsHandle       bool        `json:"needs_handle"`
	}
	Counts  map[string]map[string]int
	Devices []struct{ Name, Drawing, Handle string }
}

func readTruth(t *testing.T) truth {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(revision, "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var tr truth
	if err := json.Unmarshal(b, &tr); err != nil {
		t.Fatal(err)
	}
	return tr
}

const inch = 0.0254

// line writes a change as text: what happened, to what, and where in inches of
// the drawing that it is on, those of a shifted one moved back.
func line(change, typ, newType string, from, to *[2]float64, distance float64, why string) string {
	at := func(p *[2]float64) string {
		if p == nil {
			return "-"
		}
		return fmt.Sprintf("(%.2f, %.2f)", p[0]+0, p[1]+0)
	}
	return fmt.Sprintf("%s %s %s %s %s %.3f %s", change, typ, newType, at(from), at(to), distance, why)
}

func wanted(tr truth, handles bool) []string {
	var out []string
	for _, c := range tr.Changes {
		if c.NeedsHandle && !handles { // then it may be read as one gone and one come
			out = append(out, line("removed", c.Type, "", c.From, nil, 0, ""), line("added", c.Type, "", nil, c.To, 0, ""))
			continue
		}
		out = append(out, line(c.Change, c.Type, c.NewType, c.From, c.To, c.Distance, c.Why))
	}
	slices.Sort(out)
	return out
}

func found(cs []Change, shift [2]float64) []string {
	inches := func(p *[2]float64, by [2]float64) *[2]float64 {
		if p == nil {
			return nil
		}
		return &[2]float64{math.Round((p[0]/inch-by[0])*100) / 100, math.Round((p[1]/inch-by[1])*100) / 100}
	}
	var out []string
	for _, c := range cs {
		out = append(out, line(string(c.Change), c.Type, c.NewType, inches(c.From, [2]float64{}), inches(c.To, shift), c.Distance, c.Why))
	}
	slices.Sort(out)
	return out
}

func load(t testing.TB, old, fresh string) (Side, Side) {
	t.Helper()
	a, b, err := Load(filepath.Join(revision, old), filepath.Join(revision, fresh), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	return a, b
}

func yaml(drawing string) string { return strings.TrimSuffix(drawing, ".dxf") + ".yaml" }

func TestChangesAreThoseThatWereDrawn(t *testing.T) {
	tr := readTruth(t)
	if len(tr.Pairs) != 3 || len(tr.Changes) != 15 {
		t.Fatalf("%d pairs, %d changes", len(tr.Pairs), len(tr.Changes))
	}
	for _, p := range tr.Pairs {
		t.Run(p.New, func(t *testing.T) {
			old, fresh := load(t, yaml(p.Old), yaml(p.New))
			r := Compare(old, fresh)
			want, got := wanted(tr, p.New != "new-handles.dxf"), found(r.Changes, p.Shift)
			if !slices.Equal(want, got) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
			for _, c := range r.Types {
				if c.Old != tr.Counts[p.Old][c.Type] || c.New != tr.Counts[p.New][c.Type] {
					t.Errorf("%+v, want %d and %d", c, tr.Counts[p.Old][c.Type], tr.Counts[p.New][c.Type])
				}
			}
			if moved := len(r.Shifts) > 0; moved != (p.Shift != [2]float64{}) {
				t.Errorf("shifts %v", r.Shifts)
			}
			for _, s := range r.Shifts {
				if math.Abs(s.By[0]-p.Shift[0]*inch) > 1e-6 || math.Abs(s.By[1]-p.Shift[1]*inch) > 1e-6 {
					t.Errorf("shift %v, want %v in", s.By, p.Shift)
				}
			}
		})
	}
}

// TestNobodyIsRenumbered: a new job that has no ledger yet follows on the old
// one, and every device that the script kept has the address that it had. Who
// is who comes from truth.json, by name and handle.
func TestNobodyIsRenumbered(t *testing.T) {
	tr := readTruth(t)
	name := map[[2]string]string{} // drawing, handle -> name
	for _, d := range tr.Devices {
		name[[2]string{d.Drawing, d.Handle}] = d.Name
	}
	for _, p := range tr.Pairs {
		old, fresh := load(t, yaml(p.Old), yaml(p.New))
		was := map[string]int{}
		for _, d := range old.out.Devices {
			was[name[[2]string{p.Old, d.Handle}]] = d.Address
		}
		kept := 0
		for _, d := range fresh.out.Devices {
			n := name[[2]string{p.New, d.Handle}]
			a := was[n]
			if n == "" || a == 0 || d.Status != takeoff.Counted {
				continue
			}
			if a == d.Address {
				kept++
			} else if p.New != "new-handles.dxf" || n != "D25" { // moved too far to be known without its handle
				t.Errorf("%s: %s had %d and has %d", p.New, n, a, d.Address)
			}
		}
		want := 29 // 33 with an address, 4 of them gone
		if p.New == "new-handles.dxf" {
			want--
		}
		if kept != want {
			t.Errorf("%s: %d devices keep an address, want %d", p.New, kept, want)
		}
	}
}

func TestCostFollowsFromCountsAndLengths(t *testing.T) {
	old, fresh := load(t, "old.yaml", "new.yaml")
	r := Compare(old, fresh)
	// By hand from truth.json: -3 smoke, +2 heat, +1 pull station, -1 relay, +1 strobe at the prices of the job.
	if want := -3*58.0 + 2*46 + 75 - 88 + 52; math.Abs(r.Bid.Material.Diff-want) > 1e-9 {
		t.Errorf("material %+v, want %v", r.Bid.Material, want)
	}
	if want := -3*0.75 + 2*0.75 + 1 - 1.25 + 1; math.Abs(r.Bid.Hours.Diff-want) > 1e-9 {
		t.Errorf("hours %+v, want %v", r.Bid.Hours, want)
	}
	var cable float64
	for _, c := range r.Cables {
		cable += (c.Reorder - c.Order) * c.Price
		if c.Old <= 0 || c.New <= 0 {
			t.Errorf("%+v", c)
		}
	}
	if math.Abs(r.Bid.Cable.Diff-cable) > 0.02 {
		t.Errorf("cable %+v, want %v", r.Bid.Cable, cable)
	}
	same := Compare(old, old)
	if len(same.Changes) != 0 || same.Bid.Total.Diff != 0 {
		t.Errorf("a job against itself: %+v, %+v", same.Changes, same.Bid)
	}
}

func TestMarkedDrawings(t *testing.T) {
	for _, n := range []string{"new", "new-handles", "new-shifted"} {
		t.Run(n, func(t *testing.T) {
			old, fresh := load(t, "old.yaml", n+".yaml")
			r := Compare(old, fresh)
			dir := t.TempDir()
			if said, err := r.Write(old, fresh, dir); err != nil || len(said) > 0 {
				t.Fatal(err, said)
			}
			if want := []string{"changes.csv", "plans/" + n + ".dxf", "changes.json"}; !slices.Equal(r.Outputs, want) || len(r.Findings) > 0 {
				t.Errorf("outputs %v, findings %v", r.Outputs, r.Findings)
			}
			before, err := os.ReadFile(filepath.Join(revision, n+".dxf"))
			if err != nil {
				t.Fatal(err)
			}
			after, err := os.ReadFile(filepath.Join(dir, "plans", n+".dxf"))
			if err != nil {
				t.Fatal(err)
			}
			if stripped, err := edit.Strip(n, after); err != nil || string(stripped) != string(before) {
				t.Errorf("without our marks the drawing is not the one it was: %v", err)
			}
			clouds, ours, code := map[string]int{}, false, ""
			for line := range strings.SplitSeq(strings.ReplaceAll(string(after), "\r\n", "\n"), "\n") {
				if code == "" {
					code = strings.TrimSpace(line)
					continue
				}
				if ours && code == "1000" { // what our extended data begin with
					clouds[line]++
				}
				ours, code = code == "1001" && line == "LOOPWRIGHT", ""
			}
			moves := 0
			for _, c := range r.Changes {
				if c.Change == moved {
					moves++
				}
			}
			if clouds["cloud"] != len(r.Changes) || clouds["change"] != len(r.Changes) || clouds["moved"] != 2*moves {
				t.Errorf("%v for %d changes, %d of them moves", clouds, len(r.Changes), moves)
			}
		})
	}
}

// TestMarksBearTheRevision: clouds stand on a layer named after the revision, each with
// its mark, and a table beside the plan has revision, date and every change with its
// type's name and its address.
func TestMarksBearTheRevision(t *testing.T) {
	old, fresh := load(t, "old.yaml", "new.yaml")
	fresh.job.Revision, fresh.job.Date = "b/2", time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)
	for i := range fresh.job.Types {
		if fresh.job.Types[i].Type == "smoke" {
			fresh.job.Types[i].Name = "Smoke detector"
		}
	}
	r := Compare(old, fresh)
	data, err := marked(fresh, old.file, "new.dxf", r.marks)
	if err != nil {
		t.Fatal(err)
	}
	d, err := dxf.Parse("marked.dxf", data)
	if err != nil {
		t.Fatal(err)
	}
	texts, _, err := d.Texts(dxf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]int{}
	for _, x := range texts {
		if x.Layer == "E-FIRE-REV-B-2" {
			said[x.Text]++
		}
	}
	for _, want := range []string{"REVISION b/2  2026-03-31", "1  L1-041  NEW strobe  (Level 1, 105 EAST WING)", "4 NEW Smoke detector",
		"9  L1-010  Smoke detector, MOVED 28.0 ft  (SLC-1 10, Level 1, 105 EAST WING)", "5  L1-012  GONE Smoke detector  (SLC-1 14, Level 1, 105 EAST WING)"} {
		if said[want] != 1 {
			t.Errorf("%q stands %d times on the drawing: %v", want, said[want], said)
		}
	}
	if said["b/2"] != len(r.marks) {
		t.Errorf("%d triangles for %d marks", said["b/2"], len(r.marks))
	}
}

// TestWorkIsKept: a list that somebody has annotated is not written over, and no
// drawing that was read is.
func TestWorkIsKept(t *testing.T) {
	dir := t.TempDir()
	var sides []Side
	for _, n := range []string{"old", "new"} {
		data, err := os.ReadFile(filepath.Join(revision, n+".dxf"))
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, "plans", n+".dxf")
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o777), os.WriteFile(file, data, 0o666)); err != nil {
			t.Fatal(err)
		}
		sides = append(sides, Side{file: file})
	}
	old, fresh, err := Load(sides[0].file, sides[1].file, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	r := Compare(old, fresh)
	if _, err := r.Write(old, fresh, dir); err == nil || !strings.Contains(err.Error(), "new.dxf is an input of this run and would be overwritten") {
		t.Errorf("over its own drawing: %v", err)
	}
	out := filepath.Join(dir, "changes")
	list := filepath.Join(out, "changes.csv")
	for i, want := range []int{0, 1} {
		r := Compare(old, fresh)
		said, err := r.Write(old, fresh, out)
		if err != nil || len(said) != want {
			t.Fatalf("run %d: %v, %v", i, err, said)
		}
		if err := os.WriteFile(list, []byte("with remarks"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if data, err := os.ReadFile(filepath.Join(out, "changes.changed-1.csv")); err != nil || string(data) != "with remarks" {
		t.Errorf("%q, %v", data, err)
	}
}

// TestCutOff: what a drawing has lost because it was cut off is not passed off as
// a change of the plans.
func TestCutOff(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(revision, "new.dxf"))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "new.dxf")
	if err := os.WriteFile(file, data[:len(data)*9/10], 0o666); err != nil {
		t.Fatal(err)
	}
	old, fresh, err := Load(filepath.Join(revision, "old.dxf"), file, "in", nil)
	if err != nil {
		t.Fatal(err)
	}
	r := Compare(old, fresh)
	if !slices.ContainsFunc(r.Findings, func(f takeoff.Finding) bool {
		return f.Code == "F102" && f.Severity == takeoff.Error && strings.HasPrefix(f.Message, "in "+file+": the drawing is cut off inside section")
	}) {
		t.Errorf("%+v", r.Findings)
	}
}

// TestCloudsBulgeOutward checks the sign of the bulges: the middle of an arc
// lies to the right of its chord, outside the box. The middle is found by
// the definition in the DXF reference: the sagitta is bulge times half the chord.
func TestCloudsBulgeOutward(t *testing.T) {
	box := geom.BoxOf(geom.Pt(10, 20), geom.Pt(16, 24))
	p := cloud(edit.Base{}, box).(edit.Polyline)
	if len(p.Points) < 10 || len(p.Bulges) != len(p.Points) || !p.Closed {
		t.Fatalf("%+v", p)
	}
	for i, a := range p.Points {
		z := p.Points[(i+1)%len(p.Points)]
		chord := geom.Pt(z.X-a.X, z.Y-a.Y)
		right := geom.Pt(chord.Y, -chord.X).Mul(p.Bulges[i] / 2)
		if mid := geom.Pt((a.X+z.X)/2, (a.Y+z.Y)/2).Add(right); box.Contains(mid) {
			t.Errorf("arc %d from %v to %v bulges inward", i, a, z)
		}
	}
}

func TestDrawingsWithoutAJob(t *testing.T) {
	old, fresh := load(t, "old.dxf", "new.dxf")
	r := Compare(old, fresh)
	n := map[Kind]int{}
	for _, c := range r.Changes {
		n[c.Change]++
	}
	// What is to be demolished stands on another layer, which only a job explains.
	if n[added] != 4 || n[removed] != 3 || n[moved] != 5 || n[retyped] != 2 || r.Bid != nil {
		t.Errorf("%v", n)
	}
	if _, err := r.Write(old, fresh, t.TempDir()); err != nil || len(r.Findings) > 0 {
		t.Errorf("%v, %v", err, r.Findings)
	}
	if _, _, err := Load(filepath.Join(revision, "old.yaml"), filepath.Join(revision, "new.dxf"), "", nil); !errors.Is(err, ErrMixed) {
		t.Errorf("a job and a drawing: %v", err)
	}
}
