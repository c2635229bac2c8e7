package main

import (
	"fmt"
	"os"
	"runtime"
	"time"

	"github.com/schollz/progressbar/v3"
)

// bar shows progress on a terminal and is silent elsewhere; with --trace it
// writes down what each stage took. It shows how many steps are behind and the
// time that has gone, and foretells nothing: steps are of very different length.
type bar struct {
	a     *app
	p     *progressbar.ProgressBar
	stage string
	since time.Time
	start time.Time
}

// progress makes a bar on standard error, if that is a terminal that can move
// its cursor.
func (a *app) progress() *bar {
	b := &bar{a: a, start: time.Now()}
	t := a.err
	if t.terminal == nil || a.trace || os.Getenv("TERM") == "dumb" {
		return b
	}
	b.p = progressbar.NewOptions(-1, progressbar.OptionSetWriter(t.terminal), progressbar.OptionClearOnFinish(),
		progressbar.OptionSetWidth(24), progressbar.OptionSetElapsedTime(true), progressbar.OptionSetPredictTime(false))
	return b
}

func (b *bar) step(what string, done, total int) {
	b.lap(what)
	if b.p == nil {
		return
	}
	b.p.ChangeMax(total)
	b.p.Describe(fmt.Sprintf("step %d of %d: %-16s", done+1, total, what))
	_ = b.p.Set(done) // a bar that cannot be drawn is no reason to stop
}

// lap ends the stage before and begins the next; "" ends only.
func (b *bar) lap(next string) {
	now := time.Now()
	if b.a.trace && b.stage != "" {
		fmt.Fprintf(b.a.err, "trace: %-22s %9.3f s, %5d MB\n", b.stage, now.Sub(b.since).Seconds(), taken())
	}
	b.stage, b.since = next, now
}

func (b *bar) close() {
	b.lap("")
	if b.a.trace {
		fmt.Fprintf(b.a.err, "trace: %-22s %9.3f s, %5d MB\n", "all", time.Since(b.start).Seconds(), taken())
	}
	if b.p != nil {
		_ = b.p.Finish()
	}
}

// taken is the memory in MB that the program has taken from the system at most.
func taken() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.Sys >> 20 // address space is never given back: this only grows
}
