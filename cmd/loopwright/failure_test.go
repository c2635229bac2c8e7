package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// readFailure reads what --json prints on exit 1 and 2: one object with all five keys.
func readFailure(t *testing.T, out []byte) (first failure, more []failure) {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(out))
	dec.DisallowUnknownFields()
	var f failed
	if err := dec.Decode(&f); err != nil {
		t.Fatalf("no JSON object: %v\n%s", err, out)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		t.Errorf("there is more than one value:\n%s", out)
	}
	var keys struct{ Error map[string]any }
	if err := json.Unmarshal(out, &keys); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"file", "line", "column", "handle", "message"} {
		if _, ok := keys.Error[k]; !ok {
			t.Errorf("the error has no key %s:\n%s", k, out)
		}
	}
	return f.Error, f.More
}

// TestFailuresAsJSON calls the program with every wrong input again, with --json:
// it prints one object, and its message is the one that people read.
func TestFailuresAsJSON(t *testing.T) {
	traps, err := filepath.Abs("../../testdata/traps")
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range wrongInputs() {
		if w.found {
			continue // the job is done: its JSON is the result
		}
		t.Run(w.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			goodJob(t, traps)
			for _, do := range w.do {
				do(t)
			}
			var out, errs bytes.Buffer
			code := Run(append(strings.Fields(w.args), "--json"), strings.NewReader(""), &out, &errs)
			if strings.HasSuffix(w.args, " -o") { // which takes the flag for its value
				return
			}
			if code != exitFailed && code != exitUsage {
				t.Fatalf("exit %d", code)
			}
			first, more := readFailure(t, out.Bytes())
			for _, f := range append([]failure{first}, more...) {
				if f.Message == "" || !strings.Contains(errs.String(), f.Message) {
					t.Errorf("message %q, but people read\n%s", f.Message, errs.String())
				}
			}
			if strings.HasPrefix(w.name, "job: ") && first.File == "" && !strings.Contains(first.Message, "standard input") {
				t.Errorf("no file is named: %+v", first)
			}
		})
	}
}

// TestWhereFailuresAre looks at the places of some.
func TestWhereFailuresAre(t *testing.T) {
	traps, err := filepath.Abs("../../testdata/traps")
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, args string
		do         step
		want       failure // but its message
		more       int
	}{
		{"unknown flag before the flag", "build job.yaml --ouput out --json", nil, failure{}, 0},
		{"unknown command", "biuld --json", nil, failure{}, 0},
		{"no job", "check nothing.yaml --json", nil, failure{File: "nothing.yaml"}, 0},
		{"no drawings", "survey a.dxf b.dxf --json", nil, failure{File: "a.dxf"}, 1},
		{"two keys", "check job.yaml --json", edit("job.yaml", "units: in", "untis: in, ceilin: 9 ft"), failure{File: "job.yaml", Line: 5, Column: 41}, 1},
		{"row of a list", "check list.yaml --json", file("devices.csv", csvHead+smoke+"A-1,smoke,Level 4,10,20,\n"), failure{File: "devices.csv", Line: 3}, 0},
		{"cell of a list", "check list.yaml --json", file("devices.csv", csvHead+smoke+"A-2,smoke,Level 4,1o,20,\n"), failure{File: "devices.csv", Line: 3}, 0},
		{"ledger", "check job.yaml --json", file("job.ledger.csv", ledgerHead+"X,,0,0,0,,,,,,0,0,planned,,,,,\nX,,0,0,0,,,,,,0,0,planned,,,,,\n"), failure{File: "job.ledger.csv", Line: 3}, 0},
		{"blocks without end", "survey plan.dxf --json", file("plan.dxf", bomb(9)), failure{File: "plan.dxf", Line: 1255}, 0},
		{"the second drawing", "survey plan.dxf bomb.dxf --json", file("bomb.dxf", bomb(9)), failure{File: "bomb.dxf", Line: 1255}, 0},
		{"export", "reconcile job.yaml back.json --json", file("back.json", "{\n\"format\": 1x\n}\n"), failure{File: "back.json", Line: 2}, 0},
		{"begin over a job", "begin plan.dxf -o job.yaml --json", nil, failure{File: "job.yaml"}, 0},
		{"folder that is a file", "build job.yaml -o plan.dxf --json", nil, failure{File: "$DIR/plan.dxf"}, 0},
		{"manual", "docs plan.dxf --json", nil, failure{File: "$DIR/plan.dxf"}, 0},
		{"address", "encode 4000 --json", nil, failure{}, 0},
		{"compare", "compare old.dxf new.dxf --json", nil, failure{File: "old.dxf"}, 1},
		{"demo over a job", "demo . --json", nil, failure{File: "job.yaml"}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir, err := filepath.EvalSymlinks(t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			t.Chdir(dir)
			goodJob(t, traps)
			if tt.do != nil {
				tt.do(t)
			}
			var out, errs bytes.Buffer
			if code := Run(strings.Fields(tt.args), strings.NewReader(""), &out, &errs); code != exitFailed && code != exitUsage {
				t.Fatalf("exit %d", code)
			}
			got, more := readFailure(t, out.Bytes())
			got.File = strings.ReplaceAll(got.File, dir, "$DIR")
			if got.Message = ""; got != tt.want || len(more) != tt.more {
				t.Errorf("%+v and %d more, want %+v and %d\n%s", got, len(more), tt.want, tt.more, out.Bytes())
			}
		})
	}
}

