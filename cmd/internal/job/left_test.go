package job

import (
	"encoding/csv"
	"fmt"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loopwright/route"
	"loopwright/takeoff"
)

// keyAt is a key of the table with the path at which a row of a job has it.
type keyAt struct {
	keyDoc
	path string // as in circuits[].addresses.spare
}

// keysOf lists every key of a table, those of its sections too.
func keysOf(t documented, under string) []keyAt {
	var out []keyAt
	for _, k := range t.lines() {
		at := join(under, k.name)
		out = append(out, keyAt{k, at})
		if k.doc != nil {
			if k.rows {
				at += "[]"
			}
			out = append(out, keysOf(k.doc, at)...)
		}
	}
	return out
}

// bare are rows with what each needs, and what calls for its other keys.
var bare = map[string]string{
	"plans": "drawing: a.dxf, level: L", "types": "type: t, end_of_line: 1", "panels": "panel: P, match: [{block: P}]",
	"risers": "riser: R, match: [{block: R}]", "zones": "zone: Z, level: L", "circuits": "circuit: C", "cables": "cable: 16/2, conductor: 16 AWG solid",
	"boxes": "box: B", "items": "item: I", "sizes": "size: 1/2", "ranges": "types: [t], first: 1, last: 9",
	"inputs": "type: [t]", "outputs": "type: [t]", "stickers": "columns: 2",
}

// jobWith writes a job in which the key at path has the value, or is left out
// where value is "". kind is that of its circuit.
func jobWith(path, kind, value string) string {
	names := strings.Split(path, ".")
	body := names[len(names)-1] + ": " + value
	if value == "" {
		body = ""
	}
	for i := len(names) - 2; i >= 0; i-- {
		name, row := strings.CutSuffix(names[i], "[]")
		parts := []string{}
		for part := range strings.SplitSeq(bare[name], ", ") {
			if key, _, _ := strings.Cut(part, ":"); part != "" && key != names[i+1] {
				parts = append(parts, part)
			}
		}
		if name == "circuits" && kind != "" {
			parts = append(parts, "kind: "+kind)
		}
		if name == "matrix" {
			for _, side := range []string{"inputs", "outputs"} {
				if names[i+1] != side {
					parts = append(parts, side+": {"+bare[side]+"}")
				}
			}
		}
		if body != "" {
			parts = append(parts, body)
		}
		body = "{" + strings.Join(parts, ", ") + "}"
		if row {
			body = "[" + body + "]"
		}
		body = name + ": " + body
	}
	text := body + "\n"
	if !strings.HasPrefix(path, "types") && strings.HasPrefix(path, "matrix") || strings.Contains(path, "ranges") {
		text += "types: [{type: t}]\n"
	}
	return fill(text)
}

// others are values of which a key takes at least one, other than its own default.
var others = []string{"metric", "2016", "19", "wall", "true", "false", "7 ft", "7 in", "7%", "60 C", "3 ohm", "3 V", "straight", "devices", "level", "highest",
	"nac", "A", "binary8", "0", "2", "count", "A4", "[1/8 in, 1/8 in]", "[2.7 in, 1 in]", "30 V", `"{id}"`, `"X-{kind}"`, "zone", "[X]", "[{circuit: X, panel: P}]", "[{cable: X, conductor: 14 AWG solid}]"}

// computed is what a job computes with: all of it but where and how it is written.
func computed(j *Job) Job {
	c := *j
	c.Defaults, c.lines, c.marks = nil, nil, nil
	return c
}

var rowIndex = regexp.MustCompile(`\[\d+\]`)

// printed returns what the job's user is told about the key at path.
func printed(j *Job, path string) (Default, bool) {
	i := slices.IndexFunc(j.Defaults, func(d Default) bool { return rowIndex.ReplaceAllString(d.Path, "[]") == path })
	if i < 0 {
		return Default{}, false
	}
	return j.Defaults[i], true
}

// leftOut parses the job without the key, in a row to which its default applies.
func leftOut(k keyAt) (j *Job, d Default, kind string) {
	for _, kind := range []string{"", "nac"} {
		j, err := Parse("job.yaml", []byte(jobWith(k.path, kind, "")))
		if err != nil {
			continue
		}
		if d, ok := printed(j, k.path); ok {
			return j, d, kind
		}
	}
	return nil, Default{}, ""
}

