package path

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/geom"
)

// sketch reads a drawing in text. One character is one metre; the first line is
// on top. P is the panel (symbol 0), letters a to o are devices in that order,
// all with radius 0.3. Wires:
//
//   - |   a straight wire through the cell
//   - a corner, joined to each neighbouring wire or symbol
//   - a joint of three or four: every arm ends here
//     x     two wires that cross without a joint
//     . or blank: nothing
//
// Each wire runs from one of P, letter, *, or a free end to the next, as one polyline.
func sketch(s string) (lines [][]geom.Point, symbols []Symbol, names []byte) {
	rows := strings.Split(strings.Trim(s, "\n"), "\n")
	at := func(x, y int) byte {
		if y < 0 || y >= len(rows) || x < 0 || x >= len(rows[y]) {
			return ' '
		}
		return rows[y][x]
	}
	point := func(x, y int) geom.Point { return geom.Pt(float64(x), float64(len(rows)-1-y)) }
	symbol := func(c byte) bool { return c == 'P' || c >= 'a' && c <= 'o' }
	stop := func(c byte) bool { return symbol(c) || c == '*' }
	carries := func(c byte, dx int) bool {
		switch c {
		case '-':
			return dx != 0
		case '|':
			return dx == 0
		case '+', 'x', '*':
			return true
		}
		return symbol(c)
	}
	for _, c := range []byte("Pabcdefghijklmno") {
		for y := range rows {
			for x := range rows[y] {
				if rows[y][x] == c {
					symbols = append(symbols, Symbol{point(x, y), 0.3})
					names = append(names, c)
				}
			}
		}
	}
	dirs := [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	type step struct{ x, y, d int }
	used := map[step]bool{}
	trace := func(x, y, d int) {
		pts := []geom.Point{point(x, y)}
		for {
			used[step{x, y, d}] = true
			nx, ny := x+dirs[d][0], y+dirs[d][1]
			c := at(nx, ny)
			if !carries(c, dirs[d][0]) {
				break // a free end in the middle of the last cell
			}
			used[step{nx, ny, (d + 2) % 4}] = true
			x, y = nx, ny
			if stop(c) {
				break
			}
			if c == '+' {
				for e := range 4 {
					if e != (d+2)%4 && carries(at(x+dirs[e][0], y+dirs[e][1]), dirs[e][0]) {
						d = e
						break
					}
				}
				pts = append(pts, point(x, y))
			}
		}
		if end := point(x, y); pts[len(pts)-1] != end {
			pts = append(pts, end)
		}
		if len(pts) > 1 {
			lines = append(lines, pts)
		}
	}
	start := func(ok func(c byte, x, y int) bool) {
		for y := range rows {
			for x := range rows[y] {
				if !ok(rows[y][x], x, y) {
					continue
				}
				for d, v := range dirs {
					if carries(rows[y][x], v[0]) && carries(at(x+v[0], y+v[1]), v[0]) && !used[step{x, y, d}] {
						trace(x, y, d)
					}
				}
			}
		}
	}
	start(func(c byte, _, _ int) bool { return stop(c) })
	// Wires that are free at both ends.
	start(func(c byte, x, y int) bool {
		switch c {
		case '-':
			return !carries(at(x-1, y), -1) || !carries(at(x+1, y), 1)
		case '|':
			return !carries(at(x, y-1), 0) || !carries(at(x, y+1), 0)
		}
		return false
	})
	return lines, symbols, names
}

// describe writes the circuits in one line each: order, return, taps.
func describe(w *Wiring, names []byte) string {
	var b strings.Builder
	for _, c := range w.Circuits {
		for _, p := range c.Order {
			b.WriteByte(names[p])
		}
		if c.Return != nil {
			b.WriteString(" back")
		}
		if len(c.Taps) > 0 {
			fmt.Fprintf(&b, " taps %v", c.Taps)
		}
		fmt.Fprintf(&b, " %gm\n", c.Length)
	}
	for _, f := range w.Findings {
		fmt.Fprintf(&b, "! %s at %v size %.2f\n", f.Kind, f.At, f.Size)
	}
	return b.String()
}

func TestWiringSketches(t *testing.T) {
	tests := []struct {
		name, draw string
		opt        WiringOptions
		want       string
	}{
		{"a line of three", `
P--a---b--c
`, WiringOptions{}, `
abc 10m
`},
		{"class A comes back", `
P---a---+
|       |
+---c---b
`, WiringOptions{Return: true}, `
abc back 20m
`},
		{"class B does not", `
P---a---+
|       |
+---c---b
`, WiringOptions{}, `
abc back 20m
! loop at {4 0} size 20.00
`},
		{"class A that does not come back", `
P--a--b
`, WiringOptions{Return: true}, `
ab 6m
! no way back at {6 0} size 0.00
`},
		{"a tap at a joint, nearest branch first", `
P---*----a
    |
    b
`, WiringOptions{Taps: true}, `
ba taps [{4 2}] 11m
`},
		{"a tap at a device where none is allowed", `
P---a----b
    |
    c
`, WiringOptions{}, `
acb taps [{4 2}] 11m
! branch at {4 2} size 0.00
`},
		{"a crossing is not a joint", `
     b
     |
P-a--x--c
     |
     d
`, WiringOptions{}, `
ac 8m
! cut off at {5 4} size 4.00
`},
		{"a gap in the circuit", `
P--a--   --b
`, WiringOptions{Gap: 5}, `
a 3m
! gap at {5 0} size 4.00
! not touched at {11 0} size 0.00
`},
		{"short of a device", `
P--a--  b
`, WiringOptions{Gap: 5}, `
a 3m
! gap at {5 0} size 2.70
! not touched at {8 0} size 0.00
`},
		{"a stub", `
P--a--b
   |
   |
`, WiringOptions{}, `
ab 6m
! loose end at {3 0} size 2.00
`},
		{"two circuits", `
a--P----b--c
`, WiringOptions{}, `
a 3m
bc 8m
`},
		{"a loop away from the panel", `
P--a---b
   |   |
   +---c
`, WiringOptions{}, `
abc taps [{3 2}] 15m
! branch at {3 2} size 0.00
! loop at {3 2} size 6.00
`},
		{"no wire at all", `
P  a
`, WiringOptions{}, `
! panel unwired at {0 0} size 0.00
! not touched at {3 0} size 0.00
`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			lines, symbols, names := sketch(tt.draw)
			w, err := NewWiring(lines, symbols, 0, tt.opt)
			if err != nil {
				t.Fatal(err)
			}
			if got, want := describe(w, names), strings.TrimPrefix(tt.want, "\n"); got != want {
				t.Errorf("%s\ngot\n%swant\n%s", tt.draw, got, want)
			}
			// Reading must not depend on the order or the direction of the lines.
			slices.Reverse(lines)
			for _, l := range lines {
				slices.Reverse(l)
			}
			w, err = NewWiring(lines, symbols, 0, tt.opt)
			if err != nil {
				t.Fatal(err)
			}
			if got, want := describe(w, names), strings.TrimPrefix(tt.want, "\n"); got != want && tt.name != "a gap in the circuit" {
				t.Errorf("lines reversed\ngot\n%swant\n%s", got, want)
			}
		})
	}
}
