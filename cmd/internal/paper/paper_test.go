package paper_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"loopwright/cmd/internal/build"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/result"
	"loopwright/testdata"
	"loopwright/testdata/against"
)

// textOf is the text of a PDF's pages, or of those that the options of poppler's
// pdftotext ask for.
func textOf(t *testing.T, pdf string, options ...string) string {
	t.Helper()
	out, err := exec.Command(against.Program(t, "pdftotext"), append(options, pdf, "-")...).Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// demo is the demo job built once for the tests that only read it.
var demo struct {
	once   sync.Once
	dir    string
	result result.Result
}

func TestMain(m *testing.M) {
	code := m.Run()
	if demo.dir != "" {
		os.RemoveAll(demo.dir)
	}
	os.Exit(code)
}

// built returns the folder and the result of the demo job.
func built(t testing.TB) (string, result.Result) {
	t.Helper()
	demo.once.Do(func() {
		dir, err := os.MkdirTemp("", "paper")
		if err != nil {
			t.Fatal(err)
		}
		demo.dir, demo.result = dir, buildInto(t, dir)
	})
	if len(demo.result.Devices) == 0 {
		t.Fatal("the demo job was not built")
	}
	return demo.dir, demo.result
}

func buildInto(t testing.TB, dir string) (r result.Result) {
	t.Helper()
	folder := t.TempDir() // a build keeps its ledger beside the job: not in the checkout
	files, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS(folder, files); err != nil {
		t.Fatal(err)
	}
	j, err := job.Load(filepath.Join(folder, "job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = build.Run(j, dir, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(dir, "result.json"))
	if err != nil {
		t.Fatal(err)
	}
	// Findings are only ever written.
	read := struct {
		*result.Result
		Findings json.RawMessage `json:"findings"`
	}{Result: &r}
	if err := json.Unmarshal(data, &read); err != nil {
		t.Fatal(err)
	}
	return r
}

// largeWords returns what is set large on each page of a PDF, from the top down.
func largeWords(t *testing.T, pdf string) []string {
	t.Helper()
	var doc struct {
		Pages []struct {
			Words []struct {
				YMin float64 `xml:"yMin,attr"`
				YMax float64 `xml:"yMax,attr"`
				Text string  `xml:",chardata"`
			} `xml:"word"`
		} `xml:"body>doc>page"`
	}
	d := xml.NewDecoder(strings.NewReader(textOf(t, pdf, "-bbox")))
	d.Strict = false
	d.Entity = xml.HTMLEntity
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, p := range doc.Pages {
		for _, w := range p.Words {
			if w.YMax-w.YMin > 30 {
				out = append(out, w.Text)
			}
		}
	}
	return out
}

// Every address of the demo stands once in its row and on one label.
func TestAgainstPopplerDemoAddresses(t *testing.T) {
	against.Program(t, "pdftotext")
	dir, r := built(t)
	var want []string
	for _, d := range r.Devices {
		if d.Address > 0 {
			want = append(want, strconv.Itoa(d.Address))
		}
	}
	slices.Sort(want)
	if len(want) < 50 {
		t.Fatalf("only %d devices have an address", len(want))
	}
	for _, name := range []string{"switch-sheets.pdf", "labels.pdf"} {
		got := slices.DeleteFunc(largeWords(t, filepath.Join(dir, name)), func(s string) bool {
			_, err := strconv.Atoi(s)
			return err != nil
		})
		slices.Sort(got)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d addresses are set large, want %d\n%v\n%v", name, len(got), len(want), got, want)
		}
	}
}

// The plans name every device's address and count what the takeoff counted.
func TestAgainstPopplerDemoPlans(t *testing.T) {
	against.Program(t, "pdftotext")
	dir, r := built(t)
	for i, l := range r.Levels {
		out := textOf(t, filepath.Join(dir, "plans.pdf"), "-raw", "-f", strconv.Itoa(i+1), "-l", strconv.Itoa(i+1))
		words := map[string]int{}
		for _, w := range strings.Fields(out) {
			words[w]++
		}
		counted := 0
		for _, d := range r.Devices {
			if d.Level != l.Level || d.Status != "counted" {
				continue
			}
			counted++
			if d.Address > 0 && words[strconv.Itoa(d.Address)] == 0 {
				t.Errorf("%s: address %d of %s is not on the plan", l.Level, d.Address, d.ID)
			}
		}
		if want := fmt.Sprintf("devices %d\n", counted); !strings.Contains(out, want) {
			t.Errorf("%s: the legend does not say %q", l.Level, want)
		}
	}
}

// The test sheet expects what the proof computed, and at 20 C what note 2 of the
// NEC's Chapter 9 Table 8 makes of the 75 C figure: R20 = R75 x (1 + 0.00323 x (20 - 75)).
func TestAgainstPopplerDemoResistances(t *testing.T) {
	against.Program(t, "pdftotext")
	dir, r := built(t)
	out := textOf(t, filepath.Join(dir, "test-sheet.pdf"), "-raw")
	all := strings.Join(strings.Fields(out), " ")
	// The conditions stand on the sheet, and nothing commands a value.
	for _, want := range []string{"Power off first", "with devices connected", "Take the short out again.", "isolators counted as closed, ", "at the panel", "terminals of FACP", "computed with 21.6 V"} {
		if !strings.Contains(all, want) {
			t.Errorf("the test sheet does not say %q", want)
		}
	}
	if strings.Contains(all, "must read") {
		t.Error("the test sheet says what the meter must read")
	}
	for _, c := range r.Circuits {
		if c.Devices == 0 {
			continue
		}
		hot := fmt.Sprintf("%.2f ohm at 75 °C", c.LoopOhm)
		if !strings.Contains(out, hot) {
			t.Errorf("%s: the test sheet does not say %q", c.Circuit, hot)
		}
		series := c.LoopOhm - 2*(c.Length+c.Slack)*ohmPerMetre[c.Cable]
		if c.Pathway == "B" {
			continue // its worst branch need not be all of its cable
		}
		cold := 2*(c.Length+c.Slack)*ohmPerMetre[c.Cable]*(1+0.00323*(20-75)) + series
		if want := fmt.Sprintf("%.2f ohm at 20 °C", cold); !strings.Contains(out, want) {
			t.Errorf("%s: the test sheet does not say %q", c.Circuit, want)
		}
		// A fifth and half an ohm to either side of what is computed, cold and hot.
		if want := fmt.Sprintf("expected %.1f ohm accept %.1f to %.1f", cold, cold*.8-.5, c.LoopOhm*1.2+.5); !strings.Contains(all, want) {
			t.Errorf("%s: the test sheet does not say %q", c.Circuit, want)
		}
	}
}

// ohmPerMetre is at 75 C, by NEC Chapter 9 Table 8: 4.89 and 3.07 ohm per 1000 ft.
var ohmPerMetre = map[string]float64{"16/2": 4.89 / 304.8, "14/2": 3.07 / 304.8}

func TestAgainstQPDF(t *testing.T) {
	qpdf := against.Program(t, "qpdf")
	dir, _ := built(t)
	for _, name := range []string{"switch-sheets.pdf", "labels.pdf", "test-sheet.pdf", "plans.pdf"} {
		out, err := exec.Command(qpdf, "--check", filepath.Join(dir, name)).CombinedOutput()
		if err != nil || bytes.Contains(out, []byte("WARNING")) {
			t.Errorf("%s: %v\n%s", name, err, out)
		}
	}
}
