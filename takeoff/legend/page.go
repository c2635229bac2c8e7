package legend

import (
	"slices"
	"sync"

	"loopwright/takeoff/figures"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/plan"
)

// Page is a page with what on it is set aside: the legends.
type Page struct {
	*plan.Page
	Loose   func() *figures.Board // its loose linework, put together when first asked for
	Paper   func() *figures.Board // that of paper space
	Legends []Legend
	Maybe   []Legend // symbols beside texts that may be one: they count, and a person is asked
}

// Open opens a drawing and finds its legends.
func Open(path string) (*Page, error) {
	p, err := plan.Open(path)
	if err != nil {
		return nil, err
	}
	return Of(p), nil
}

// Of finds the legends of a page.
func Of(p *plan.Page) *Page {
	s := &Page{Page: p, Loose: sync.OnceValue(func() *figures.Board { return figures.On(p.Shapes, p.Texts, false) }),
		Paper: sync.OnceValue(func() *figures.Board { return figures.On(p.PaperShapes(), p.Texts, true) })}
	s.Legends, s.Maybe = find(p, s.Loose)
	return s
}

// InLegend reports whether a place of model space lies in a legend.
func (s *Page) InLegend(p geom.Point) bool {
	return slices.ContainsFunc(s.Legends, func(l Legend) bool { return !l.Paper && l.Holds(p) })
}
