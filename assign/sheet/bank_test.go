package sheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/measure"
	"loopwright/testdata/against"
)

// every returns a circuit with a device at every address of a scheme.
func every(t testing.TB, s assign.Scheme) Circuit {
	t.Helper()
	c := Circuit{Name: "SLC-1", Kind: takeoff.SLC, Panel: "P", Pathway: "A", Scheme: s}
	first, last := s.Range()
	for a := first; a <= last; a++ {
		set, err := s.Encode(a)
		if err != nil {
			t.Fatal(err)
		}
		c.Rows = append(c.Rows, Row{Order: a, ID: fmt.Sprintf("D-%d", a), Type: "x", Address: a, Span: 1, Setting: &set})
	}
	return c
}

// large returns the words set as addresses, from the top down.
func large(ws []word) []word {
	var out []word
	for _, w := range ws {
		if w.height() > 30 {
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b word) int { return int(a.YMin - b.YMin) })
	return out
}

// beside returns the words level with an address, in the column of the switches.
func beside(ws []word, address word) []word {
	var out []word
	for _, w := range ws {
		if dy := w.y() - address.y(); dy > -30 && dy < 36 && w.XMin > 120 && w.XMax < 290 && w.height() < 20 {
			out = append(out, w)
		}
	}
	return out
}

// readSwitches reads one row as a person does: the words ON and OFF say which
// side is which, the numbers over the switches where they stand, the values
// under them what each is worth. It knows nothing of how the row was drawn.
func readSwitches(t *testing.T, page scan, row []word) (sum int, states string) {
	t.Helper()
	at := func(text string) float64 {
		for _, w := range row {
			if w.Text == text && w.XMax < 145 {
				return w.y()
			}
		}
		t.Fatalf("no %s among %v", text, row)
		return 0
	}
	on, off := at("ON"), at("OFF")
	var numbers, values []word
	for _, w := range row {
		if _, err := strconv.Atoi(w.Text); err != nil {
			continue
		}
		switch {
		case w.y() < on-8:
			numbers = append(numbers, w)
		case w.y() > off+5 && w.y() < off+20:
			values = append(values, w)
		}
	}
	byX := func(a, b word) int { return int(a.x() - b.x()) }
	slices.SortFunc(numbers, byX)
	slices.SortFunc(values, byX)
	if len(numbers) != len(values) {
		t.Fatalf("%d numbers over the switches, %d values under them: %v", len(numbers), len(values), row)
	}
	for i, n := range numbers {
		if n.Text != strconv.Itoa(i+1) {
			t.Fatalf("switch %d is numbered %s", i+1, n.Text)
		}
		value, _ := strconv.Atoi(values[i].Text)
		up, down := page.gray(n.x(), on), page.gray(n.x(), off)
		switch {
		case up < 60 && down > 240:
			sum += value
			states += "1"
		case up > 240 && down > 150 && down < 235:
			states += "0"
		default:
			t.Fatalf("switch %d is neither up nor down: %.0f over %.0f", i+1, up, down)
		}
	}
	return sum, states
}

// Every address in every variant is drawn, printed, rendered by another program
// and read back from the pixels: it must be the address in the same row.
func TestAgainstPixelsSwitches(t *testing.T) {
	against.Program(t, "pdftoppm")
	for _, name := range []string{"binary7", "binary8"} {
		for _, s := range []assign.Scheme{{}, {HighestFirst: true}, {OnMeansZero: true}, {Offset: -1}, {Offset: 3, HighestFirst: true, OnMeansZero: true}} {
			s.Name = name
			t.Run(fmt.Sprintf("%+v", s), func(t *testing.T) {
				readBack(t, s)
			})
		}
	}
}

func readBack(t *testing.T, s assign.Scheme) {
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{every(t, s)}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := saved(t, doc.PDF)
	pages, pics := words(t, f), scans(t, f, 72)
	first, last := s.Range()
	want := first
	full := 1<<len(s.Values()) - 1
	for i, ws := range pages {
		for _, a := range large(ws) {
			address, err := strconv.Atoi(a.Text)
			if err != nil {
				continue // the circuit's name
			}
			if address != want {
				t.Fatalf("address %d where %d comes next", address, want)
			}
			want++
			sum, states := readSwitches(t, pics[i], beside(ws, a))
			if s.OnMeansZero {
				sum = full - sum
			}
			if sum-s.Offset != address {
				t.Errorf("address %d: the drawn switches %s make %d", address, states, sum-s.Offset)
			}
			if set, _ := s.Encode(address); set.Row != states {
				t.Errorf("address %d: drawn %s, encoded %s", address, states, set.Row)
			}
		}
	}
	if want != last+1 {
		t.Errorf("addresses up to %d were read, want up to %d", want-1, last)
	}
}

