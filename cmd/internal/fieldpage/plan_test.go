package fieldpage_test

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"loopwright/takeoff"
)

// TestAgainstChromiumPlan looks at the plan as an estimator does: every device that counts is
// on it once, what was left out can be switched on, types can be told apart; and
// as an installer does: a tap on a device opens it.
func TestAgainstChromiumPlan(t *testing.T) {
	chromium(t)
	o := demoOutcome(t)
	file := written(t, o)
	ctx, _ := tab(t)
	said := complaints(t, ctx)
	do(t, ctx, desk())
	open(t, ctx, file)
	want, out := map[string]int{}, map[string]int{}
	for _, d := range o.Devices {
		if d.Status == takeoff.Counted {
			want[d.Level]++
		} else {
			out[d.Level]++
		}
	}
	visible := `[...planes[level].svg.querySelectorAll('.mark')].filter((m) => getComputedStyle(m).display !== 'none').length`
	for i, l := range o.Take.Levels {
		eval[any](t, ctx, `setLevel(`+itoa(i)+`); null`)
		if n := eval[int](t, ctx, visible); n != want[l.Name] {
			t.Errorf("%s shows %d devices, want %d", l.Name, n, want[l.Name])
		}
		eval[any](t, ctx, `hidden.layers.delete('out'); refreshLayers(); null`)
		if n := eval[int](t, ctx, visible); n != want[l.Name]+out[l.Name] {
			t.Errorf("%s shows %d symbols with those left out, want %d", l.Name, n, want[l.Name]+out[l.Name])
		}
		shot(t, ctx, "desk-left-out-"+itoa(i))
		eval[any](t, ctx, `hidden.layers.add('out'); refreshLayers(); null`)
	}
	// One type alone: its number is its count.
	eval[any](t, ctx, `setLevel(0); byId('layers-open').click(); document.querySelectorAll('#types .choice button')[1].click(); document.querySelector('#types input').click(); null`)
	smokes := 0
	for _, c := range takeoff.Counts(o.Take.Devices, o.Job.DeviceTypes(), o.Take.Levels) {
		if c.Type == "smoke" && c.Level == o.Take.Levels[0].Name {
			smokes = c.Count
		}
	}
	if n := eval[int](t, ctx, visible); n != smokes || smokes == 0 {
		t.Errorf("%d smoke detectors on the plan, counted %d", n, smokes)
	}
	shot(t, ctx, "desk-layers")
	eval[any](t, ctx, `document.querySelectorAll('#types .choice button')[0].click(); byId('layers-open').click(); null`)

	// A click beside the middle of a mark, still within its 44 pixels.
	p := eval[[]float64](t, ctx, `(() => { const m = data.marks[data.rows.find((r) => r.a === 20).m], v = planes[level].view, b = stage.getBoundingClientRect();
		return [b.x + b.width / 2 + (m.x - v.x) / v.k + 3, b.y + b.height / 2 + (m.y - v.y) / v.k - 2]; })()`)
	do(t, ctx, chromedp.MouseClickXY(p[0], p[1]))
	if a := eval[int](t, ctx, `selected.a`); a != 20 {
		t.Errorf("a click on address 20 opened %d", a)
	}
	// Wheel and drag leave the place under the pointer where it is.
	drift := eval[float64](t, ctx, `(() => { const v0 = {...planes[level].view}; zoomBy(2, 100, 50); endMove(); const v = planes[level].view;
		return Math.hypot((v0.x + 100 * v0.k) - (v.x + 100 * v.k), (v0.y + 50 * v0.k) - (v.y + 50 * v.k)); })()`)
	if drift > 1e-6 {
		t.Errorf("zooming moved the place under the pointer by %v", drift)
	}
	for _, m := range said() {
		t.Errorf("the console says: %s", m)
	}
}

// TestAgainstChromiumSearch types into the search with keys and leaves it again.
func TestAgainstChromiumSearch(t *testing.T) {
	ctx, _ := tab(t)
	do(t, ctx, desk())
	open(t, ctx, demoPage(t))
	found := func() string {
		return strings.Join(eval[[]string](t, ctx, `visibleRows().map((i) => (circuitName(i.r.c) + ' ' + i.r.a))`), ", ")
	}
	// The driver types a character although its key was taken, which no keyboard does: the slash is sent as a key alone.
	const slash = `document.body.dispatchEvent(new KeyboardEvent('keydown', {key: '/', bubbles: true})); null`
	eval[any](t, ctx, slash)
	do(t, ctx, chromedp.KeyEvent("4"), chromedp.KeyEvent("7"))
	if got := found(); got != "SLC-1 47" {
		t.Errorf("searching 47 finds %s: a number is an address", got)
	}
	do(t, ctx, chromedp.KeyEvent(kb.Enter))
	if a := eval[int](t, ctx, `selected.a`); a != 47 {
		t.Errorf("enter opens %d", a)
	}
	do(t, ctx, chromedp.KeyEvent(" "), chromedp.KeyEvent("p"))
	if s := eval[string](t, ctx, `JSON.stringify([entryOf(selected).done, entryOf(selected).problem])`); s != "[true,true]" {
		t.Errorf("space and p make %s", s)
	}
	eval[any](t, ctx, slash)
	do(t, ctx, chromedp.KeyEvent(kb.Escape))
	if n := eval[int](t, ctx, `visibleRows().length`); n != eval[int](t, ctx, `data.rows.length`) {
		t.Errorf("escape leaves %d devices", n)
	}
	eval[any](t, ctx, `byId('search').value = "children's smoke"; filterList(); null`)
	if n := eval[int](t, ctx, `visibleRows().length`); n == 0 || n > 20 {
		t.Errorf("two words find %d devices", n)
	}
	if s := eval[string](t, ctx, `byId('live').textContent`); !strings.Contains(s, "SLC-1: 0 of 61 done, 1 problem") {
		t.Errorf("announced: %q", s)
	}
	// Everything that can be pressed has a name and is large enough for a finger.
	small := eval[[]string](t, ctx, `[...document.querySelectorAll('button, input, select, textarea')].filter((n) => n.offsetParent && n.type !== 'checkbox' && (n.offsetHeight < 44 || n.offsetWidth < 44)).map((n) => n.outerHTML)`)
	if len(small) > 0 {
		t.Errorf("too small for a finger: %q", small)
	}
	nameless := eval[[]string](t, ctx, `[...document.querySelectorAll('button, input, select, textarea')].filter((n) => !(n.getAttribute('aria-label') || n.textContent.trim() || (n.labels && n.labels.length))).map((n) => n.outerHTML)`)
	if len(nameless) > 0 {
		t.Errorf("without a name: %q", nameless)
	}
}
