package recognize

import (
	"github.com/tidwall/rtree"

	"loopwright/takeoff/geom"
)

// Sketch is what is drawn around one figure: enough for a small picture of it.
type Sketch struct {
	Window  geom.Box // drawing units
	Lines   [][]geom.Point
	Letters []Letters
	figure  geom.Box
}

// Letters are one line of lettering in a picture.
type Letters struct {
	Text   string
	At     geom.Point // the middle, drawing units
	Height float64
}

// Limits of pictures.
const (
	apron      = 0.4  // of a figure's size, shown around it
	mostPoints = 3000 // of one picture's lines
)

// newSketch is the empty sketch of a figure in a box; h is the ruler.
func newSketch(b geom.Box, h float64) *Sketch {
	size := max(side(b), h, 1e-9)
	return &Sketch{Window: geom.Around(b.Center(), (1+2*apron)*size, (1+2*apron)*size), figure: b.Grow(0.05 * size)}
}

// draw fills pictures with what stands in their windows: what can be seen, and the figure
// itself where it is hidden.
func (p *Page) draw(sketches []*Sketch) {
	if len(sketches) == 0 {
		return
	}
	var tree rtree.RTreeG[*Sketch]
	for _, l := range sketches {
		tree.Insert([2]float64{l.Window.Min.X, l.Window.Min.Y}, [2]float64{l.Window.Max.X, l.Window.Max.Y}, l)
	}
	points := map[*Sketch]int{}
	for i := range p.Shapes {
		sh := &p.Shapes[i]
		if sh.Paper || len(sh.Points) == 0 {
			continue
		}
		b := geom.EmptyBox()
		for _, v := range sh.Points {
			b = b.Extend(plane(v))
		}
		tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, l *Sketch) bool {
			if !sh.Visible && !(l.figure.Contains(b.Min) && l.figure.Contains(b.Max)) || points[l]+len(sh.Points) > mostPoints {
				return true
			}
			points[l] += len(sh.Points)
			var line []geom.Point
			for _, v := range sh.Points {
				line = append(line, plane(v))
			}
			if sh.Closed {
				line = append(line, line[0])
			}
			l.Lines = append(l.Lines, line)
			return true
		})
	}
	for i := range p.Texts {
		t := &p.Texts[i]
		if t.Paper || t.Height <= 0 {
			continue
		}
		b := textBox(t)
		tree.Search([2]float64{b.Min.X, b.Min.Y}, [2]float64{b.Max.X, b.Max.Y}, func(_, _ [2]float64, l *Sketch) bool {
			if t.Visible || l.figure.Contains(b.Center()) {
				l.Letters = append(l.Letters, Letters{t.Text, b.Center(), t.Height})
			}
			return true
		})
	}
}
