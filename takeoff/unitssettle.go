package takeoff

import (
	"fmt"
	"strings"

	"loopwright/takeoff/measure"
)

// settleUnits decides a sheet's units: those of the job, or those of the header
// where they fit what is drawn. Otherwise it refuses and proposes.
func (t *taker) settleUnits(sc *scene, s *Sheet) error {
	p := s.Plan
	fit := fitUnits(sc, p)
	s.Units, s.UnitsFrom = p.Units, "job"
	if p.Units == "" {
		s.Units, s.UnitsFrom = fit.Header, fit.From
		if err := fit.refuse(p); err != nil {
			return err
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

// refuse returns an error unless the header's units can be believed.
func (u UnitsFit) refuse(p Plan) error {
	_, unknown := measure.MetresPer(u.Header)
	doubts := u.Doubts(u.Header)
	var why string
	switch {
	case u.From != "header":
		why = "the drawing does not say in which units it is drawn"
	case unknown != nil:
		why = fmt.Sprintf("the header says %s, in which no building is drawn", u.Header)
	case len(doubts) > 0:
		why = fmt.Sprintf("the header says %s, but then %s", u.Header, strings.Join(doubts, " and "))
	default:
		return nil
	}
	if u.Best == "" {
		return fmt.Errorf("plan %s (%s): %s; nothing on it tells either: measure something and write units: in (or ft, mm, cm, m) in its row under plans", p.Drawing, p.Level, why)
	}
	if u.Best == u.Header {
		return fmt.Errorf("plan %s (%s): %s; if that is right, as for a site of several buildings, write units: %s in its row under plans",
			p.Drawing, p.Level, why, u.Header)
	}
	if r := u.Rivals(); len(r) > 0 {
		why += fmt.Sprintf("; %s would fit what is drawn too", strings.Join(r, " or "))
	}
	return fmt.Errorf("plan %s (%s): %s; with units in %s: %s; if that is right, write units: %s in its row under plans", p.Drawing, p.Level, why, u.Best, u.Sizes(u.Best), u.Best)
}

// doubtUnits reports where the job's units do not fit what is drawn, or are not the header's.
func (t *taker) doubtUnits(u UnitsFit, p Plan) {
	if doubts := u.Doubts(p.Units); len(doubts) > 0 {
		more := ""
		if u.Best != "" && u.Best != p.Units && u.fits(u.Best) > u.fits(p.Units) {
			more = fmt.Sprintf("; %s would fit better: %s", u.Best, u.Sizes(u.Best))
		}
		t.find(Finding{Code: CodeUnits, Severity: Warning, Drawing: p.Drawing, Message: fmt.Sprintf(
			"%s: with units: %s, as the job says, %s%s: check every length", p.Level, p.Units, strings.Join(doubts, " and "), more)})
		return
	}
	if u.From == "header" && u.Header != p.Units {
		t.find(Finding{Code: CodeUnits, Severity: Note, Drawing: p.Drawing, Message: fmt.Sprintf(
			"%s: the header says %s, the job says %s and is followed: %s", p.Level, u.Header, p.Units, u.Sizes(p.Units))})
	}
}