// A fault of our own is told to programs too, and so is results that nobody took.
func TestFaultAsJSON(t *testing.T) {
	if os.Getenv("LOOPWRIGHT_TEST_FAULT") == "2" {
		a := newApp(os.Stdin, os.Stdout, io.Discard)
		a.json = true
		os.Exit(a.fault("index out of range [3] with length 3"))
	}
	c := exec.Command(os.Args[0], "-test.run=^TestFaultAsJSON$")
	c.Env = append(os.Environ(), "LOOPWRIGHT_TEST_FAULT=2")
	out, _ := c.Output()
	if f, _ := readFailure(t, out); !strings.Contains(f.Message, "index out of range [3]") || !strings.Contains(f.Message, "Nothing was written.") {
		t.Errorf("%+v", f)
	}
}

// What was begun is not followed by a second object.
func TestOneObject(t *testing.T) {
	var out bytes.Buffer
	a := newApp(strings.NewReader(""), &out, io.Discard)
	a.json = true
	io.WriteString(a.out, `{"drawings":[`)
	a.exitCode(errors.New("the disk is full"))
	if out.String() != `{"drawings":[` {
		t.Errorf("%s", out.String())
	}
}

// The result says which program made it and in which form.
func TestResultNamesItsProgram(t *testing.T) {
	traps, err := filepath.Abs("../../testdata/traps")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	goodJob(t, traps)
	var out bytes.Buffer
	if code := Run([]string{"build", "job.yaml", "--json"}, strings.NewReader(""), &out, io.Discard); code != exitDone && code != exitFindings {
		t.Fatalf("exit %d", code)
	}
	var version bytes.Buffer
	Run([]string{"--version"}, strings.NewReader(""), &version, io.Discard)
	written, err := os.ReadFile("out/result.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, data := range [][]byte{out.Bytes(), written} {
		var r struct {
			Format  int
			Program string
		}
		if err := json.Unmarshal(data, &r); err != nil {
			t.Fatal(err)
		}
		number, named := strings.CutPrefix(r.Program, "loopwright ")
		if r.Format != 1 || !named || number == "" || !strings.HasPrefix(version.String(), "loopwright version "+number) {
			t.Errorf("format %d, program %q, but --version prints %q", r.Format, r.Program, version.String())
		}
		for _, name := range []string{"switch-sheets.pdf", "labels.pdf", "test-sheet.pdf", "plans.pdf"} {
			pdf, err := os.ReadFile(filepath.Join("out", name))
			if err != nil {
				t.Fatal(err)
			}
			if n := bytes.Count(pdf, []byte(utf16PDF(r.Program))); n != 2 {
				t.Errorf("%s: its properties name %s %d times, want as creator and producer", name, r.Program, n)
			}
		}
	}
}

// utf16PDF is a text as PDF holds those of any language (ISO 32000-1, 7.9.2.2): UTF-16 with a byte order mark.
func utf16PDF(s string) string {
	b := []byte{0xfe, 0xff}
	for _, r := range s {
		b = append(b, 0, byte(r))
	}
	return string(b)
}
