package fieldpage_test

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/reconcile"
)

func TestSameBytes(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := fieldpage.Write(w, demoOutcome(t)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same job gave other bytes")
	}
	for _, s := range []string{"http:", "https:", "src=", "@import", "url("} {
		if n := strings.Count(strings.ReplaceAll(a.String(), "http://www.w3.org/2000/svg", ""), s); n > 0 {
			t.Errorf("the page holds %q: it must load nothing", s)
		}
	}
}

// TestAgainstChromiumTenDevices ticks ten devices with fingers on a phone and with keys at a
// desk, loads the page again, saves the file and reconciles it.
func TestAgainstChromiumTenDevices(t *testing.T) {
	file := demoPage(t)
	for _, v := range []struct {
		name string
		size chromedp.Action[chromedp.Void]
	}{{"phone", phone()}, {"desk", desk()}} {
		t.Run(v.name, func(t *testing.T) {
			ctx, _ := tab(t)
			folder := t.TempDir()
			said := complaints(t, ctx)
			do(t, ctx, v.size)
			open(t, ctx, file)
			if v.name == "phone" {
				for n := range 10 {
					eval[any](t, ctx, `document.querySelectorAll('#rows li .tick')[`+itoa(n)+`].scrollIntoView({block: 'center'}); null`)
					p := eval[[]float64](t, ctx, `(() => { const b = document.querySelectorAll('#rows li .tick')[`+itoa(n)+`].getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; })()`)
					do(t, ctx, chromedp.TapXY(p[0], p[1]))
				}
			} else {
				for range 10 {
					do(t, ctx, chromedp.KeyEvent(" "), chromedp.KeyEvent(kb.ArrowDown))
				}
			}
			want := eval[[]string](t, ctx, `data.rows.slice(0, 10).map((r) => r.id)`)
			ticked := `[...document.querySelectorAll('#rows li.is-done .tick')].map((b) => b.getAttribute('aria-label').slice(6))`
			if got := eval[[]string](t, ctx, ticked); strings.Join(got, " ") != strings.Join(want, " ") {
				t.Fatalf("ticked %q, want %q", got, want)
			}
			do(t, ctx, chromedp.Reload(), chromedp.WaitReady(`html[data-ready=yes]`))
			if got := eval[[]string](t, ctx, ticked); strings.Join(got, " ") != strings.Join(want, " ") {
				t.Fatalf("after loading again %q, want %q", got, want)
			}
			export := saved(t, ctx, folder)
			src, err := reconcile.Read(export)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, r := range src.Entries {
				if len(r.Ticks) != 1 || r.Ticks[0] != "done" || r.Problem || r.Found != "" {
					t.Errorf("%+v: want a tick and nothing else", r)
				}
				got = append(got, r.ID)
			}
			if strings.Join(got, " ") != strings.Join(want, " ") {
				t.Errorf("reconcile reads %q, want %q", got, want)
			}
			res, err := reconcile.Run(demoOutcome(t).Job, []string{export}, t.TempDir(), nil)
			if err != nil {
				t.Fatal(err)
			}
			got = nil
			for _, d := range res.Devices {
				if d.Installed && d.Circuit == "SLC-1" {
					got = append(got, d.ID)
				}
			}
			slices.Sort(got)
			if slices.Sort(want); strings.Join(got, " ") != strings.Join(want, " ") {
				t.Errorf("reconcile has %q installed, want %q", got, want)
			}
			for _, m := range said() {
				t.Errorf("the console says: %s", m)
			}
		})
	}
}

func itoa(n int) string { return string(rune('0' + n)) }

// saved presses Save file and returns where the download went.
func saved(t *testing.T, ctx context.Context, folder string) string {
	t.Helper()
	told := true
	if _, err := chromedp.CallBrowser(ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
		Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder, EventsEnabled: &told}); err != nil {
		t.Fatal(err)
	}
	progress := chromedp.BrowserEvents(ctx, browser.DownloadProgress)
	eval[any](t, ctx, `setView('file'); null`)
	do(t, ctx, chromedp.Click(`#save`))
	for p, err := range progress {
		if err != nil || p.State == browser.DownloadProgressStateCanceled {
			t.Fatalf("the file was not saved: %v", err)
		}
		if p.State == browser.DownloadProgressStateCompleted {
			break
		}
	}
	files, _ := filepath.Glob(filepath.Join(folder, "*.json"))
	if len(files) != 1 {
		t.Fatalf("%d files were saved, want one: %q", len(files), files)
	}
	return files[0]
}

