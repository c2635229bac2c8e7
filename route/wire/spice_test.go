package wire

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/testdata/against"
)

// A second opinion on resistance and voltage by a general circuit simulator,
// ngspice (Debian package ngspice). It knows nothing of pairs, legs or classes:
// both conductors of each leg stand in the netlist as resistors of their own.

// netlist writes the two conductors of every leg; device series resistance stands
// in the positive conductor on the side of the feeding node. Node v has terminals p<v> and m<v>.
// ngspice lifts resistors below 1 mohm to that value, so legs here are a metre or more.
func netlist(b *strings.Builder, c Circuit, order [][3]int, rate Rate) {
	for i, o := range order { // feeding node, fed node, leg
		r := c.Legs[o[2]].Length * rate.OhmPerMetre
		series := 0.0
		to := fmt.Sprint(o[1])
		if o[1] == 0 {
			to = "ret" // the return terminals
		} else {
			series = c.Nodes[o[1]].Series
		}
		fmt.Fprintf(b, "Ra%d p%d p%s %.17g\n", i, o[0], to, r+series)
		fmt.Fprintf(b, "Rb%d m%d m%s %.17g\n", i, o[0], to, r)
	}
}

func runSpice(t *testing.T, deck string, print []string) []float64 {
	t.Helper()
	var b strings.Builder
	b.WriteString("* loop\n" + deck + "Rgnd m0 0 1\n.control\nset numdgt=12\nop\n")
	for _, p := range print {
		fmt.Fprintf(&b, "print %s\n", p)
	}
	b.WriteString(".endc\n.end\n")
	file := filepath.Join(t.TempDir(), "deck.cir")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("ngspice", "-b", file).CombinedOutput()
	found := regexp.MustCompile(`(?m)^\S+ = (\S+)\s*$`).FindAllStringSubmatch(string(out), -1)
	if len(found) != len(print) {
		t.Fatalf("ngspice: %v, %d of %d values\n%s\n%s", err, len(found), len(print), out, b.String())
	}
	var vals []float64
	for _, m := range found {
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		vals = append(vals, v)
	}
	return vals
}

// spiceCircuit draws a circuit with legs in feeding order, so that the netlist
// needs none of this package's own walking.
func spiceCircuit(rng *rand.Rand, class circuit.Class) (Circuit, [][3]int) {
	n := 2 + rng.IntN(30)
	c := Circuit{Class: class, Nodes: make([]Node, n)}
	var order [][3]int
	for v := 1; v < n; v++ {
		c.Nodes[v] = Node{Load: rng.Float64() * 0.03}
		if rng.IntN(3) == 0 {
			c.Nodes[v].Series = rng.Float64()
		}
		from := v - 1
		if !class.Looped() && rng.IntN(2) == 0 {
			from = rng.IntN(v)
		}
		order = append(order, [3]int{from, v, v - 1})
		c.Legs = append(c.Legs, leg(from, v, 1+rng.Float64()*50))
	}
	if class.Looped() {
		order = append(order, [3]int{n - 1, 0, n - 1})
		c.Legs = append(c.Legs, leg(n-1, 0, 1+rng.Float64()*50))
	}
	return c, order
}

func TestAgainstCircuitSimulator(t *testing.T) {
	against.Program(t, "ngspice")
	rng := rand.New(rand.NewPCG(50, 1))
	worst, compared := 0.0, 0
	compare := func(what string, got, want float64) {
		t.Helper()
		rel := math.Abs(got-want) / math.Max(math.Abs(want), 1e-9)
		worst = math.Max(worst, rel)
		compared++
		if !(rel <= 1e-6) {
			t.Errorf("%s: ours %.12g, ngspice %.12g", what, got, want)
		}
	}
	all := conductors()
	for i := range 50 {
		class := []circuit.Class{circuit.ClassB, circuit.ClassA, circuit.ClassB, circuit.ClassX}[i%4]
		c, order := spiceCircuit(rng, class)
		k := all[rng.IntN(len(all))]
		rate := mustRate(t, k.String(), 20+float64(rng.IntN(60)))
		var copper strings.Builder
		netlist(&copper, c, order, rate)
		name := fmt.Sprintf("circuit %d class %s, %s", i, class, k)

		loop, err := resist(c, rate)
		if err != nil {
			t.Fatal(err)
		}
		// One ampere through the meter, the pair shorted at the far end.
		worstBranch := loop.Branches[loop.Worst]
		end := fmt.Sprint(worstBranch.End)
		if worstBranch.End == 0 {
			end = "ret"
		}
		volts := runSpice(t, copper.String()+fmt.Sprintf("I1 m0 p0 1\nVshort p%s m%s 0\n", end, end), []string{"v(p0)-v(m0)"})
		compare(name+", loop", loop.Ohm, volts[0])

		var loads strings.Builder
		var print []string
		for v := 1; v < len(c.Nodes); v++ {
			fmt.Fprintf(&loads, "I%d p%d m%d %.17g\n", v, v, v, c.Nodes[v].Load)
			print = append(print, fmt.Sprintf("v(p%d)-v(m%d)", v, v))
		}
		feed := mustDrop(t, c, rate, Supply{Start: 24}).Feeds
		for v, volts := range runSpice(t, copper.String()+"V1 p0 m0 24\n"+loads.String(), print) {
			compare(fmt.Sprintf("%s, node %d", name, v+1), feed[0].Volts[v+1], volts)
		}
	}
	t.Logf("%d values in 50 circuits; largest relative difference %.1e", compared, worst)
}
