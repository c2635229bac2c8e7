package fieldpage_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"

	"github.com/chromedp/chromedp"
)

// large is a page with 1,000 devices on eight circuits and a level of 50,000
// drawn segments.
func large(t *testing.T) *outcome.Outcome {
	const across, down, segments = 120.0, 80.0, 50_000
	r := rand.New(rand.NewPCG(1, 2))
	s := assign.Scheme{Name: "binary7"}
	var circuits []outcome.Laid
	var devices []assign.Numbered
	for i := range 8 {
		c := outcome.Laid{Circuit: route.Circuit{Spec: route.Spec{Name: fmt.Sprintf("SLC-%d", i+1), Kind: takeoff.SLC, Panel: "FACP", Pathway: circuit.ClassA}},
			Addressing: assign.Addressing{Scheme: s, First: 1, Last: 127}}
		way := route.Leg{Stretches: []route.Stretch{{Level: "Level 1"}}}
		for a := 1; a <= 125; a++ {
			set, _ := s.Encode(a)
			d := assign.Numbered{Device: takeoff.Device{ID: fmt.Sprintf("L1-%04d", 125*i+a), Type: "smoke", Level: "Level 1", Room: fmt.Sprintf("%d ROOM", 100+a), Status: takeoff.Counted,
				Pos: geom.Pt(across*r.Float64(), down*(float64(i)+r.Float64())/8)}, Circuit: c.Name, Order: a, Address: a, Span: 1, Switches: &set}
			c.Devices = append(c.Devices, d.ID)
			devices = append(devices, d)
			way.Stretches[0].Points = append(way.Stretches[0].Points, d.Pos)
		}
		c.Legs = []route.Leg{way}
		circuits = append(circuits, c)
	}
	in := bare("Large", circuits, devices)
	in.Take.Levels[0].Sheets = []takeoff.Sheet{{Plan: takeoff.Plan{Drawing: "a.dxf", Level: "Level 1"}, ToBuilding: geom.Identity(), MetrePer: 1}}
	in.Job.File = filepath.Join(t.TempDir(), "job.yaml")
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nENTITIES\n")
	for range segments / 5 {
		x, y := across*r.Float64(), down*r.Float64()
		b.WriteString("0\nLWPOLYLINE\n8\nA-FURN\n90\n6\n70\n0\n")
		for k := range 6 {
			fmt.Fprintf(&b, "10\n%g\n20\n%g\n", x+0.4*float64(k%3), y+0.3*float64(k))
		}
	}
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	if err := os.WriteFile(in.Job.Resolve("a.dxf"), []byte(b.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	return in
}

// TestAgainstChromiumLarge reports how long a page of 1,000 devices takes until it can be used
// and how smoothly its plan moves; it fails only where it does not work at all.
func TestAgainstChromiumLarge(t *testing.T) {
	chromium(t)
	file := written(t, large(t))
	ctx, _ := tab(t)
	do(t, ctx, phone())
	for range 3 {
		open(t, ctx, file)
		at := eval[[]float64](t, ctx, `(() => { const n = performance.getEntriesByType('navigation')[0]; return [n.domInteractive, n.domComplete, readyAt]; })()`)
		t.Logf("phone: usable %.0f ms after navigation began (parsed %.0f ms, complete %.0f ms)", at[2], at[0], at[1])
	}
	do(t, ctx, desk())
	open(t, ctx, file)
	at := eval[[]float64](t, ctx, `[readyAt]`)
	t.Logf("desk: usable %.0f ms after navigation began", at[0])
	frames, err := chromedp.Run(ctx, chromedp.Evaluate[[]float64](moveAndTime, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("desk: moving the plan: median %.1f ms a frame, slowest %.1f ms; drawing anew at the end: %.0f ms", frames[0], frames[1], frames[2])
	if n := eval[int](t, ctx, `document.querySelectorAll('.mark').length`); n != 1000 {
		t.Errorf("%d devices on the plan, want 1000", n)
	}
}

// moveAndTime moves the plan for sixty frames and then ends the gesture.
const moveAndTime = `new Promise((done) => {
	const times = [];
	let last = performance.now();
	const step = (n) => requestAnimationFrame(() => {
		const now = performance.now();
		times.push(now - last);
		last = now;
		if (n > 0) { panBy(n % 2 ? 5 : 3, 2); return step(n - 1); }
		const t0 = performance.now();
		endMove();
		requestAnimationFrame(() => setTimeout(() => {
			times.sort((a, b) => a - b);
			done([times[times.length >> 1], times[times.length - 1], performance.now() - t0]);
		}));
	});
	step(60);
})`
