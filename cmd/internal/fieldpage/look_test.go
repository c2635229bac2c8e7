package fieldpage_test

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestAgainstChromiumLook goes through the page in both sizes and both sets of colors; with
// LOOPWRIGHT_KEEP it keeps pictures to be looked at.
func TestAgainstChromiumLook(t *testing.T) {
	file := demoPage(t)
	for _, v := range []struct {
		name string
		size chromedp.Action[chromedp.Void]
	}{{"phone", phone()}, {"desk", desk()}} {
		t.Run(v.name, func(t *testing.T) {
			ctx, _ := tab(t)
			said := complaints(t, ctx)
			do(t, ctx, v.size)
			open(t, ctx, file)
			for _, theme := range []string{"light", "dark"} {
				eval[any](t, ctx, `setTheme('`+theme+`'); change(data.rows[1], {done: true}); change(data.rows[2], {done: true}); change(data.rows[3], {problem: true, note: 'ceiling is closed'}); null`)
				shot(t, ctx, v.name+"-"+theme+"-list")
				eval[any](t, ctx, `select(data.rows.find((r) => r.a === 47), true); null`)
				shot(t, ctx, v.name+"-"+theme+"-device")
				eval[any](t, ctx, `closeDetail(); setView('plan'); null`)
				shot(t, ctx, v.name+"-"+theme+"-plan")
				eval[any](t, ctx, `setView('meter'); null`)
				shot(t, ctx, v.name+"-"+theme+"-meter")
				eval[any](t, ctx, `setView('file'); null`)
				shot(t, ctx, v.name+"-"+theme+"-file")
				eval[any](t, ctx, `setView('list'); null`)
			}
			// Nothing may be wider than the screen.
			if w := eval[[]float64](t, ctx, `[document.documentElement.scrollWidth, innerWidth]`); w[0] > w[1] {
				t.Errorf("the page is %v wide on a screen of %v", w[0], w[1])
			}
			for _, m := range said() {
				t.Errorf("the console says: %s", m)
			}
		})
	}
}
