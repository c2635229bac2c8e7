package wire

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"loopwright/route/circuit"
)

func close9(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(a)+math.Abs(b)) }

// anyCircuit draws a tree or a loop of up to 12 nodes.
func anyCircuit(t *rapid.T) Circuit {
	n := rapid.IntRange(2, 12).Draw(t, "nodes")
	c := Circuit{Class: rapid.SampledFrom([]circuit.Class{circuit.ClassA, circuit.ClassB, circuit.ClassX}).Draw(t, "class"), Nodes: make([]Node, n)}
	length := rapid.Float64Range(0, 300)
	for v := 1; v < n; v++ {
		c.Nodes[v] = Node{Series: rapid.Float64Range(0, 2).Draw(t, "series"), Load: rapid.Float64Range(0, 0.2).Draw(t, "load")}
		from := v - 1
		if !c.Class.Looped() {
			from = rapid.IntRange(0, v-1).Draw(t, "from")
		}
		c.Legs = append(c.Legs, leg(from, v, length.Draw(t, "length")))
	}
	if c.Class.Looped() {
		c.Legs = append(c.Legs, leg(n-1, 0, length.Draw(t, "return")))
	}
	return c
}

func anyRate(t *rapid.T) Rate {
	k := rapid.SampledFrom(conductors()).Draw(t, "conductor")
	r, err := k.Rate(rapid.Float64Range(MinTemperature, MaxTemperature).Draw(t, "temperature"))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func measured(t *rapid.T, c Circuit, r Rate) Loop {
	l, err := resist(c, r)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func clone(c Circuit) Circuit {
	c.Nodes = append([]Node(nil), c.Nodes...)
	c.Legs = append([]Leg(nil), c.Legs...)
	return c
}

// A longer leg never lowers a reading, and the worst branch grows by no more than twice the added cable.
func TestResistanceGrowsWithLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rate := anyCircuit(t), anyRate(t)
		before := measured(t, c, rate)
		longer := clone(c)
		add := rapid.Float64Range(0, 100).Draw(t, "add")
		longer.Legs[rapid.IntRange(0, len(c.Legs)-1).Draw(t, "leg")].Length += add
		after := measured(t, longer, rate)
		if after.Ohm < before.Ohm-1e-12 || after.Ohm > before.Ohm+2*add*rate.OhmPerMetre+1e-9 {
			t.Fatalf("%v ohm, %v after %v m more", before.Ohm, after.Ohm, add)
		}
		if !close9(after.Cable, before.Cable+add) {
			t.Fatalf("cable %v, then %v", before.Cable, after.Cable)
		}
	})
}

// Series resistance adds: readings are those of the bare copper plus those of the devices.
func TestSeriesAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rate := anyCircuit(t), anyRate(t)
		bare, devices := clone(c), clone(c)
		for i := range bare.Nodes {
			bare.Nodes[i].Series = 0
		}
		for i := range devices.Legs {
			devices.Legs[i].Length = 0
		}
		all, wire, series := measured(t, c, rate), measured(t, bare, rate), measured(t, devices, rate)
		for i := range all.Branches {
			if !close9(all.Branches[i].Ohm, wire.Branches[i].Ohm+series.Branches[i].Ohm) {
				t.Fatalf("branch %d: %v is not %v + %v", i, all.Branches[i].Ohm, wire.Branches[i].Ohm, series.Branches[i].Ohm)
			}
		}
	})
}

// The order of legs and the way round they are listed mean nothing for a tree,
// and for a loop only choose which end is the start.
func TestListingDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rate := anyCircuit(t), anyRate(t)
		mixed := clone(c)
		rng := rand.New(rand.NewPCG(1, rapid.Uint64().Draw(t, "mix")))
		rng.Shuffle(len(mixed.Legs), func(i, j int) { mixed.Legs[i], mixed.Legs[j] = mixed.Legs[j], mixed.Legs[i] })
		for i := range mixed.Legs {
			if rng.IntN(2) == 0 {
				mixed.Legs[i].From, mixed.Legs[i].To = mixed.Legs[i].To, mixed.Legs[i].From
			}
		}
		a, b := measured(t, c, rate), measured(t, mixed, rate)
		if !close9(a.Ohm, b.Ohm) || !close9(a.Cable, b.Cable) {
			t.Fatalf("%v ohm %v m, listed otherwise %v ohm %v m", a.Ohm, a.Cable, b.Ohm, b.Cable)
		}
		s := Supply{Start: 24, Minimum: 1}
		p, q := mustDropR(t, c, rate, s), mustDropR(t, mixed, rate, s)
		if p.WorstFeed >= 0 && !close9(p.WorstVolts, q.WorstVolts) {
			t.Fatalf("%v V, listed otherwise %v V", p.WorstVolts, q.WorstVolts)
		}
	})
}

