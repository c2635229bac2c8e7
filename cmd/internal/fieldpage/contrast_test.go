package fieldpage_test

import "testing"

// TestAgainstChromiumContrast holds the colors of texts against WCAG 2.2, success criterion
// 1.4.3 (4.5 to 1), and those of marks and frames against 1.4.11 (3 to 1), with
// the relative luminance that it defines.
func TestAgainstChromiumContrast(t *testing.T) {
	ctx, _ := tab(t)
	open(t, ctx, written(t, bare("Contrast", nil, nil)))
	const ratio = `(theme, a, b) => {
		setTheme(theme);
		const light = (name) => {
			const probe = el('i', {});
			document.body.append(probe);
			probe.style.color = 'var(--' + name + ')';
			const rgb = getComputedStyle(probe).color.match(/\d+/g).map(Number);
			probe.remove();
			const [r, g, b] = rgb.map((v) => { const c = v / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; });
			return 0.2126 * r + 0.7152 * g + 0.0722 * b;
		};
		const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
		return (x + 0.05) / (y + 0.05);
	}`
	for _, theme := range []string{"light", "dark"} {
		for _, c := range []struct {
			a, b  string
			least float64
		}{
			{"ink", "paper", 4.5}, {"ink", "sheet", 4.5}, {"soft", "paper", 4.5}, {"soft", "sheet", 4.5}, {"main", "paper", 4.5},
			{"on-main", "main", 4.5}, {"on-good", "good", 4.5}, {"on-bad", "bad", 4.5}, {"bad", "paper", 4.5}, {"paper", "ink", 4.5},
			{"good", "paper", 3}, {"main", "sheet", 3}, {"wall", "paper", 3},
		} {
			if r := eval[float64](t, ctx, `(`+ratio+`)('`+theme+`', '`+c.a+`', '`+c.b+`')`); r < c.least {
				t.Errorf("%s: %s on %s has a contrast of %.2f to 1, want %.1f", theme, c.a, c.b, r, c.least)
			}
		}
	}
}
