// Command loopwright takes fire alarm floor plans from DXF drawings to a
// takeoff workbook, a labeled drawing, switch-setting sheets and what comes
// back from the site.
package main

import "os"

func main() {
	os.Exit(Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
