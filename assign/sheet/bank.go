package sheet

import (
	"fmt"
	"math"
	"strconv"

	"loopwright/assign"
)

// A bank is the row of switches of one device, drawn as it looks: slots side by
// side with the knob up for ON, or one above the other with the knob to the
// right for ON. Measures are points.
type bank struct {
	pen      *pen
	x, y     float64 // top left
	w        float64 // room there is
	sideways bool
}

const (
	bankOnLabel = 16.0 // width of the mark at the ON side
	slotWidth   = 10.5
	slotHeight  = 26.0
	slotTop     = 11.0 // below the bank's top: switch numbers stand above
	slotPitch   = 18.5 // at most
	optionPitch = 30.0 // of an extra switch
	sidePitch   = 7.4  // of switches one above the other, at most
	sideBank    = 53.0 // height of all of them, at most
	sideTop     = 9.0
	sideSlot    = 30.0
)

// knob is where one switch is drawn, in points from the page's top left: the
// halves of its slot.
type knob struct {
	on, off box
}

type box struct{ x, y, w, h float64 }

func (b box) center() (x, y float64) { return b.x + b.w/2, b.y + b.h/2 }

// knobs returns the places of n switches.
func (b bank) knobs(n, extra int) []knob {
	ks := make([]knob, n)
	if b.sideways {
		pitch := min(sidePitch, sideBank/float64(n))
		for i := range ks {
			y := b.y + sideTop + float64(i)*pitch
			ks[i] = knob{on: box{b.x + 24 + sideSlot/2, y, sideSlot / 2, pitch - 1.3}, off: box{b.x + 24, y, sideSlot / 2, pitch - 1.3}}
		}
		return ks
	}
	pitch := min(slotPitch, (b.w-bankOnLabel-float64(extra)*optionPitch)/float64(n))
	for i := range ks {
		x := b.x + bankOnLabel + float64(i)*pitch + (pitch-slotWidth)/2
		ks[i] = knob{on: box{x, b.y + slotTop, slotWidth, slotHeight / 2}, off: box{x, b.y + slotTop + slotHeight/2, slotWidth, slotHeight / 2}}
	}
	return ks
}

// offGray is the shade of a knob that is OFF: the place says it, the shade says it again.
const offGray = 205

// slot draws one switch.
func (p *pen) slot(k knob, on bool) {
	p.SetDrawColor(0, 0, 0)
	x, y := min(k.on.x, k.off.x), min(k.on.y, k.off.y)
	w, h := max(k.on.x+k.on.w, k.off.x+k.off.w)-x, max(k.on.y+k.on.h, k.off.y+k.off.h)-y
	p.SetLineWidth(0.6)
	p.SetFillColor(255, 255, 255)
	p.Rect(x, y, w, h, "FD")
	b, gray := k.off, offGray
	if on {
		b, gray = k.on, 0
	}
	p.SetLineWidth(0.9)
	p.SetFillColor(gray, gray, gray)
	const inset = 0.8
	p.Rect(b.x+inset, b.y+inset, b.w-2*inset, b.h-2*inset, "FD")
}

// draw draws the setting of a device, its extra switches beside it, and the sum
// under it.
func (b bank) draw(s assign.Scheme, address int, set *assign.Setting, options []assign.OptionSetting) {
	switch {
	case set == nil:
		b.options(b.x+bankOnLabel, options)
	case set.Scheme == "decade":
		b.dials(address)
	case set.Row == "":
		b.pen.fit(b.x+4, b.y+24, b.w-8, "set electronically", style{size: 10})
		b.pen.fit(b.x+4, b.y+40, b.w-8, "to "+strconv.Itoa(address), style{size: 12, bold: true})
	default:
		b.switches(s, address, set.Row, options)
	}
}

func (b bank) switches(s assign.Scheme, address int, row string, options []assign.OptionSetting) {
	p := b.pen
	values := s.Values()
	ks := b.knobs(len(row), len(options))
	for i, k := range ks {
		on := row[i] == '1'
		p.slot(k, on)
		st := style{size: 8, bold: on}
		if !on {
			st.gray = 90
		}
		number, value := strconv.Itoa(i+1), strconv.Itoa(values[i])
		if b.sideways {
			y := k.on.y + k.on.h - 0.4
			p.right(b.x+20, y, number, style{size: 6})
			p.write(k.on.x+k.on.w+5, y, value, st.at(6.5))
			continue
		}
		x, _ := k.on.center()
		p.center(x, b.y+slotTop-2.5, number, style{size: 6.5})
		p.center(x, b.y+slotTop+slotHeight+8.5, value, st)
	}
	sum := s.Sum(address)
	if b.sideways {
		p.right(b.x+24+sideSlot, b.y+sideTop-2, "ON \u2192", style{size: 6.5, bold: true})
		b.pen.fit(b.x+90, b.y+40, b.w-92, sum, style{size: 9, bold: true})
		b.options(b.x+90, options)
		return
	}
	b.onMark()
	p.fit(b.x+4, b.y+slotTop+slotHeight+21, b.w-6, sum, style{size: 9.5, bold: true})
	last := ks[len(ks)-1].on
	b.options(last.x+last.w+8, options)
}

