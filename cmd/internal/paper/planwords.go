package paper

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"loopwright/assign/sheet"
	"loopwright/takeoff"
	"loopwright/takeoff/dxf"
	"loopwright/takeoff/geom"
)

// lineFeed is the line spacing of MTEXT in text heights (DXF reference, MTEXT).
const lineFeed = 5.0 / 3

// planTexts turns a text of a drawing into lines with the left end of their
// baselines, upright as seen on the sheet.
func planTexts(t dxf.Text, to geom.Affine) []sheet.PlanText {
	lines := strings.Split(t.Text, "\n")
	x, up := 0.0, 0.0
	switch t.Align.H {
	case dxf.Center:
		x = -t.Width / 2
	case dxf.Right:
		x = -t.Width
	}
	feed := cmp.Or(t.Feed, lineFeed)
	rest := feed * t.Height * float64(len(lines)-1)
	switch t.Align.V {
	case dxf.Middle:
		up = (rest - t.Height) / 2
	case dxf.Top:
		up = -t.Height
	default:
		up = rest
	}
	dir := to.ApplyVector(geom.Pt(1, 0).Turn(t.Rotation))
	deg := math.Round(dir.Angle()*1e6) / 1e6
	var out []sheet.PlanText
	for i, s := range lines {
		if strings.TrimSpace(s) == "" {
			continue
		}
		at := geom.Pt(t.Pos.X, t.Pos.Y).Add(geom.Pt(x, up-feed*t.Height*float64(i)).Turn(t.Rotation))
		out = append(out, sheet.PlanText{At: to.Apply(at), Height: t.Height * to.Scale(), Rotation: geom.Norm360(deg), Text: s})
	}
	return out
}

// roomNameSize is the size in points of a room's name that is not among the
// drawing's own texts, and roomNameNear how far from it, in metres, such a text may stand.
const (
	roomNameSize = 5.0
	roomNameNear = 3.0
)

// roomNames writes the rooms' names where the drawing has them as attributes of
// its blocks: these are no texts, and a plan without names leads nobody.
func (b *binder) roomNames(p *sheet.Plan, l takeoff.Level, turn geom.Affine) {
	height := p.Layout.Metres(roomNameSize * sheet.PlanCapitals)
	drawn := p.Texts
	for _, r := range b.Take.Rooms {
		if r.Level != l.Name {
			continue
		}
		at := turn.Apply(r.At)
		i := 0
		for _, s := range []string{r.Name, r.Number} {
			there := slices.ContainsFunc(drawn, func(t sheet.PlanText) bool { return strings.Contains(t.Text, s) && t.At.Dist(at) < roomNameNear })
			if s == "" || there {
				continue
			}
			p.Texts = append(p.Texts, sheet.PlanText{At: at.Add(geom.Pt(0, -float64(i)*height*lineFeed)), Middle: true, Height: height, Text: s})
			i++
		}
	}
}

// proposals are letters for a type in the order in which they are tried: the
// initials of its words, its first two letters, the first and any other, and numbers.
func proposals(typ string) []string {
	words := strings.FieldsFunc(strings.ToUpper(typ), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	var initials, letters []rune
	for _, w := range words {
		rs := []rune(w)
		initials = append(initials, rs[0])
		letters = append(letters, rs...)
	}
	var out []string
	if len(letters) == 2 {
		out = append(out, string(letters))
	}
	out = append(out, string(initials[:min(2, len(initials))]))
	for i := 1; i < len(letters); i++ {
		out = append(out, string(letters[0])+string(letters[i]))
	}
	for i := range 100 {
		out = append(out, fmt.Sprint(i+1))
	}
	return out
}
