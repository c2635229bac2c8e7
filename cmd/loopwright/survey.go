package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/result"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	dxfedit "loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/inspect"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

func (a *app) surveyCommand() *cobra.Command {
	var inserts bool
	var units string
	c := &cobra.Command{
		Use:   "survey DRAWING...",
		Short: "Show what is on drawings: units, size, blocks, layers, texts, findings",
		Example: `  loopwright survey level-1.dxf level-2.dxf
  loopwright survey --json --inserts level-1.dxf`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.survey(args, inserts, units) },
	}
	c.Flags().BoolVar(&inserts, "inserts", false, "list every insert, nested ones and arrays expanded (with --json)")
	c.Flags().StringVar(&units, "units", "", unitsFlag)
	return c
}

// unitsFlag explains --units.
const unitsFlag = "read the drawings in this `UNIT` (in, ft, yd, mm, cm, dm, m, km) whatever they declare"

func (a *app) survey(files []string, inserts bool, units string) error {
	known := surveyed{}
	opt := dxf.SurveyOptions{Inserts: inserts, Legend: known.describe}
	if units != "" {
		u, err := measure.ParseUnit(units)
		if err != nil {
			return usageError{err}
		}
		opt.Units = func(*dxf.Drawing) (string, string) { return u, "job" }
	}
	var ds []*dxf.Drawing
	defer func() {
		for _, d := range ds {
			d.Close()
		}
	}()
	for _, f := range files {
		d, err := dxfedit.Open(f)
		if err != nil {
			return err
		}
		ds = append(ds, d)
	}
	grave := false
	opt.Each = func(s *dxf.Survey) {
		grave = grave || slices.ContainsFunc(s.Findings, func(f dxf.Finding) bool { return f.Severity == takeoff.Error })
	}
	if err := a.writeSurveys(ds, opt, known); err != nil {
		return err
	}
	if grave {
		return errFindings
	}
	return nil
}

// writeSurveys writes what is on the drawings, as JSON or for people.
func (a *app) writeSurveys(ds []*dxf.Drawing, opt dxf.SurveyOptions, known surveyed) error {
	out := bufio.NewWriterSize(a.out, 1<<16)
	if a.json {
		return errors.Join(dxf.WriteSurveyJSON(out, ds, opt), out.Flush())
	}
	for i, d := range ds {
		if len(d.Bytes) <= inspectLimit {
			if _, err := known.look(d); err != nil {
				return err
			}
		}
		s, err := d.Survey(opt)
		if err != nil {
			return err
		}
		opt.Each(s)
		if i > 0 {
			fmt.Fprintln(out)
		}
		var b strings.Builder // the columns of tables are padded, and blanks at line ends are nobody's
		if err := writeSurvey(&b, s, known[d]); err != nil {
			return err
		}
		if _, err := out.WriteString(trimLines(b.String())); err != nil {
			return err
		}
	}
	return out.Flush()
}

// surveyed remembers what was found on the drawings surveyed.
type surveyed map[*dxf.Drawing]*found

type found struct {
	legends []recognize.Legend
	shows   *inspect.Contents // nil until asked for
}

// look inspects a drawing, once.
func (l surveyed) look(d *dxf.Drawing) (*found, error) {
	if f := l[d]; f != nil && f.shows != nil {
		return f, nil
	}
	in, look, err := inspect.Drawing(d)
	if err != nil {
		return nil, err
	}
	l[d] = &found{look.Legends, in}
	return l[d], nil
}

// describe returns what a drawing's legends say about a block. A drawing whose
// legends cannot be read says nothing: the survey itself reports why.
func (l surveyed) describe(s *dxf.Survey, effective string) string {
	d := s.Drawing
	if l[d] == nil {
		f := &found{}
		if len(d.Bytes) > inspectLimit { // reading once more, for lines and paper space, would take as long again
			f.legends = recognize.Legends([]*recognize.Page{recognize.NewPage(0, d.Name, d, s.Inserts, s.Texts, nil)}, words.Usual())
		} else {
			f.legends, _ = inspect.Legends(d)
		}
		l[d] = f
	}
	return recognize.Describe(l[d].legends, effective)
}

// inspectLimit is the size in bytes above which a survey does not look into every
// line of a drawing: that would take several times the file in memory.
const inspectLimit = 64 << 20

