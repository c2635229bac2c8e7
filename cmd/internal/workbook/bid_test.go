package workbook_test

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/cmd/internal/workbook"
)

// priced is the small job with every price and hour that the bid asks for.
func priced(t testing.TB) *outcome.Outcome {
	return smallWith(t, func(j *job.Job) {
		j.Types[1].Material, j.Types[3].Hours = 75, 0.5
		j.Cables[1].Price = 0.5 / 0.3048
		for i := range j.Cables {
			j.Cables[i].Hours = known(0.01 / 0.3048) // 1 h for 100 ft
		}
		p := &j.Panels[0]
		p.Material, p.BatteryMaterial, p.Hours = known(1000), known(80), known(10)
		j.Acceptance.Hours = known(8)
		j.Bid = job.Bid{Sundries: known(0.02), Tax: known(0.06), Contingency: known(0.05), Overhead: known(0.1), Profit: known(0.08)}
	})
}

// TestBidAddsUp works the bid out from the figures of the job and the counts on
// the other sheets, with the arithmetic of a person.
func TestBidAddsUp(t *testing.T) {
	in := priced(t)
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	get := func(sheet, row, col string) float64 {
		switch v := lookup(t, sheets, sheet, row, col).(type) {
		case float64:
			return v
		case int:
			return float64(v)
		}
		t.Fatalf("%s, %s, %s: no number", sheet, row, col)
		return 0
	}
	n := map[string]float64{}
	devices := 0.0
	for _, d := range in.Devices {
		if d.Status == "counted" {
			n[d.Type]++
			devices++
		}
	}
	const added = 1     // isolator
	const resistors = 3 // one waterflow module and both ends of NAC-1, or as the sheet Parts has it
	eol := get("Parts", "total", "F")
	if eol < 1 || eol > resistors+n["waterflow"] {
		t.Fatalf("%v resistors", eol)
	}
	material := 58*n["smoke"] + 75*n["pull"] + 82*n["waterflow"] + 64*(n["isolator"]+added) + 69*n["horn"] + 12.5*n["damper"]
	material += 1000 + 80
	material += 0.42*get("Cable", "16/2", "L") + 0.5*get("Cable", "14/2", "L")
	material += 4.25*(n["smoke"]+n["horn"]) + 2.75*n["pull"] + 1.10*eol
	material += 2 * 150
	hours := 0.75*n["smoke"] + 1*n["pull"] + 1.25*n["waterflow"] + 0.5*(n["isolator"]+added) + 1*n["horn"] + 0.5*n["damper"]
	hours += 0.2*n["pull"] + 0.1*eol
	hours += (get("Cable", "16/2", "H") + get("Cable", "14/2", "H")) / 100
	hours += 10 + 0.1*devices + 8
	sundries := 0.02 * material
	tax := 0.06 * (material + sundries)
	cost := material + sundries + tax + 95*hours
	contingency := 0.05 * cost
	overhead := 0.10 * (cost + contingency)
	profit := 0.08 * (cost + contingency + overhead)
	for _, tt := range []struct {
		row  string
		want float64
	}{
		{"Material", material}, {"Sundries", sundries}, {"Tax on material", tax}, {"Labor, hours", hours}, {"Labor", 95 * hours}, {"Cost", cost},
		{"Contingency", contingency}, {"Overhead", overhead}, {"Profit", profit}, {"Total", cost + contingency + overhead + profit},
		{"Total of the bid, USD", cost + contingency + overhead + profit},
	} {
		if got := get("Summary", tt.row, "B"); math.Abs(got-tt.want) > 0.005 {
			t.Errorf("%s: %.4f, by hand %.4f", tt.row, got, tt.want)
		}
	}
	if lookup(t, sheets, "Summary", "Every price and hour is given.", "A") == nil {
		t.Error("the bid does not say that it is complete")
	}
}

// TestBidNamesWhatIsMissing: the first sheet counts and names every gap.
func TestBidNamesWhatIsMissing(t *testing.T) {
	sheets, err := workbook.Compose(small(t))
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, c := range sheets[0].Cells() {
		if v, ok := c.Value.(string); ok && c.At[0] == 'A' {
			said = append(said, v)
		}
	}
	for _, want := range []string{"INCOMPLETE: 10 price(s) or hour(s) are not given, and the total leaves them out: see below.", "no price: pull", "no price: FACP", "no price: battery FACP", "no price: 14/2",
		"no hours: isolator", "no hours: isolators to add", "no hours: cable 16/2", "no hours: cable 14/2", "no hours: FACP", "no hours: acceptance"} {
		if !slices.Contains(said, want) {
			t.Errorf("the first sheet does not say %q", want)
		}
	}
}

// TestZeroIsAPrice: what the file gives as 0 is not missing.
func TestZeroIsAPrice(t *testing.T) {
	path := filepath.Join("testdata", "small", "job.yaml")
	src, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Parse(path, bytes.Replace(src, []byte("material: 12.50, hours: 0.5"), []byte("material: 0, hours: 0"), 1))
	if err != nil {
		t.Fatal(err)
	}
	in := small(t)
	in.Job = j
	sheets, err := workbook.Compose(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, sheet := range []string{"Prices", "Labor"} {
		near(t, sheet, lookup(t, sheets, sheet, "damper", "E"), 0, 0)
		if flag := lookup(t, sheets, sheet, "damper", "G"); flag != "" {
			t.Errorf("%s: %v", sheet, flag)
		}
	}
}
