package inspect

import (
	"slices"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/plan"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/rooms"
	"loopwright/takeoff/units"
	"loopwright/takeoff/words"
)

// Contents is what a drawing shows, before anybody has said what to look for.
type Contents struct {
	File  string
	Units units.Fit
	Walls []string // layers that are named for walls
	// Wiring are the layers that circuits seem to be drawn on.
	Wiring []string
	// Bounds says what bounds the rooms where no layer is named for walls, by the plans that were recognised.
	Bounds  map[int]rooms.Proposal
	Regions []recognize.Region
	Levels  []Level           // at least one; unnamed if no title was found
	Project string            // as a title block says; "" if none does
	Broken  []takeoff.Finding // of severity error: what of the drawing could not be read
}

// Level is a storey that a drawing shows.
type Level struct {
	Name string   // as its title says, "" if none does
	Box  geom.Box // drawing units: its walls, or what is drawn there
}

// Drawing says what an open drawing shows, and what is recognised on it alone.
func Drawing(d *dxf.Drawing) (*Contents, *recognize.Result, error) {
	p, err := plan.New(d)
	if err != nil {
		return nil, nil, err
	}
	look := recognize.Look([]*recognize.Page{pageOf(0, d.Name, p)}, words.Usual())
	in := contents(p, 0, look)
	in.File = d.Name
	return in, look, nil
}

// Legends finds the legends of an open drawing, those in paper space too.
func Legends(d *dxf.Drawing) ([]recognize.Legend, error) {
	p, err := plan.New(d)
	if err != nil {
		return nil, err
	}
	return recognize.Legends([]*recognize.Page{pageOf(0, d.Name, p)}, words.Usual()), nil
}

func pageOf(index int, name string, p *plan.Page) *recognize.Page {
	return recognize.NewPage(index, name, p.Drawing, p.Inserts, p.Texts, slices.Concat(p.Shapes, p.PaperShapes()))
}

func contents(p *plan.Page, index int, look *recognize.Result) *Contents {
	in := &Contents{Walls: p.WallLayers(), Wiring: p.WiringLayers(), Project: project(p), Regions: look.Regions(index)}
	in.Units = units.Weigh(p, plan.Part{}, func(at geom.Point) bool { return look.Sampled(index, at) })
	for i := range look.Plans {
		pl := &look.Plans[i]
		if pl.Page != index {
			continue
		}
		l := Level{Box: p.Storey(plan.Part{Region: &pl.Box})}
		if pl.Whole || l.Box.Empty() {
			l.Box = p.Storey(plan.Part{})
		}
		if pl.Title != "" {
			l.Name = pl.Name
		}
		in.Levels = append(in.Levels, l)
	}
	if len(in.Levels) == 0 {
		in.Levels = []Level{{Box: p.Storey(plan.Part{})}}
	}
	for i := range in.Levels {
		if in.Levels[i].Box.Empty() { // nothing is drawn at all
			in.Levels[i].Box = geom.Box{}
		}
	}
	for _, f := range p.Notes {
		if f.Severity == takeoff.Error {
			in.Broken = append(in.Broken, takeoff.FromDrawing("", f))
		}
	}
	return in
}

func (in *Contents) metres() float64 {
	m, err := measure.MetresPer(in.Units.Unit())
	if err != nil {
		return 1
	}
	return m
}

// project is the name of the job, as the attributes of title blocks say.
func project(p *plan.Page) string {
	for i := range p.Inserts {
		for _, a := range p.Inserts[i].Attribs {
			if words.IsProjectTag(strings.ToUpper(a.Tag)) && words.Letters(a.Value) > 2 {
				return strings.Join(strings.Fields(a.Value), " ")
			}
		}
	}
	return ""
}
