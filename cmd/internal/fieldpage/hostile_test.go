package fieldpage_test

import (
	"testing"

	"loopwright/assign"
	"loopwright/cmd/internal/outcome"
	"loopwright/route"
	"loopwright/route/circuit"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// hostile are texts that a drawing may hold and a page must show as they are.
var hostile = []string{
	`</script><img src=x onerror="window.leak=1">`,
	`<script>window.leak=1</script>`,
	`"'` + "`" + `${window.leak=1}`,
	`<!-- <svg onload=window.leak=1> -->`,
	"]]>&lt;&amp;&#60;",
	"\u05d7\u05d3\u05e8 \u202e103\u202c", // right to left, with marks that turn the writing
	"\u6d88\u9632\u63a7\u5236\u5ba4",
	"\u2028\u2029 line ends of scripts",
	"\U0001f525 beyond the basic plane",
	`\u003c/script\u003e`,
	"javascript:window.leak=1",
}

func TestAgainstChromiumHostileTexts(t *testing.T) {
	chromium(t)
	c := outcome.Laid{Circuit: route.Circuit{Spec: route.Spec{Name: hostile[0], Kind: takeoff.SLC, Panel: hostile[2], Pathway: circuit.ClassA}},
		Addressing: assign.Addressing{Scheme: assign.Scheme{Name: "binary7"}, First: 1, Last: 127}}
	var devices []assign.Numbered
	var rooms []takeoff.Room
	for i, s := range hostile {
		d := assign.Numbered{Device: takeoff.Device{ID: s, Type: "smoke", Level: hostile[1], Room: s, Status: takeoff.Counted, Pos: geom.Pt(float64(i), 0)},
			Circuit: c.Name, Order: i + 1, Address: i + 1, Span: 1, Points: []assign.NumberedPoint{{Point: "1.1", Function: s, Event: s}}}
		c.Devices = append(c.Devices, s)
		devices = append(devices, d)
		rooms = append(rooms, takeoff.Room{Level: hostile[1], Name: s, At: d.Pos})
	}
	in := bare(hostile[0], []outcome.Laid{c}, devices)
	in.Job.Revision, in.Job.Types[0].Name = hostile[3], hostile[0]
	in.Take = takeoff.Result{Levels: []takeoff.Level{{Name: hostile[1], Ceiling: 3}}, Rooms: rooms}
	in.Findings = []takeoff.Finding{{Code: "F200", Message: hostile[0]}}

	ctx, _ := tab(t)
	said := complaints(t, ctx)
	open(t, ctx, written(t, in))
	rows := eval[[]string](t, ctx, `[...document.querySelectorAll('#rows .what > span')].map((n) => n.textContent)`)
	onPlan := eval[[]string](t, ctx, `[...document.querySelectorAll('.rooms text')].map((n) => n.textContent)`)
	ids := eval[[]string](t, ctx, `data.rows.map((r) => r.id)`)
	for i, s := range hostile {
		if rows[i] != s || onPlan[i] != s || ids[i] != s {
			t.Errorf("%q shows as %q in the list and %q on the plan, its id is %q", s, rows[i], onPlan[i], ids[i])
		}
	}
	if got := eval[string](t, ctx, `document.querySelector('h1').textContent`); got != hostile[0] {
		t.Errorf("the job's name shows as %q", got)
	}
	// What people type is shown again after the page was loaded anew.
	eval[any](t, ctx, `change(data.rows[0], {note: data.rows.map((r) => r.id).join('\n')}); select(data.rows[0], true); null`)
	if got := eval[string](t, ctx, `byId('note').value`); got != join(hostile) {
		t.Errorf("the note shows as %q", got)
	}
	for _, b := range []string{`'list'`, `'plan'`, `'meter'`, `'file'`} {
		eval[any](t, ctx, `setView(`+b+`); null`)
	}
	if !eval[bool](t, ctx, `window.leak === undefined && document.querySelectorAll('img').length === 0 && document.scripts.length === 2`) {
		t.Error("a text was taken for markup or script")
	}
	for _, m := range said() {
		t.Errorf("the console says: %s", m)
	}
}

func join(ss []string) string {
	out := ""
	for i, s := range ss {
		if i > 0 {
			out += "\n"
		}
		out += s
	}
	return out
}
