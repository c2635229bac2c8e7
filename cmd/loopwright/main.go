// Command loopwright takes fire alarm floor plans from DXF drawings to a
// takeoff workbook, a labeled drawing, switch-setting sheets and what comes
// back from the site.
package main

import (
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"loopwright/cmd/internal/commit"
)

func main() {
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	go endOn(stop)
	os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// endOn ends the program cleanly when it is asked to: nothing half written
// stays behind.
func endOn(stop <-chan os.Signal) {
	<-stop
	if commit.Abandon() {
		fmt.Fprintln(os.Stderr, "\nloopwright: interrupted after everything had been written")
	} else {
		fmt.Fprintln(os.Stderr, "\nloopwright: interrupted: nothing was written")
	}
	os.Exit(exitFailed)
}
