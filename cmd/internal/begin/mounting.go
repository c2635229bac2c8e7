package begin

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"loopwright/takeoff/measure"
	"loopwright/takeoff/recognize"
)

// A height as drawings write it: +48 in AFF, 7'-6" A.F.F., h=1.40 m, W80.
var (
	feetInches = regexp.MustCompile(`(\d{1,2})\s*(?:'|’|ft)\s*-?\s*(\d{1,2})?\s*(?:"|”|in\b)?`)
	oneLength  = regexp.MustCompile(`(?i)(\d{1,4}(?:[.,]\d{1,3})?)\s*(mm\b|cm\b|m\b|inch(?:es)?\b|in\b|"|”)?`)
	// What says that a length in a text is a height above the floor.
	aboveFloor = regexp.MustCompile(`(?i)\ba\.?f\.?f\.?(?:l\.?)?(?:\W|$)|above\s+(?:the\s+)?(?:finished\s+)?floor|\bokff\b|\bh\s*[=:]|\+\s*\d|\b(?:mounted|mtd\.?|mounting|height)\b`)
	otherUnit  = regexp.MustCompile(`(?i)^\s*[°%/:\pL]`)
	floorNext  = regexp.MustCompile(`(?i)^\s*(?:a\.?f\.?f|above|ü|okff)`)
	before     = regexp.MustCompile(`(?i)(?:\bh\s*[=:]|\+|@|\bat|\bmounted|\bmtd\.?|\bheight:?)\s*$`)
	heightTag  = regexp.MustCompile(`(?i)^(?:mtg|mtd|mount|mounting|height|ht|aff|hoehe|hauteur|altura|altezza)(?:[_ -]?(?:ht|height|aff|h))?$`)
)

// Heights between which devices are mounted, metres.
const lowestMounting, highestMounting = 0.2, 12.0

// heightIn reads the mounting height that a text gives, as a job writes it; "" for none. Without a unit a
// number is taken in inches, or in metric drawings as metres, centimetres or millimetres by its size.
func heightIn(text string, metric bool) string {
	if !aboveFloor.MatchString(text) {
		return ""
	}
	return lengthOf(text, metric)
}

// lengthOf is the length of a text that is a height: that which "above the floor" follows, else that which
// "h =", a plus sign or "at" goes before, else the only one.
func lengthOf(text string, metric bool) string {
	best, rank, n := "", 0, 0
	add := func(from, to int, height string) {
		if height == "" {
			return
		}
		n++
		k := 1
		switch {
		case floorNext.MatchString(text[to:]):
			k = 3
		case before.MatchString(text[:from]):
			k = 2
		}
		if k > rank {
			best, rank = height, k
		}
	}
	rest := []byte(text)
	for _, m := range feetInches.FindAllStringSubmatchIndex(text, -1) {
		ft, _ := strconv.Atoi(text[m[2]:m[3]])
		in := 0
		if m[4] >= 0 {
			in, _ = strconv.Atoi(text[m[4]:m[5]])
		}
		add(m[0], m[1], sensible(float64(12*ft+in), "in"))
		for k := m[0]; k < m[1]; k++ { // read already
			rest[k] = ';'
		}
	}
	for _, m := range oneLength.FindAllStringSubmatchIndex(string(rest), -1) {
		v, err := strconv.ParseFloat(strings.Replace(text[m[2]:m[3]], ",", ".", 1), 64)
		if err != nil {
			continue
		}
		unit := ""
		if m[4] >= 0 {
			unit = strings.ToLower(text[m[4]:m[5]])
		} else if after := text[m[1]:]; otherUnit.MatchString(after) && !floorNext.MatchString(after) { // 24 V, 57 °C, 100 dB
			continue
		}
		add(m[0], m[1], sensible(v, unitOf(v, unit, metric)))
	}
	if rank == 1 && n > 1 {
		return ""
	}
	return best
}

// unitOf is the unit of a height: as written, else by the drawing and the size.
func unitOf(v float64, written string, metric bool) string {
	switch {
	case written == `"` || written == "”" || strings.HasPrefix(written, "in") || written == "" && !metric:
		return "in"
	case written != "":
		return written
	case v < highestMounting:
		return "m"
	case v <= 400:
		return "cm"
	}
	return "mm"
}

// sensible writes a height if devices are mounted there.
func sensible(v float64, unit string) string {
	metre, err := measure.MetresPer(unit)
	if err != nil || v*metre < lowestMounting || v*metre > highestMounting {
		return ""
	}
	return num(v) + " " + unit
}

// mountings reads how high the devices of a kind are mounted: as its legend says, else
// as an attribute of its symbols does, else as a note does.
func (d *draft) mountings(i int) (height, why string) {
	k := &d.look.Kinds[i]
	if h := heightIn(k.Text, d.metric); h != "" {
		return h, fmt.Sprintf("the legend says %q", k.Text)
	}
	values, all := map[string]int{}, 0
	for _, f := range d.look.Figures {
		if f.Kind != i || f.Plan < 0 {
			continue
		}
		all++
		for _, a := range f.Attribs {
			if heightTag.MatchString(a.Tag) {
				if h := lengthOf(a.Value, d.metric); h != "" {
					values[h+"\x00"+a.Tag+"="+a.Value]++
				}
			}
		}
	}
	best := ""
	for _, v := range slices.Sorted(maps.Keys(values)) {
		if best == "" || values[v] > values[best] {
			best = v
		}
	}
	if best != "" {
		h, from, _ := strings.Cut(best, "\x00")
		why := fmt.Sprintf("%s on %d of %d", from, values[best], all)
		if values[best] < all {
			why += ": CHECK the others"
		}
		return h, why
	}
	return d.noted(k)
}

// noted reads a note that gives a height for the devices of a kind.
func (d *draft) noted(k *recognize.Kind) (height, why string) {
	for _, note := range d.heights {
		if d.look.Names(note, k.Concept) {
			return heightIn(note, d.metric), fmt.Sprintf("a note says %q", note)
		}
	}
	return "", ""
}

// heightNotes lists the lines of lettering that give a mounting height.
func heightNotes(look *recognize.Result, metric bool) []string {
	var out []string
	seen := map[string]bool{}
	for _, p := range look.Pages {
		for i := range p.Texts {
			t := &p.Texts[i]
			if !t.Visible {
				continue
			}
			for line := range strings.SplitSeq(t.Text, "\n") {
				if line = strings.Join(strings.Fields(line), " "); len(line) > 5 && len(line) < 200 && !seen[line] {
					seen[line] = true
					if heightIn(line, metric) != "" {
						out = append(out, line)
					}
				}
			}
		}
	}
	return out
}
