package build

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

// TestExchangeIsSaid: an installed device that is drawn as another type keeps its
// address, loses what was read off the old one, and page and sheets say so.
func TestExchangeIsSaid(t *testing.T) {
	file := folder(t, "S1,smoke,Level 1,1,0,101\nS2,smoke,Level 1,6,0,101\nS3,smoke,Level 1,11,0,101\n")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, strings.Replace(string(text), "  - {type: horn", "  - {type: heat, standby: 0.3 mA, alarm: 5 mA}\n  - {type: horn", 1))
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(filepath.Dir(file), "out")
	if _, err := Run(j, dir, outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	ledger := outcome.LedgerPath(j)
	rows, err := os.ReadFile(ledger)
	if err != nil {
		t.Fatal(err)
	}
	write(t, ledger, strings.Replace(string(rows), "planned,,,,,\nS2", "installed,,1,S/N 7,done,\nS2", 1))
	write(t, filepath.Join(filepath.Dir(file), "plan.csv"), "id,type,level,x,y,room\nS1,heat,Level 1,1,0,101\nS2,smoke,Level 1,6,0,101\nS3,smoke,Level 1,11,0,101\n")
	o := computed(t, file)
	var page strings.Builder
	if err := fieldpage.Write(&page, o); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(page.String(), outcome.ToExchange); n != 1 {
		t.Errorf("the page says %d times that a device is to be exchanged", n)
	}
	if row := o.Ledger().Rows[0]; row.ID != "S1" || row.Address != 1 || row.State != "exchange" || row.Serial != "" || row.Remark != "was smoke; serial S/N 7; found 1; done done" {
		t.Errorf("%+v", row)
	}
}

// TestARenamedTypeExchangesNothing: the job file calls a type otherwise.
func TestARenamedTypeExchangesNothing(t *testing.T) {
	file := folder(t, "S1,smoke,Level 1,1,0,101\nS2,smoke,Level 1,6,0,101\n")
	j, err := job.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Run(j, filepath.Join(filepath.Dir(file), "out"), outcome.Known{}, nil); err != nil {
		t.Fatal(err)
	}
	rows, err := os.ReadFile(outcome.LedgerPath(j))
	if err != nil {
		t.Fatal(err)
	}
	write(t, outcome.LedgerPath(j), strings.ReplaceAll(string(rows), "planned", "installed"))
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, strings.Replace(string(text), "type: smoke", "type: detector", 1))
	write(t, filepath.Join(filepath.Dir(file), "plan.csv"), "id,type,level,x,y,room\nS1,detector,Level 1,1,0,101\nS2,detector,Level 1,6,0,101\n")
	o := computed(t, file)
	for _, r := range o.Ledger().Rows {
		if r.State != "installed" || r.Type != "detector" {
			t.Errorf("%+v", r)
		}
	}
	if !slices.ContainsFunc(o.Findings, func(f takeoff.Finding) bool { return f.Code == assign.CodeTypeRenamed }) {
		t.Errorf("%v", o.Findings)
	}
}
