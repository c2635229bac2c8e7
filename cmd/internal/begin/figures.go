package begin

import (
	"fmt"
	"strings"

	"loopwright/takeoff"
	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// sortFigures decides what each loose figure is: what a legend says, or
// something to ask about. Figures that are alike on several drawings are one.
func (d *draft) sortFigures(kinds kindSet) {
	type key struct{ shape, legend string }
	first := map[key]int{}
	var all []figure
	for _, s := range d.sheets {
		for _, f := range s.Figures {
			k := key{f.Shape, f.Legend}
			if i, ok := first[k]; ok && alike(all[i].Size, f.Size) {
				all[i].Count += f.Count
				all[i].on = append(all[i].on, s.name)
				continue
			}
			first[k] = len(all)
			all = append(all, figure{f, s, []string{s.name}})
		}
	}
	for _, f := range all {
		d.figure(f, kinds)
	}
}

// figure is a loose figure over all drawings; the sheet is the one with its sample.
type figure struct {
	takeoff.FoundFigure
	sheet sheet
	on    []string
}

// alike reports whether two sizes are those of one figure, as the takeoff sees it.
func alike(a, b float64) bool { return a-b <= 0.02*a && b-a <= 0.02*a }

func (d *draft) figure(f figure, kinds kindSet) {
	switch {
	case f.Legend == "":
		d.figures = append(d.figures, fmt.Sprintf("- {type: ?, match: [%s]}   # a figure that is no block,%s %s, at least %d times on %s: say what it is",
			f.sample(), f.lettered(), measure.Both(f.Size), f.Count, strings.Join(f.on, ", ")))
		return
	case f.Unclear:
		d.figures = append(d.figures, fmt.Sprintf("- {type: ?, match: [%s]}   # the legend calls figures that do not differ %q: %d of them,%s %s, on %s: "+
			"say which it is, and draw the other so that it can be told", f.sample(), f.Legend, f.Count, f.lettered(), measure.Both(f.Size), strings.Join(f.on, ", ")))
		return
	case panelWords.MatchString(f.Legend):
		if f.Count > 0 && d.panel == "" && d.panelAt == "" {
			d.panelAt = fmt.Sprintf("at: {level: %s, point: [%s, %s]}   # the first of %d figures that the legend calls %q",
				quoted(d.levelAt(f.sheet, f.First)), num(tidy(f.First.X)), num(tidy(f.First.Y)), f.Count, f.Legend)
		}
		return
	}
	if dev, ok := byWords(f.Legend); ok {
		kinds.add(dev, blockReason{sample: f.sample(), why: fmt.Sprintf("a figure that is no block,%s %s; the legend calls it %q", f.lettered(), measure.Both(f.Size), f.Legend), placed: f.Count})
		return
	}
	d.figures = append(d.figures, fmt.Sprintf("- {type: ?, match: [%s]}   # a figure that is no block,%s %s, %d times on %s; the legend calls it %q: say what it is",
		f.sample(), f.lettered(), measure.Both(f.Size), f.Count, strings.Join(f.on, ", "), f.Legend))
}

// sample writes the match that finds a figure.
func (f figure) sample() string {
	layer := ""
	if f.Layer != "" {
		layer = ", layer: " + quoted(words.Unbound(f.Layer))
	}
	return fmt.Sprintf("{sample: [%s, %s]%s}", num(tidy(f.At.X)), num(tidy(f.At.Y)), layer)
}

func (f figure) lettered() string {
	if f.Letters == "" {
		return ""
	}
	return fmt.Sprintf(" lettered %q,", f.Letters)
}

// levelAt is the level that shows a place of a drawing.
func (d *draft) levelAt(s sheet, at geom.Point) string {
	name := d.plans[0].level.Name
	for _, p := range d.plans {
		if p.sheet.name != s.name {
			continue
		}
		name = p.level.Name
		if !p.level.Apart || p.level.Region.Contains(at) {
			break
		}
	}
	return name
}