// Switches drawn one above the other are read at the places where they are drawn.
func TestAgainstPixelsSidewaysSwitches(t *testing.T) {
	against.Program(t, "pdftoppm")
	for _, name := range []string{"binary7", "binary8"} {
		s := assign.Scheme{Name: name}
		j := Job{Name: "Test", Units: measure.Metric}
		c := every(t, s)
		doc, err := SwitchSheets(j, []Circuit{c}, SwitchOptions{sideways: true})
		if err != nil {
			t.Fatal(err)
		}
		const dpi = 144
		pics := scans(t, saved(t, doc.PDF), dpi)
		col := columnsOf(j.paper())
		p, err := newPen(j, "")
		if err != nil {
			t.Fatal(err)
		}
		for i, pg := range p.switchPages([]Circuit{c}, SwitchOptions{sideways: true}) {
			y := edge + headSpace
			for _, r := range pg.rows {
				b := bank{x: col.bank, y: y, w: col.text - col.bank - 6, sideways: true}
				y += r.height
				states := ""
				for _, n := range b.knobs(len(r.Setting.Row), 0) {
					states += stateAt(t, pics[i], n)
				}
				if got, err := s.Decode(states); err != nil || got != r.Address {
					t.Errorf("%s address %d: drawn %s, which is %d (%v)", name, r.Address, states, got, err)
				}
			}
		}
	}
}

func stateAt(t *testing.T, pic scan, k knob) string {
	t.Helper()
	x, y := k.on.center()
	on := pic.gray(x, y)
	x, y = k.off.center()
	off := pic.gray(x, y)
	switch {
	case on < 60 && off > 240:
		return "1"
	case on > 240 && off > 150 && off < 235:
		return "0"
	}
	t.Fatalf("a switch is neither on nor off: %.0f, %.0f", on, off)
	return ""
}

// Dials are read as a person does: the digits stand around the middle, and the
// pointer's tip is the dark spot inside of one of them.
func TestAgainstPixelsDials(t *testing.T) {
	against.Program(t, "pdftoppm")
	s := assign.Scheme{Name: "decade"}
	doc, err := SwitchSheets(Job{Name: "Test"}, []Circuit{every(t, s)}, SwitchOptions{})
	if err != nil {
		t.Fatal(err)
	}
	f := saved(t, doc.PDF)
	pages, pics := words(t, f), scans(t, f, 72)
	read := 0
	for i, ws := range pages {
		for _, a := range large(ws) {
			address, err := strconv.Atoi(a.Text)
			if err != nil {
				continue
			}
			row := beside(ws, a)
			tens, ones := readDial(t, pics[i], row, 16, 0), readDial(t, pics[i], row, 10, 1)
			if tens*10+ones != address {
				t.Errorf("address %d: the dials point to %d and %d", address, tens, ones)
			}
			read++
		}
	}
	if read != 159 {
		t.Errorf("%d addresses were read, want 159", read)
	}
}

// readDial finds the digits of the left (0) or right (1) dial and which of them
// the pointer points to.
func readDial(t *testing.T, pic scan, row []word, n, side int) int {
	t.Helper()
	label := []string{"tens", "ones"}[side]
	var under word
	for _, w := range row {
		if w.Text == label && w.YMin > under.YMin {
			under = w
		}
	}
	digits := map[int]word{}
	cx, cy := 0.0, 0.0
	for _, w := range row {
		v, err := strconv.Atoi(w.Text)
		if err != nil || v >= n || w.y() > under.YMin-1 || math.Abs(w.x()-under.x()) > 38 {
			continue
		}
		digits[v] = w
		cx += w.x() / float64(n)
		cy += w.y() / float64(n)
	}
	if len(digits) != n {
		t.Fatalf("%s dial: %d digits around it, want %d: %v", label, len(digits), n, row)
	}
	best, darkest := -1, 256.0
	for v, w := range digits {
		dx, dy := w.x()-cx, w.y()-cy
		r := math.Hypot(dx, dy)
		const reach = 11.0 // points from the middle: in the head of the pointer, inside the ring
		if g := pic.gray(cx+reach*dx/r, cy+reach*dy/r); g < darkest {
			best, darkest = v, g
		}
	}
	if darkest > 120 {
		t.Fatalf("%s dial: no pointer (%.0f)", label, darkest)
	}
	return best
}
