package wire

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"loopwright/testdata/against"
)

// The published and computed values against which this package is checked live
// in testdata/reference; every row names its source. reference counts which rows
// a test has used, so that none is passed over in silence.
const referenceDir = "../../testdata/reference"

var referenceFiles = []string{"conductor_formula", "conductor_iec60228", "conductor_nec_table8", "conductor_coated", "max_length", "worked_examples", "power_nac"}

type refRow struct{ name, value, unit, source, mark string }

type reference struct {
	t    *testing.T
	rows map[string]refRow // by file/name
	used map[string]bool
}

func readReference(t *testing.T, path string) []refRow {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	var out []refRow
	for _, r := range records[1:] {
		out = append(out, refRow{r[0], r[1], r[2], r[3], r[4]})
	}
	return out
}

func loadReference(t *testing.T) *reference {
	t.Helper()
	r := &reference{t, map[string]refRow{}, map[string]bool{}}
	for _, file := range referenceFiles {
		for _, row := range readReference(t, filepath.Join(referenceDir, file+".csv")) {
			key := file + "/" + row.name
			if _, twice := r.rows[key]; twice {
				t.Fatalf("%s stands twice", key)
			}
			r.rows[key] = row
		}
	}
	return r
}

// text returns a row's value as written and marks the row as used.
func (r *reference) text(key string) string {
	r.t.Helper()
	row, ok := r.rows[key]
	if !ok {
		r.t.Fatalf("no reference row %s", key)
	}
	r.used[key] = true
	return row.value
}

// num returns a row's leading number and marks the row as used.
func (r *reference) num(key string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(strings.Fields(strings.TrimPrefix(r.text(key), "+"))[0], 64)
	if err != nil {
		r.t.Fatalf("%s: %v", key, err)
	}
	return v
}

// list returns a row that holds several numbers.
func (r *reference) list(key string) []float64 {
	r.t.Helper()
	var out []float64
	for _, s := range strings.Split(r.text(key), ";") {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			r.t.Fatalf("%s: %v", key, err)
		}
		out = append(out, v)
	}
	return out
}

// keys returns the names in a file that start with prefix, in the file's name order.
func (r *reference) keys(file, prefix string) []string {
	var out []string
	for k := range r.rows {
		if strings.HasPrefix(k, file+"/"+prefix) {
			out = append(out, k)
		}
	}
	sort.Strings(out)
	return out
}

// same compares a result of ours with a row, within tol in the row's own unit.
func (r *reference) same(key string, got, tol float64) {
	r.t.Helper()
	want := r.num(key)
	if !(got >= want-tol && got <= want+tol) {
		r.t.Errorf("%s: got %.6g, the source has %v %s (%s)", key, got, want, r.rows[key].unit, r.rows[key].source)
	}
}

// notApplied lists the rows that no test uses, each with the reason.
var notApplied = map[string]string{
	"conductor_nec_table8/strands_small":            "the number of strands enters no result",
	"conductor_formula/alpha_cu_20C":                "marked as from memory there; conductor_coated has a row with a source",
	"power_nac/nac_start_voltage_other":             "an input that worked example 3 brings itself",
	"power_nac/appliance_max_voltage_regulated_24V": "no upper voltage is computed: a circuit only drops",
	"power_nac/supply_percent_high":                 "no upper voltage is computed: a circuit only drops",
}

func TestReference(t *testing.T) {
	r := loadReference(t)
	for _, part := range []struct {
		name string
		run  func(*reference)
	}{
		{"constants", checkConstants}, {"formula", checkFormula}, {"table 8", checkTable8}, {"coated", checkCoated}, {"IEC 60228", checkIEC},
		{"length tables computed", checkMaxLength}, {"length tables published", checkPublishedLengths},
		{"capacitance", checkCapacitance}, {"battery", checkBattery}, {"voltage drop", checkVoltageDrop},
		{"periods and supply", checkPeriods},
	} {
		t.Run(part.name, func(t *testing.T) { r.t = t; part.run(r) })
	}
	r.t = t
	memory, applied := 0, 0
	for key, row := range r.rows {
		why := notApplied[key]
		switch {
		case r.used[key]:
			applied++
			if why != "" {
				t.Errorf("%s is used, and also listed as not applied", key)
			}
		case row.mark == "MEMORY":
			memory++
		case why == "":
			t.Errorf("%s (%s) is used by no test", key, row.mark)
		}
	}
	t.Logf("%d rows: %d used, %d from memory and so no check, %d not applied", len(r.rows), applied, memory, len(r.rows)-applied-memory)
}

// TestAgainstCollection holds our copy against the collection that
// it was taken from, where that is at hand. Wording of the sources is our own.
func TestAgainstCollection(t *testing.T) {
	dir := against.Folder(t, "facts", "csv")
	for _, file := range append([]string{"pathway_rules"}, referenceFiles...) {
		if file == "conductor_coated" {
			continue // read later, for this project
		}
		strip := func(rows []refRow) []string {
			var out []string
			for _, r := range rows {
				out = append(out, fmt.Sprintf("%s,%s,%s,%s", r.name, r.value, r.unit, r.mark))
			}
			return out
		}
		ours := strip(readReference(t, filepath.Join(referenceDir, file+".csv")))
		theirs := strip(readReference(t, filepath.Join(dir, file+".csv")))
		if strings.Join(ours, "\n") != strings.Join(theirs, "\n") {
			t.Errorf("%s.csv differs from the collection", file)
		}
	}
}