// onMark points at the ON side of upright switches.
func (b bank) onMark() {
	p := b.pen
	p.center(b.x+bankOnLabel/2-1, b.y+slotTop+8, "ON", style{size: 7, bold: true})
	p.center(b.x+bankOnLabel/2-1, b.y+slotTop+slotHeight-2, "OFF", style{size: 5.5, gray: 90})
}

// options draws the extra switches, from x to the right.
func (b bank) options(x float64, options []assign.OptionSetting) {
	for i, o := range options {
		left := x + float64(i)*optionPitch
		k := knob{on: box{left + 8, b.y + slotTop, slotWidth, slotHeight / 2}, off: box{left + 8, b.y + slotTop + slotHeight/2, slotWidth, slotHeight / 2}}
		if b.sideways {
			k = knob{on: box{left + 15, b.y + slotTop, 13, 9}, off: box{left + 2, b.y + slotTop, 13, 9}}
		}
		b.pen.slot(k, o.On)
		word := "OFF"
		if o.On {
			word = "ON"
		}
		cx := left + 8 + slotWidth/2
		s, st := b.pen.fitted(optionPitch, o.Switch, style{size: 6.5})
		b.pen.center(cx, b.y+slotTop-2.5, s, st)
		if !b.sideways {
			b.pen.center(cx, b.y+slotTop+slotHeight+8.5, word, style{size: 7, bold: o.On})
		} else {
			b.pen.center(cx, b.y+slotTop+16.5, word, style{size: 6.5, bold: o.On})
		}
	}
}

// dial is one rotary switch: positions 0 to n-1 clockwise from the top (common
// practice, no source).
type dial struct {
	x, y float64 // center
	n    int
	pos  int
}

const dialRadius = 17.0

// tip is where the pointer of a dial ends.
func (d dial) tip(pos int) (x, y float64) {
	sin, cos := math.Sincos(2 * math.Pi * float64(pos) / float64(d.n))
	return d.x + 0.8*dialRadius*sin, d.y - 0.8*dialRadius*cos
}

// dialsFor returns the tens and the ones dial of an address.
func (b bank) dialsFor(address int) [2]dial {
	y := b.y + 28
	return [2]dial{{b.x + 46, y, 16, address / 10}, {b.x + 122, y, 10, address % 10}}
}

func (b bank) dials(address int) {
	p := b.pen
	for i, d := range b.dialsFor(address) {
		p.SetDrawColor(0, 0, 0)
		p.SetFillColor(255, 255, 255)
		p.SetLineWidth(0.8)
		p.Circle(d.x, d.y, dialRadius, "D")
		for k := range d.n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(d.n))
			r := dialRadius + 5
			st := style{size: 6, bold: k == d.pos}
			if k == d.pos {
				st.size = 8
			}
			p.center(d.x+r*sin, d.y-r*cos+st.size*0.36, strconv.Itoa(k), st)
		}
		p.pointer(d)
		word := []string{"tens", "ones"}[i]
		p.center(d.x, b.y+62.5, fmt.Sprintf("%s %d", word, d.pos), style{size: 8.5, bold: true})
	}
}

// pointer draws the arrow of a dial: a thin tail, a broad head at the number.
func (p *pen) pointer(d dial) {
	x, y := d.tip(d.pos)
	dx, dy := (x-d.x)/(0.8*dialRadius), (y-d.y)/(0.8*dialRadius)
	p.SetLineWidth(1.4)
	p.Line(d.x-0.5*dialRadius*dx, d.y-0.5*dialRadius*dy, x-3*dx, y-3*dy)
	p.SetFillColor(0, 0, 0)
	p.MoveTo(x+1.8*dx, y+1.8*dy)
	p.LineTo(x-6*dx-3.4*dy, y-6*dy+3.4*dx)
	p.LineTo(x-6*dx+3.4*dy, y-6*dy-3.4*dx)
	p.ClosePath()
	p.DrawPath("F")
}
