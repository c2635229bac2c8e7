package takeoff

import (
	"slices"
	"sync"

	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// scene is a page with what on it is set aside: the legends.
type scene struct {
	*plan.Page
	loose   func() *figures.Board // its loose linework, put together when first asked for
	paper   func() *figures.Board // that of paper space
	legends []Legend
	maybe   []Legend // symbols beside texts that may be one: they count, and a person is asked
}

// openScene opens a drawing and finds its legends.
func openScene(path string) (*scene, error) {
	p, err := plan.Open(path)
	if err != nil {
		return nil, err
	}
	return newScene(p), nil
}

// newScene finds the legends of a page.
func newScene(p *plan.Page) *scene {
	s := &scene{Page: p, loose: sync.OnceValue(func() *figures.Board { return figures.On(p.Shapes, p.Texts, false) }),
		paper: sync.OnceValue(func() *figures.Board { return figures.On(p.PaperShapes(), p.Texts, true) })}
	s.legends, s.maybe = findLegends(p, s.loose)
	return s
}

// inLegend reports whether a place of model space lies in a legend.
func (s *scene) inLegend(p geom.Point) bool {
	return slices.ContainsFunc(s.legends, func(l Legend) bool { return !l.Paper && l.Holds(p) })
}