// writeLevels lists the levels that a drawing shows with their size, where a
// person sees at once whether the units are right, and what speaks against them.
func writeLevels(w io.Writer, s *dxf.Survey, on *found) error {
	if on == nil || on.shows == nil {
		fmt.Fprintf(w, "levels\tnot measured in a drawing of %d MB: check the size above against the building\n", len(s.Drawing.Bytes)>>20)
		return nil
	}
	in := on.shows
	metre, err := measure.MetresPer(s.Units)
	doubts, best := in.Units.Doubts(s.Units), in.Units.Unit()
	proposed, _ := measure.MetresPer(best) // 0 where nothing is proposed
	for _, l := range in.Levels {
		name := l.Name
		if name == "" {
			name = "plan"
		}
		wide, high := l.Box.Width(), l.Box.Height()
		line := fmt.Sprintf("%.6g x %.6g drawing units", wide, high)
		if err == nil {
			line += " = " + inBoth(wide*metre, high*metre)
		}
		if proposed > 0 && best != s.Units {
			line += "; with units " + best + ": " + inBoth(wide*proposed, high*proposed)
		}
		fmt.Fprintf(w, "%s\t%s\n", clean(strings.ToLower(name)), line)
	}
	if len(doubts) > 0 {
		fmt.Fprintf(w, "doubt\tin %s %s\n", s.Units, strings.Join(doubts, " and "))
	}
	if best != "" && best != s.Units {
		fmt.Fprintf(w, "proposal\tunits: %s, with which %s\n", best, in.Units.Sizes(best))
	}
	return nil
}

// writeSurvey writes a survey as people read it.
func writeSurvey(w io.Writer, s *dxf.Survey, on *found) error {
	d := s.Drawing
	form := "ASCII"
	if d.Binary {
		form = "binary"
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "%s\n", clean(d.Name))
	fmt.Fprintf(t, "format\t%s, %s\n", form, versionName(d.Version))
	fmt.Fprintf(t, "units\t%s\n", unitsLine(s))
	fmt.Fprintf(t, "size\t%s\n", sizeLine(s))
	if err := writeLevels(t, s, on); err != nil {
		return err
	}
	fmt.Fprintf(t, "holds\t%d inserts of %d blocks, %d texts, %d layers\n", len(s.Inserts), len(s.Blocks), len(s.Texts), len(d.Layers))
	if err := t.Flush(); err != nil {
		return err
	}
	if len(s.Blocks) > 0 {
		fmt.Fprintf(t, "\nblock\tinserts\thidden\tlayers\tattributes\tlegend\n")
	}
	for _, b := range s.Blocks {
		fmt.Fprintf(t, "%s\t%d\t%d\t%s\t%s\t%s\n", clean(b.Effective), b.Inserts, b.Hidden, layerList(b.Layers), clean(strings.Join(b.Attribs, " ")), clean(b.Legend))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(s.Findings) > 0 {
		fmt.Fprintf(w, "\n%s\n", result.HowMany(len(s.Findings)))
	}
	for _, f := range s.Findings {
		fmt.Fprintln(w, clean(takeoff.FromDrawing("", f).String()))
	}
	return nil
}

// versionNames are the releases by $ACADVER (DXF reference, HEADER).
var versionNames = map[string]string{
	"AC1006": "R10", "AC1009": "R11/R12", "AC1012": "R13", "AC1014": "R14", "AC1015": "R2000", "AC1018": "R2004",
	"AC1021": "R2007", "AC1024": "R2010", "AC1027": "R2013", "AC1032": "R2018",
}

func versionName(v string) string {
	if n, ok := versionNames[v]; ok {
		return n + " (" + v + ")"
	}
	if v == "" {
		return "release not given"
	}
	return clean(v)
}

func unitsLine(s *dxf.Survey) string {
	switch s.UnitsFrom {
	case "header":
		return s.Units + ", as the header says: check it against the size below"
	case "job":
		return s.Units + ", as requested"
	case "assumed":
		return s.Units + ", assumed from the way lengths are shown"
	}
	return "not given: give them in the job file"
}

// sizeLine gives the extent of what is inserted and written, in drawing units,
// metres and feet, where a person sees nonsense at once.
func sizeLine(s *dxf.Survey) string {
	b := geom.EmptyBox()
	for _, i := range s.Inserts {
		b = b.Extend(geom.Pt(i.Pos.X, i.Pos.Y))
	}
	for _, t := range s.Texts {
		b = b.Extend(geom.Pt(t.Pos.X, t.Pos.Y))
	}
	if b.Empty() {
		return "no inserts or texts to measure between"
	}
	line := fmt.Sprintf("inserts and texts span %.6g x %.6g drawing units", b.Width(), b.Height())
	if m, err := measure.MetresPer(s.Units); err == nil {
		line += " = " + inBoth(b.Width()*m, b.Height()*m)
	}
	return line
}

// inBoth writes a size in metres and in feet.
func inBoth(w, h float64) string {
	return measure.Metric.Size(w, h, 1) + " = " + measure.Imperial.Size(w, h, 0)
}

func layerList(n map[string]int) string {
	var parts []string
	for _, l := range slices.Sorted(maps.Keys(n)) {
		parts = append(parts, fmt.Sprintf("%s %d", clean(l), n[l]))
	}
	return strings.Join(parts, ", ")
}

// clean keeps control characters of a drawing away from the terminal.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 {
			return '?'
		}
		return r
	}, s)
}
