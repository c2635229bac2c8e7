package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/measure"
	"loopwright/takeoff/units"
	"loopwright/takeoff/where"
)

// settleUnits decides a sheet's units: those of the job, or those of the header
// where they fit what is drawn. Otherwise it refuses and proposes.
func (t *taker) settleUnits(sc *scene, s *Sheet, i int) error {
	p := s.Plan
	fit := units.Weigh(sc.Page, p.part(), sc.inLegend)
	s.Units, s.UnitsFrom = p.Units, "job"
	if p.Units == "" {
		s.Units, s.UnitsFrom = fit.Header, fit.From
		if err := fit.Refuse(p.Drawing, p.Level); err != nil {
			return where.In(t.files.path(p.Drawing), err)
		}
	}
	m, err := measure.MetresPer(s.Units)
	if err != nil {
		return fmt.Errorf("%s: %w", p.Drawing, err)
	}
	s.MetrePer = m
	if p.Units != "" {
		t.doubtUnits(fit, i)
	}
	return nil
}

// manyDoubts is how many more measures another unit must agree with for the job's to be an error.
const manyDoubts = 2

// doubtUnits reports where the job's units do not fit what is drawn, or are not the header's.
func (t *taker) doubtUnits(u units.Fit, i int) {
	p := t.req.Plans[i]
	if doubts := u.Doubts(p.Units); len(doubts) > 0 {
		more, sev := "", Warning
		header := u.From == "header" && u.Header != p.Units && u.Fits(u.Header) > u.Fits(p.Units)
		if header {
			more, sev = "; the header says "+u.Header, Error
		}
		if u.Best != "" && u.Best != p.Units && u.Fits(u.Best) > u.Fits(p.Units) {
			more += fmt.Sprintf("; %s would fit better: %s", u.Best, u.Sizes(u.Best))
			if u.Fits(u.Best) >= u.Fits(p.Units)+manyDoubts {
				sev = Error
			}
		}
		t.badUnits[i] = t.badUnits[i] || sev == Error
		t.find(Finding{Code: codeUnits, Severity: sev, Drawing: p.Drawing, Key: planKey(i, "units"), Message: fmt.Sprintf(
			"%s: with the job's units: %s, %s%s: check every length", p.Level, p.Units, strings.Join(doubts, " and "), more)})
		return
	}
	if u.From == "header" && u.Header != p.Units {
		t.find(Finding{Code: codeUnits, Severity: Note, Drawing: p.Drawing, Message: fmt.Sprintf(
			"%s: the header says %s, the job says %s, which is used: %s", p.Level, u.Header, p.Units, u.Sizes(p.Units))})
	}
}
