package fieldpage_test

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/job"
	"loopwright/cmd/internal/outcome"
	"loopwright/testdata"
	"loopwright/testdata/against"
)

func chromium(t *testing.T) string {
	t.Helper()
	return against.Program(t, "chromium", "chromium-browser", "google-chrome")
}

// tab opens a tab of a fresh browser; downloads go to the folder returned.
func tab(t *testing.T) (ctx context.Context, profile string) {
	t.Helper()
	exe := chromium(t)
	profile = t.TempDir()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(exe), chromedp.NoSandbox, chromedp.UserDataDir(profile),
		chromedp.WSURLReadTimeout(90*time.Second))
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), opts...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(func() {
		chromedp.Cancel(ctx) // waits for the browser to end, so that its profile can go
		cancel()
	})
	return ctx, profile
}

// The two sizes that the page is made for, in CSS pixels.
func phone() chromedp.Action[chromedp.Void] {
	return chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait)
}

func desk() chromedp.Action[chromedp.Void] { return chromedp.EmulateViewport(1440, 900) }

func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

// eval runs a script in the page and returns what it comes to.
func eval[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

// open loads a page from the disk, as a phone does, and waits until it works.
func open(t *testing.T, ctx context.Context, file string) {
	t.Helper()
	do(t, ctx, chromedp.Navigate("file://"+file), chromedp.WaitReady(`html[data-ready=yes]`))
}

// shot keeps a picture of the page if LOOPWRIGHT_KEEP names a folder for them.
func shot(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	dir := os.Getenv("LOOPWRIGHT_KEEP")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o666); err != nil {
		t.Fatal(err)
	}
}

// demoFolder holds the demo's drawings, which pages are drawn from, until all tests are done.
var demoFolder string

func TestMain(m *testing.M) {
	code := m.Run()
	if demoFolder != "" {
		os.RemoveAll(demoFolder)
	}
	os.Exit(code)
}

var demo = sync.OnceValues(func() (*outcome.Outcome, error) {
	dir, err := os.MkdirTemp("", "fieldpage-demo-")
	if err != nil {
		return nil, err
	}
	demoFolder = dir
	files, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return nil, err
	}
	if err := os.CopyFS(dir, files); err != nil {
		return nil, err
	}
	j, err := job.Load(filepath.Join(dir, "job.yaml"))
	if err != nil {
		return nil, err
	}
	return outcome.Compute(j, nil)
})

// demoPage is the page of the demo, as a file, for a browser.
func demoPage(t *testing.T) string {
	t.Helper()
	chromium(t) // before anything is computed for it
	return written(t, demoOutcome(t))
}

// demoOutcome is the demo job, computed once for all tests.
func demoOutcome(t *testing.T) *outcome.Outcome {
	t.Helper()
	o, err := demo()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// written writes a page to a file.
func written(t *testing.T, in *outcome.Outcome) string {
	t.Helper()
	var b bytes.Buffer
	if err := fieldpage.Write(&b, in); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "field.html")
	if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// complaints collects what the page's console says; a refused script or style
// shows there.
func complaints(t *testing.T, ctx context.Context) func() []string {
	t.Helper()
	var mu sync.Mutex
	var out []string
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			mu.Lock()
			out = append(out, fmt.Sprint(m))
			mu.Unlock()
		}
	}()
	return func() []string {
		mu.Lock()
		defer mu.Unlock()
		return out
	}
}
