package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"loopwright/assign"
	"loopwright/cmd/internal/result"
)

// encodeFlags are what encode takes beside the address.
type encodeFlags struct {
	scheme      assign.Scheme
	firstSwitch string
	onMeans     string
	on, row     string
}

// encoded is what encode writes with --json.
type encoded struct {
	Address int `json:"address"`
	assign.Setting
	Sum string `json:"sum,omitempty"`
}

func (a *app) encodeCommand() *cobra.Command {
	var f encodeFlags
	c := &cobra.Command{
		Use:   "encode [ADDRESS]",
		Short: "Draw the switch setting of one address, or read one back",
		Example: `  loopwright encode 90
  loopwright encode 43 --scheme decade
  loopwright encode --on 2,8,16,64`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return a.encode(f, args) },
	}
	c.Flags().StringVar(&f.scheme.Name, "scheme", "binary7", "how addresses are set, a `NAME`: "+strings.Join(assign.SchemeNames, ", "))
	c.Flags().StringVar(&f.firstSwitch, "first-switch", "lowest", "`WHICH` value switch 1 has: lowest or highest")
	c.Flags().StringVar(&f.onMeans, "on-means", "1", "what a switch that is ON counts as, a `BIT`: 1 or 0")
	c.Flags().IntVar(&f.scheme.Offset, "offset", 0, "a `NUMBER` added to the address before it is set")
	c.Flags().StringVar(&f.on, "on", "", "read back: `VALUES` of the switches that are ON, e.g. 2,8,16,64")
	c.Flags().StringVar(&f.row, "row", "", "read back: the `ROW` from switch 1, 1 = ON, e.g. 0101101, or dials such as 4/3")
	return c
}

func (a *app) encode(f encodeFlags, args []string) error {
	if err := f.readScheme(); err != nil {
		return usageError{err}
	}
	address, err := f.address(args)
	if err != nil {
		return err
	}
	set, err := f.scheme.Encode(address)
	if err != nil {
		return err
	}
	if a.json {
		return result.WriteJSON(a.out, encoded{address, set, f.scheme.Sum(address)})
	}
	return drawSetting(a.out, f.scheme, address, set)
}

func (f *encodeFlags) readScheme() error {
	switch f.firstSwitch {
	case "lowest", "highest":
		f.scheme.HighestFirst = f.firstSwitch == "highest"
	default:
		return fmt.Errorf("--first-switch %q: use lowest or highest", f.firstSwitch)
	}
	switch f.onMeans {
	case "0", "1":
		f.scheme.OnMeansZero = f.onMeans == "0"
	default:
		return fmt.Errorf("--on-means %q: use 1 or 0", f.onMeans)
	}
	return f.scheme.Validate()
}

// address takes the address from the argument, or reads it back from switches.
func (f *encodeFlags) address(args []string) (int, error) {
	given := len(args)
	if f.on != "" {
		given++
	}
	if f.row != "" {
		given++
	}
	if given != 1 {
		return 0, usageError{errors.New("give one of: an address, --on or --row")}
	}
	switch {
	case f.row != "":
		return f.scheme.Decode(f.row)
	case f.on != "":
		var on []int
		for _, s := range strings.Split(f.on, ",") {
			v, err := strconv.Atoi(strings.TrimSpace(s))
			if err != nil {
				return 0, usageError{fmt.Errorf("--on %q: use switch values separated by commas, e.g. 2,8,16,64", f.on)}
			}
			on = append(on, v)
		}
		return f.scheme.DecodeOn(on)
	}
	address, err := strconv.Atoi(args[0])
	if err != nil {
		return 0, usageError{fmt.Errorf("address %q: use a whole number", args[0])}
	}
	return address, nil
}

// drawSetting draws the switches as they look on the device: the handle up for ON.
func drawSetting(w io.Writer, s assign.Scheme, address int, set assign.Setting) error {
	values := s.Values()
	if len(values) == 0 {
		return drawDials(w, address, set)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "address %d   %s   %s\n\n", address, set.Scheme, s.Sum(address))
	line := func(head, left, mid, right string, cell func(i int) string) {
		fmt.Fprintf(&b, "%-8s%s", head, left)
		for i := range values {
			if i > 0 {
				b.WriteString(mid)
			}
			b.WriteString(cell(i))
		}
		b.WriteString(right + "\n")
	}
	rule := func(int) string { return "─────" }
	handle := func(at byte) func(int) string {
		return func(i int) string {
			if set.Row[i] == at {
				return "  █  "
			}
			return "     "
		}
	}
	line("", "┌", "┬", "┐", rule)
	line("ON", "│", "│", "│", handle('1'))
	line("OFF", "│", "│", "│", handle('0'))
	line("", "└", "┴", "┘", rule)
	line("switch", " ", " ", "", func(i int) string { return fmt.Sprintf("%3d  ", i+1) })
	line("value", " ", " ", "", func(i int) string { return fmt.Sprintf("%3d  ", values[i]) })
	_, err := io.WriteString(w, trimLines(b.String()))
	return err
}

func drawDials(w io.Writer, address int, set assign.Setting) error {
	if set.Row == "" {
		_, err := fmt.Fprintf(w, "address %d   %s   set electronically: no switches\n", address, set.Scheme)
		return err
	}
	tens, ones, _ := strings.Cut(set.Row, "/")
	_, err := fmt.Fprintf(w, "address %d   %s\n\ntens dial  %s\nones dial  %s\n", address, set.Scheme, tens, ones)
	return err
}

// trimLines takes trailing blanks off every line.
func trimLines(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = strings.TrimRight(l, " ")
	}
	return strings.Join(lines, "\n")
}