// TestEveryDefaultFollows changes every default of the table in turn: the note
// that is printed, the reference and what is computed must all follow.
func TestEveryDefaultFollows(t *testing.T) {
	n := 0
	for _, k := range keysOf(topTable, "") {
		if k.left.value == "" || k.left.step != "" { // TestStepsBetweenLevels
			continue
		}
		n++
		before, _, kind := leftOut(k)
		if before == nil {
			t.Errorf("%s: no job without it is told its default", k.path)
			continue
		}
		usual := k.left.value
		if !k.try(t, before, kind) {
			t.Errorf("%s: no other default changes what is computed", k.path)
		}
		k.left.value = usual
	}
	if n < 50 {
		t.Errorf("only %d keys have a default", n)
	}
}

// try gives the key another default and holds a job that leaves it out against
// one that says it.
func (k keyAt) try(t *testing.T, before *Job, kind string) bool {
	for _, other := range others {
		if other == k.left.value {
			continue
		}
		k.left.value = "" // so that nothing but the file can say it
		said, err := Parse("job.yaml", []byte(jobWith(k.path, kind, other)))
		if err != nil {
			continue
		}
		k.left.value = other
		after, err := Parse("job.yaml", []byte(jobWith(k.path, kind, "")))
		if err != nil || reflect.DeepEqual(computed(after), computed(before)) {
			continue
		}
		if d, _ := printed(after, k.path); d.Value != other {
			t.Errorf("%s: the default is %s, and %q is printed", k.path, other, d.Value)
		}
		if !strings.Contains(comment(k.keyDoc), "left out: ") || !strings.Contains(comment(k.keyDoc), other) {
			t.Errorf("%s: the default is %s, and the reference says %q", k.path, other, comment(k.keyDoc))
		}
		if !reflect.DeepEqual(computed(after), computed(said)) {
			t.Errorf("%s: with %s as default\n%+v\nis computed, and where it is written\n%+v", k.path, other, computed(after), computed(said))
		}
		return true
	}
	return false
}

// TestStepsBetweenLevels changes the defaults that are added to another height.
func TestStepsBetweenLevels(t *testing.T) {
	for _, name := range []string{"elevation", "cable_height"} {
		i := slices.IndexFunc(planTable.keys, func(k key[takeoff.Plan]) bool { return k.name == name })
		l := &planTable.keys[i].left
		usual := l.value
		l.value = "7 ft"
		j := parseOK(t, fill("plans: [{drawing: a.dxf, level: A, ceiling: 3 m}, {drawing: b.dxf, level: B, ceiling: 4 m}]\n"))
		l.value = usual
		var got float64
		var want string
		if name == "elevation" {
			got, want = j.Plans[1].Elevation, "ceiling of A + 7 ft"
		} else {
			got, want = j.Plans[0].CableHeight, "ceiling + 7 ft"
		}
		if !near(got, 3+7*foot) {
			t.Errorf("%s: %v m", name, got)
		}
		if !slices.ContainsFunc(j.Defaults, func(d Default) bool { return strings.HasSuffix(d.Path, name) && d.Value == want }) {
			t.Errorf("%s: nobody is told %q: %+v", name, want, j.Defaults)
		}
	}
}

// TestPrintedIsComputed: a default that is printed, written into the file,
// changes nothing, be it a value of the table or worked out from other keys.
func TestPrintedIsComputed(t *testing.T) {
	n := 0
	for _, k := range keysOf(topTable, "") {
		j, d, kind := leftOut(k)
		if j == nil || k.left.step != "" || k.left.value == "" && k.left.words == d.Value {
			continue
		}
		n++
		said, err := Parse("job.yaml", []byte(jobWith(k.path, kind, d.Value)))
		if err != nil {
			t.Errorf("%s: %s is printed, and cannot be written: %v", k.path, d.Value, err)
			continue
		}
		if !reflect.DeepEqual(computed(j), computed(said)) {
			t.Errorf("%s: %s is printed, and it is computed with\n%+v\ninstead of\n%+v", k.path, d.Value, computed(j), computed(said))
		}
	}
	if n < 60 {
		t.Errorf("only %d defaults are printed", n)
	}
}

// TestNothingStandsForListings: where the file leaves out what a listing gives,
// nothing is computed with in its place.
func TestNothingStandsForListings(t *testing.T) {
	n := 0
	for _, k := range keysOf(topTable, "") {
		if k.left.unjudged == "" {
			continue
		}
		n++
		if k.left.value != "" {
			t.Errorf("%s: %s is computed with", k.path, k.left.value)
		}
		left, _, kind := leftOut(k)
		said, err := Parse("job.yaml", []byte(jobWith(k.path, kind, k.sample)))
		if left == nil || err != nil {
			t.Errorf("%s: %v", k.path, err)
			continue
		}
		if in := filled(reflect.ValueOf(computed(left)), reflect.ValueOf(computed(said)), "job"); len(in) > 0 || reflect.DeepEqual(computed(left), computed(said)) {
			t.Errorf("%s: without it %v holds a value", k.path, in)
		}
	}
	if n != 8 {
		t.Errorf("%d keys are listing data, want 8", n)
	}
}

