package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/legend"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/units"
	"loopwright/takeoff/where"
)

// settleUnits decides a sheet's units: those of the job, or those of the header
// where they fit what is drawn. Otherwise it refuses and proposes.
func (t *taker) settleUnits(sc *legend.Page, s *Sheet) error {
	p := s.Plan
	fit := units.Weigh(sc.Page, p.part(), sc.InLegend)
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
		t.doubtUnits(fit, p)
	}
	return nil
}

// doubtUnits reports where the job's units do not fit what is drawn, or are not the header's.
func (t *taker) doubtUnits(u units.Fit, p Plan) {
	if doubts := u.Doubts(p.Units); len(doubts) > 0 {
		more := ""
		if u.Best != "" && u.Best != p.Units && u.Fits(u.Best) > u.Fits(p.Units) {
			more = fmt.Sprintf("; %s would fit better: %s", u.Best, u.Sizes(u.Best))
		}
		t.find(Finding{Code: codeUnits, Severity: Warning, Drawing: p.Drawing, Message: fmt.Sprintf(
			"%s: with the job's units: %s, %s%s: check every length", p.Level, p.Units, strings.Join(doubts, " and "), more)})
		return
	}
	if u.From == "header" && u.Header != p.Units {
		t.find(Finding{Code: codeUnits, Severity: Note, Drawing: p.Drawing, Message: fmt.Sprintf(
			"%s: the header says %s, the job says %s, which is used: %s", p.Level, u.Header, p.Units, u.Sizes(p.Units))})
	}
}
