package job

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var behindHash = regexp.MustCompile(`(?m)^( *)# ([a-z_]+: .*)$`)

// TestReferenceAside: each key behind a # is a key, too. With the # gone the
// file loads, or the only complaint is that the key does not go with another.
func TestReferenceAside(t *testing.T) {
	ref := Reference()
	keys := allKeys(topTable, nil)
	n := 0
	for _, m := range behindHash.FindAllStringSubmatchIndex(ref, -1) {
		line := ref[m[4]:m[5]]
		name, _, _ := strings.Cut(line, ":")
		if !slices.Contains(keys, name) || strings.Count(line, "{") != strings.Count(line, "}") {
			continue // a sentence that has a colon, or the end of one
		}
		n++
		_, err := Parse("job.yaml", []byte(ref[:m[0]]+ref[m[2]:m[3]]+line+ref[m[5]:]))
		var es Errors
		if errors.As(err, &es) && (len(es) != 1 || !strings.Contains(es[0].Message, "delete") && !strings.Contains(es[0].Message, "inside addresses")) {
			t.Errorf("%s: %v", line, err)
		}
	}
	if n < 9 {
		t.Errorf("only %d keys behind #", n)
	}
}

// TestReferenceNamesEveryKey also holds the table to its own rules.
func TestReferenceNamesEveryKey(t *testing.T) {
	ref := Reference()
	for _, name := range allKeys(topTable, nil) {
		if !regexp.MustCompile(`\b` + name + `\b`).MatchString(ref) {
			t.Errorf("%s is not in the reference", name)
		}
		if slices.Contains(truthy, name) || name == "y" || name == "n" {
			t.Errorf("%s is true or false to some programs", name)
		}
	}
	for i, line := range strings.Split(ref, "\n") {
		if len(line) > 130 {
			t.Errorf("line %d has %d characters", i+1, len(line))
		}
	}
	if ref != Reference() {
		t.Error("not the same twice")
	}
}

func allKeys(t documented, out []string) []string {
	for _, k := range t.lines() {
		out = append(out, k.name)
		if k.doc != nil {
			out = allKeys(k.doc, out)
		}
	}
	return out
}

// FuzzParse: no file ends the program; what is refused says where and why,
// what is accepted is sound and reads the same again.
func FuzzParse(f *testing.F) {
	_, cases := readCases(f)
	for _, c := range cases {
		f.Add(fill(c.file))
	}
	f.Add(Reference())
	f.Add(benchRow)
	f.Fuzz(func(t *testing.T, src string) {
		j, err := Parse("job.yaml", []byte(src))
		if err != nil {
			checkErrors(t, src, err)
			return
		}
		again, err := Parse("job.yaml", []byte(src))
		if err != nil || !reflect.DeepEqual(j, again) {
			t.Fatalf("read otherwise the second time: %v", err)
		}
		if j.Name == "" || len(j.Plans) == 0 || len(j.Panels) == 0 {
			t.Fatalf("accepted without what a job needs: %+v", j)
		}
		if bad := notFinite(reflect.ValueOf(*j), "job"); bad != "" {
			t.Fatal(bad)
		}
		for path := range j.marks {
			if line, col := j.pos(path); line < 1 || line > len(j.lines) || col < 1 {
				t.Fatalf("%s at %d:%d", path, line, col)
			}
		}
		for _, c := range j.Circuits {
			if !slices.Contains(j.panelNames(), c.Panel) || !slices.Contains(j.cableNames(), c.Cable) {
				t.Fatalf("circuit %+v refers to nothing", c)
			}
		}
	})
}

func checkErrors(t *testing.T, src string, err error) {
	var es Errors
	if !errors.As(err, &es) || len(es) == 0 {
		t.Fatalf("%T: %v", err, err)
	}
	lines := 1 + strings.Count(src, "\n") + strings.Count(src, "\r")
	for _, e := range es {
		if e.Line < 1 || e.Line > lines || e.Col < 1 || e.Message == "" || strings.ContainsAny(e.Message, "\n\t") {
			t.Fatalf("%+v", e)
		}
	}
}

// notFinite finds a number that is infinite or no number.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsInf(x, 0) || math.IsNaN(x) {
			return fmt.Sprintf("%s is %v", path, x)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if bad := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); bad != "" {
				return bad
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if bad := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); bad != "" {
				return bad
			}
		}
	}
	return ""
}