// filled lists where a and b differ and a holds a value.
func filled(a, b reflect.Value, path string) []string {
	switch a.Kind() {
	case reflect.Struct:
		var out []string
		for i := range a.NumField() {
			out = append(out, filled(a.Field(i), b.Field(i), path+"."+a.Type().Field(i).Name)...)
		}
		return out
	case reflect.Slice:
		var out []string
		for i := range min(a.Len(), b.Len()) {
			out = append(out, filled(a.Index(i), b.Index(i), fmt.Sprintf("%s[%d]", path, i))...)
		}
		return out
	case reflect.Float64, reflect.Int, reflect.Bool, reflect.String:
		if !a.Equal(b) && !a.IsZero() {
			return []string{path}
		}
	}
	return nil
}

// TestEveryDefaultHasASource: what is used and not given is published, or says that it is not.
func TestEveryDefaultHasASource(t *testing.T) {
	for _, k := range keysOf(topTable, "") {
		if (k.left.value == "") != (k.left.source == "") {
			t.Errorf("%s: default %q with the source %q", k.path, k.left.value, k.left.source)
		}
		if s := k.left.source; s != "" && s != practice && s != ours && !strings.ContainsAny(s, "0123456789") {
			t.Errorf("%s: %q names no edition or table", k.path, s)
		}
	}
}

// TestUsualRoute: a job without route and allowances lays circuits with what the package route calls usual.
func TestUsualRoute(t *testing.T) {
	j := parseOK(t, fill(""))
	w, u := j.Route.Weights, route.Usual
	got := []any{j.Route.Along, j.Route.BranchAt, j.Route.Near, w.Wall, w.RatedWall, w.LevelChange, w.Corridor, w.Corridors, j.Allowances.Device, j.Allowances.Panel, j.Allowances.Waste}
	want := []any{string(u.Along), string(u.Branch), u.Near, u.Weights.Wall, u.Weights.RatedWall, u.Weights.LevelChange, u.Saving, u.Corridors, u.Allow.Device, u.Allow.Panel, u.Allow.Waste}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

// TestDefaultsAsPrinted holds the reference, and what jobs are told that leave
// everything out, against files in which a person reads every default.
func TestDefaultsAsPrinted(t *testing.T) {
	j := parseOK(t, fill(`plans: [{drawing: a.dxf, level: L}, {drawing: b.dxf, level: M}]
types: [{type: t, end_of_line: 1}, {type: plate, addresses: 0}]
risers: [{riser: R, match: [{block: R}]}]
zones: [{zone: Z, level: L}]
circuits: [{circuit: S}, {circuit: D, addresses: {scheme: decade}}, {circuit: E, addresses: {scheme: none}}, {circuit: N, kind: nac}]
boxes: [{box: B}]
items: [{item: I}]
matrix: [{inputs: {type: [t]}, outputs: {type: [t]}}]
`))
	var b strings.Builder
	for _, d := range append(parseOK(t, fill("")).Defaults, j.Defaults...) {
		line := fmt.Sprintf("%s: %s\n    %s\n", rowIndex.ReplaceAllString(d.Path, "[]"), d.Value, d.Why)
		if !strings.Contains(b.String(), line) {
			b.WriteString(line)
		}
	}
	for name, got := range map[string]string{"testdata/every-key.yaml": Reference(), "testdata/defaults.txt": b.String()} {
		if *update {
			if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s is otherwise now; got\n%s", name, got)
		}
	}
}

// TestZoneLimitIsPublished holds the one default that a standard gives as a figure of
// this job against it: NFPA 72-2016 23.6.1.
func TestZoneLimitIsPublished(t *testing.T) {
	f, err := os.Open("../../../testdata/reference/pathway_rules.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(rows, func(r []string) bool { return r[0] == "slc_max_zones_lost_per_single_fault" })
	if l := circuitTable.left("zone_limit"); i < 0 || l.value != rows[i][1] || l.source != rows[i][3] {
		t.Errorf("%q of %q, published %q", l.value, l.source, rows[max(i, 0)])
	}
}