// TestAgainstChromiumEverythingComesBack enters one of each and compares the export as read by Go.
func TestAgainstChromiumEverythingComesBack(t *testing.T) {
	ctx, _ := tab(t)
	do(t, ctx, phone())
	open(t, ctx, demoPage(t))
	const note = "ladder needed; \"3 m\" </script><b> \u05e9\u05dc\u05d5\u05dd \u6d88\u9632"
	quoted, _ := json.Marshal(note)
	eval[any](t, ctx, `(() => {
		const type = (id, v) => { const f = byId(id); f.value = v; f.dispatchEvent(new Event('input')); };
		select(data.rows.find((r) => r.a === 47), true);
		type('found', '74'); type('note', `+string(quoted)+`);
		document.querySelector('#detail .big.problem').click();
		document.querySelector('#detail .big.done').click();
		const ohm = document.querySelector('#meter input');
		ohm.value = '12,5'; ohm.dispatchEvent(new Event('input'));
		const who = document.querySelectorAll('#meter input')[1];
		who.value = 'AB'; who.dispatchEvent(new Event('input'));
	})(); null`)
	text := eval[string](t, ctx, `exportText()`)
	e, err := fieldpage.ReadExport(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if len(e.Entries) != 1 || len(e.Readings) != 1 {
		t.Fatalf("%+v", e)
	}
	x, r := e.Entries[0], e.Readings[0]
	if x.Circuit != "SLC-1" || x.Planned != 47 || x.Found != "74" || !slices.Equal(x.Ticks, []string{"done"}) || !x.Problem || x.Note != note || x.Date == "" {
		t.Errorf("entry %+v", x)
	}
	if r.Circuit != "SLC-1" || r.End != "FACP" || r.Ohm != "12.5" || r.Initials != "AB" {
		t.Errorf("reading %+v", r)
	}

	// Read in on another device, where nothing was entered and where something else was.
	back := func(setup string) string {
		again, _ := json.Marshal(text)
		return eval[string](t, ctx, setup+`; importText(`+string(again)+`)`)
	}
	if said := back(`state = {entries: {}, readings: {}}`); !strings.Contains(said, "1 entry new") {
		t.Error(said)
	}
	strip := func(s string) string { return strings.Join(strings.SplitN(s, "\n", 7)[6:], "") } // its own time aside
	if got := eval[string](t, ctx, `exportText()`); strip(got) != strip(text) {
		t.Errorf("out and in again:\n%s\nwant\n%s", got, text)
	}
	said := back(`Object.values(state.entries)[0].found = 75; Object.values(state.entries)[0].note = 'mine'`)
	if !strings.Contains(said, "1 contradiction") {
		t.Error(said)
	}
	e, err = fieldpage.ReadExport(strings.NewReader(eval[string](t, ctx, `exportText()`)))
	if err != nil {
		t.Fatal(err)
	}
	if x := e.Entries[0]; x.Found != "75" || !x.Problem || !strings.Contains(x.Note, "mine") || !strings.Contains(x.Note, "found 74") || !strings.Contains(x.Note, "ladder") {
		t.Errorf("a contradiction lost something: %+v", x)
	}
	for _, bad := range []string{`{`, `[]`, `{"format":"x"}`, `{"format":"loopwright field page","version":2}`, `{"format":"loopwright field page","version":1,"job":"Another"}`,
		`{"format":"loopwright field page","version":1,"job":"Saltmarsh Branch Library","entries":[{"id":5}]}`} {
		q, _ := json.Marshal(bad)
		before := eval[string](t, ctx, `JSON.stringify(state)`)
		if said := eval[string](t, ctx, `importText(`+string(q)+`)`); !strings.HasPrefix(said, "Th") {
			t.Errorf("%s: %q", bad, said)
		}
		if eval[string](t, ctx, `JSON.stringify(state)`) != before {
			t.Errorf("%s was refused and changed something", bad)
		}
	}
}

// TestAgainstChromiumNoStore runs the page where the browser keeps nothing, and where what it
// kept is damaged.
func TestAgainstChromiumNoStore(t *testing.T) {
	file := demoPage(t)
	t.Run("refused", func(t *testing.T) {
		ctx, _ := tab(t)
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });`})
		if err != nil {
			t.Fatal(err)
		}
		open(t, ctx, file)
		if w := eval[string](t, ctx, `byId('warn').hidden ? '' : byId('warn').textContent`); !strings.Contains(w, "does not store entries") {
			t.Errorf("the page warns %q", w)
		}
		eval[any](t, ctx, `document.querySelector('#rows .tick').click(); null`)
		if e, err := fieldpage.ReadExport(strings.NewReader(eval[string](t, ctx, `exportText()`))); err != nil || len(e.Entries) != 1 {
			t.Errorf("%+v, %v", e, err)
		}
	})
	t.Run("damaged", func(t *testing.T) {
		ctx, _ := tab(t)
		open(t, ctx, file)
		eval[any](t, ctx, `localStorage.setItem(storeKey, '{"entries":[1,'); null`)
		do(t, ctx, chromedp.Reload(), chromedp.WaitReady(`html[data-ready=yes]`))
		if w := eval[string](t, ctx, `byId('warn').textContent`); !strings.Contains(w, "damaged") {
			t.Errorf("the page warns %q", w)
		}
		if kept := eval[string](t, ctx, `localStorage.getItem(storeKey + ' damaged')`); kept != `{"entries":[1,` {
			t.Errorf("what was damaged is gone: %q", kept)
		}
	})
}

// TestAgainstChromiumClosed proves that the page's policy lets nothing in or out.
func TestAgainstChromiumClosed(t *testing.T) {
	ctx, _ := tab(t)
	open(t, ctx, demoPage(t))
	got := eval[bool](t, ctx, `(() => { const s = document.createElement('script'); s.textContent = 'window.leak = 1'; document.body.append(s); return window.leak === undefined; })()`)
	if !got {
		t.Error("a script that was put in ran")
	}
	refused, err := chromedp.Run(ctx, chromedp.Evaluate[string](`fetch('http://127.0.0.1:9/').then(() => 'open', (e) => e.name)`, chromedp.EvalAwaitPromise))
	if err != nil || refused != "TypeError" {
		t.Errorf("fetch: %q, %v", refused, err)
	}
	if n := eval[int](t, ctx, `performance.getEntriesByType('resource').length`); n != 0 {
		t.Errorf("the page loaded %d resources", n)
	}
}
