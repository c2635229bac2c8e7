package main

import (
	"os"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// bar shows progress on a terminal and is silent elsewhere.
type bar struct{ p *progressbar.ProgressBar }

// progress makes a bar on standard error, if that is a terminal.
func (a *app) progress() *bar {
	f, ok := a.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return &bar{}
	}
	return &bar{progressbar.NewOptions(-1, progressbar.OptionSetWriter(f), progressbar.OptionClearOnFinish(),
		progressbar.OptionSetWidth(24), progressbar.OptionSetElapsedTime(true))}
}

func (b *bar) step(what string, done, total int) {
	if b.p == nil {
		return
	}
	b.p.ChangeMax(total)
	b.p.Describe(what)
	b.p.Set(done)
}

func (b *bar) close() {
	if b.p != nil {
		b.p.Finish()
	}
}
