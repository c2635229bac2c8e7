// Command loopwright takes fire alarm floor plans from DXF drawings to a
// takeoff workbook, a labeled drawing, switch-setting sheets and what comes
// back from the site.
//
// Screen: the bar counts steps and the time gone, never foretells, never goes back
// and sends no escape sequence. Files, TERM=dumb and NO_COLOR get plain text. All
// that is printed passes tidyWriter: no control characters, in JSON they are
// escaped. --trace prints time and memory of every stage.
//
// Wrong input: wrongtable_test.go is the table, testdata/wrong.txt what is said.
// Add a row, run it with -update, and read the message as somebody would who never
// saw the program: what is wrong, where, what to do. Mistakes within the job file
// have a table of their own in cmd/internal/job/testdata/wrong.txt.
//
// The manual is made from the commands and from the table that reads job files:
// loopwright docs DIR writes loopwright.md, loopwright.1 and every-key.yaml.
package main

import (
	"errors"
	"fmt"
	"os"

	"loopwright/cmd/internal/commit"
)

func main() {
	os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// endOn ends the program cleanly when it is asked to: nothing half written
// stays behind.
func (a *app) endOn(stop <-chan os.Signal) {
	if _, asked := <-stop; !asked {
		return
	}
	end := errors.New("interrupted: nothing was written")
	if commit.Abandon() {
		end = errors.New("interrupted after everything was written")
	}
	fmt.Fprintf(os.Stderr, "\nloopwright: %v\n", end)
	a.tell(end)
	os.Exit(exitFailed)
}
