package sheet

import (
	"fmt"

	"loopwright/takeoff"
)

// frame is what stands on every page of a document that people carry.
type frame struct {
	title string // of the document
	page  int
	of    int
	notes []string // printed above the caution
}

const (
	edge      = 28.0 // margin of a page
	headSpace = 52.0 // from the margin to the column heads
	footSpace = 30.0 // kept free above the bottom margin
)

// head draws the top of a page: what it is about at the left, the job at the right.
func (p *pen) head(f frame, subject, detail string) {
	paper := p.job.paper()
	right := paper.w - edge
	half := (right - edge) * 0.62
	p.fit(edge, edge+18, half, subject, style{size: 22, bold: true})
	p.fit(edge, edge+32, half, detail, style{size: 9})
	room := right - edge - half - 8
	p.jobName(right, room)
	p.right(right, edge+22, f.title, style{size: 9})
	p.right(right, edge+33, fmt.Sprintf("page %d of %d", f.page, f.of), style{size: 9})
	if s := p.job.stamp(); s != "" {
		s, st := p.fitted(room, s, style{size: 9})
		p.right(right-p.width(fmt.Sprintf("page %d of %d", f.page, f.of), style{size: 9})-14, edge+33, s, st)
	}
	p.rule(edge, edge+38, right, edge+38, 1.4, 0)
}

// jobName writes the job's name so that it ends at right, on two lines if it is long.
func (p *pen) jobName(right, room float64) {
	st := style{size: 11, bold: true}
	if p.width(p.job.Name, st) <= room {
		p.right(right, edge+9, p.job.Name, st)
		return
	}
	st.size = 8.5
	for i, l := range p.wrap(p.job.Name, room, 2, st) {
		l, st := p.fitted(room, l, st)
		p.right(right, edge+3+9*float64(i), l, st)
	}
}

// foot draws the notes and the caution at the bottom of a page.
func (p *pen) foot(f frame) {
	paper := p.job.paper()
	y := paper.h - edge
	p.fit(edge, y, paper.w-2*edge, takeoff.Caution, style{size: 7})
	for i := len(f.notes) - 1; i >= 0; i-- {
		y -= 9
		p.fit(edge, y, paper.w-2*edge, f.notes[i], style{size: 7.5})
	}
	p.rule(edge, y-9, paper.w-edge, y-9, 0.5, 0)
}