func mustDropR(t *rapid.T, c Circuit, r Rate, s Supply) Power {
	p, err := Drop(c, r, s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Lumped is never kinder than point to point; voltage never rises on the way out;
// drops add up over loads (superposition).
func TestDropLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rate := anyCircuit(t), anyRate(t)
		s := Supply{Start: 24, LoadFactor: rapid.Float64Range(0, 0.4).Draw(t, "K")}
		p := mustDropR(t, c, rate, s)
		sum := make([]float64, len(c.Nodes))
		for i := range c.Nodes {
			one := clone(c)
			for j := range one.Nodes {
				if j != i {
					one.Nodes[j].Load = 0
				}
			}
			for v, volts := range mustDropR(t, one, rate, s).Feeds[0].Volts {
				sum[v] += s.Start - volts
			}
		}
		for _, f := range p.Feeds {
			for v := range c.Nodes {
				if f.Lumped[v] > f.Volts[v]+1e-9 || f.Volts[v] > f.Volts[0]+1e-9 {
					t.Fatalf("node %d: %v V, lumped %v V, at the terminals %v V", v, f.Volts[v], f.Lumped[v], f.Volts[0])
				}
			}
		}
		for v := range c.Nodes {
			if !close9(s.Start-p.Feeds[0].Volts[v], sum[v]) {
				t.Fatalf("node %d: drop %v, by single loads %v", v, s.Start-p.Feeds[0].Volts[v], sum[v])
			}
		}
	})
}

// Adding what is said to be left just reaches the limit and still passes.
func TestLeftIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, rate := anyCircuit(t), anyRate(t)
		lim := Limits{Ohm: rapid.Float64Range(1, 100).Draw(t, "limit")}
		check, err := Against(c, rate, lim)
		if err != nil {
			t.Fatal(err)
		}
		left := check.Bounds[0].Left
		if check.Passes != (left >= -1e-6) {
			t.Fatalf("passes %v with %v m left", check.Passes, left)
		}
		if left < 1 {
			return
		}
		// Lengthen the leg that ends the worst branch.
		longer := clone(c)
		end := check.Branches[check.Worst].End
		for i, l := range longer.Legs {
			if l.To == end {
				longer.Legs[i].Length += left
			}
		}
		if again, _ := Against(longer, rate, lim); !again.Passes || math.Abs(again.Bounds[0].Left) > 1e-6 {
			t.Fatalf("after adding %v m: passes %v with %v m left", left, again.Passes, again.Bounds[0].Left)
		}
	})
}

// Hotter copper resists more, a larger size of the same family less, coating never helps.
func TestConductorLaws(t *testing.T) {
	for _, c := range conductors() {
		last := 0.0
		for temp := MinTemperature; temp <= MaxTemperature; temp += 5 {
			r, err := c.Rate(temp)
			if err != nil || r.OhmPerMetre <= last {
				t.Fatalf("%s at %v C: %v ohm/m after %v, %v", c, temp, r.OhmPerMetre, last, err)
			}
			last = r.OhmPerMetre
		}
		family := Family(c)
		for i := 1; i < len(family); i++ {
			if mustRate(t, family[i].String(), 75).OhmPerMetre >= mustRate(t, family[i-1].String(), 75).OhmPerMetre {
				t.Errorf("%s resists no less than %s", family[i], family[i-1])
			}
		}
		plain := c
		plain.Coated = false
		if r, err := plain.Rate(75); c.Coated && (err != nil || r.OhmPerMetre > mustRate(t, c.String(), 75).OhmPerMetre) {
			t.Errorf("%s resists less than uncoated copper", c)
		}
	}
}

// Table 8 at 20 C and the formula at 20 C are two
// roads to one thing, and may differ by rounding only (10 AWG has three digits).
func TestTableAgreesWithFormula(t *testing.T) {
	for _, g := range []int{18, 16, 14, 12, 10, 8} {
		k := Conductor{Gauge: g, Build: Solid}
		for _, temp := range []float64{0, 20, 40, 75} {
			a, b := mustRate(t, k.String(), temp).OhmPerMetre, mustFormula(t, g, temp).OhmPerMetre
			if math.Abs(a/b-1) > 0.005 {
				t.Errorf("%s at %v C: table %v, formula %v", k, temp, a, b)
			}
		}
	}
}

func FuzzParseConductor(f *testing.F) {
	for _, c := range conductors() {
		f.Add(c.String())
	}
	for _, s := range []string{"", "16", "16 AWG", "1.5 mm²", "1e9 mm2 class 1", "16 AWG solid solid", "..5 mm2 class 1", "\xff AWG"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseConductor(s)
		if err != nil {
			if c != (Conductor{}) {
				t.Fatalf("%q: an error and a conductor", s)
			}
			return
		}
		again, err := ParseConductor(c.String())
		if err != nil || again != c {
			t.Fatalf("%q reads as %+v, which writes as %q and reads as %+v, %v", s, c, c, again, err)
		}
		if _, err := c.Rate(DefaultTemperature); err != nil {
			t.Fatalf("%q is taken and has no rate: %v", s, err)
		}
	})
}
