package sheet

import (
	"fmt"

	"loopwright/takeoff"
)

// planTitle draws the strip under a plan: level, job, scale, bar, north, revision.
func (p *pen) planTitle(pl Plan, page, of int) {
	l := pl.Layout
	top := l.area.y + l.area.h
	left, right, bottom := l.area.x, l.paper.w-planEdge, l.paper.h-planEdge
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.8)
	p.Rect(left, top, right-left, bottom-top, "D")
	wide := right - left
	first, second, third := left+8, left+wide*0.40, left+wide*0.68
	p.fit(first, top+26, second-first-10, pl.Level, style{size: 20, bold: true})
	p.fit(first, top+42, second-first-10, p.job.Name, style{size: 11, bold: true})
	p.fit(first, top+55, second-first-10, "Devices, addresses and cable routes", style{size: 9})
	p.write(second, top+18, "Scale "+l.Words(), style{size: 10, bold: true})
	p.write(second, top+30, fmt.Sprintf("on %s; print at full size", l.Sheet), style{size: 8})
	p.bar(l, second, top+42)
	p.north(second+wide*0.19, top+28, pl.North)
	p.right(right-8, top+18, fmt.Sprintf("sheet %d of %d", page, of), style{size: 10, bold: true})
	if s := p.job.stamp(); s != "" {
		p.write(third, top+18, s, style{size: 10, bold: true})
	}
	for i, s := range p.wrap("Routes are proposals: walls, fire stopping and other trades are for the site to judge.", right-third-8, 2, style{size: 8}) {
		p.write(third, top+32+9.5*float64(i), s, style{size: 8})
	}
	p.fit(first, bottom-5, wide-16, takeoff.Caution, style{size: 7.5})
}

// bar draws a scale bar of four fields.
func (p *pen) bar(l Layout, x, y float64) {
	units, w := l.barLength(p.job.Units)
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.6)
	for i := range 4 {
		p.SetFillColor(0, 0, 0)
		if i%2 == 1 {
			p.SetFillColor(255, 255, 255)
		}
		p.Rect(x+float64(i)*w/4, y, w/4, 5, "FD")
	}
	st := style{size: 7.5}
	p.write(x, y+13, "0", st)
	p.center(x+w/2, y+13, fmt.Sprintf("%g", float64(units)/2), st)
	p.center(x+w, y+13, fmt.Sprintf("%d %s", units, p.job.Units.Unit()), st)
}

// planLegend draws the column beside a plan: types with counts, circuits.
func (p *pen) planLegend(pl Plan) {
	l := pl.Layout
	x, y := l.area.x+l.area.w, l.area.y
	right := l.paper.w - planEdge
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(0.8)
	p.Rect(x, y, right-x, l.area.h, "D")
	x += 10
	right -= 8
	y += 18
	p.write(x, y, "On this level", style{size: 11, bold: true})
	total := 0
	for _, k := range pl.Legend {
		y += 14
		p.symbol(x+6, y-3, k.Key, k.Isolates, k.Square)
		p.right(right, y, fmt.Sprint(k.Count), style{size: 8.5, bold: true})
		total += k.Count
		const names = 8.0
		lines := p.wrap(k.Name, right-x-38, 2, style{size: names})
		for i, s := range lines {
			y += float64(i) * (names + 1)
			p.fit(x+16, y, right-x-38, s, style{size: names})
		}
	}
	y += 15
	p.rule(x, y-10, right, y-10, 0.4, 0)
	p.write(x+16, y, "devices", style{size: 8.5})
	p.right(right, y, fmt.Sprint(total), style{size: 8.5, bold: true})
	y += 24
	p.write(x, y, "Circuits", style{size: 11, bold: true})
	for _, r := range pl.Routes {
		y += 14
		p.lookOf(r.Index, 1.2)
		p.Line(x, y-3, x+40, y-3)
		p.plainLine()
		p.fit(x+48, y, right-x-48, r.Circuit, style{size: 8.5})
	}
	y += 20
	for _, s := range p.wrap("Ring: takes an address. Square: takes none. Ring in a square: two on one spot. Black diamond: isolator. Number beside a mark: its address.", right-x, 7, style{size: 7.5}) {
		p.write(x, y, s, style{size: 7.5})
		y += 9
	}
}
