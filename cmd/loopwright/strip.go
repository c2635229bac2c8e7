package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"loopwright/cmd/internal/commit"
	"loopwright/cmd/internal/result"
	dxfedit "loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/where"
)

func (a *app) stripCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "strip DRAWING",
		Short: "Take out of a drawing what the program added",
		Long: `Writes a copy of a labeled drawing without the addresses, routes, schedule and
layers that the program added. Where nobody else edited the drawing in between, the
copy is the original byte for byte. What a CAD program has stripped of its marks is
told by the names of the layers, and said. The drawing itself is never changed.`,
		Example: "  loopwright strip out/plans/level-1.dxf -o level-1.dxf",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if out == "" {
				out = strings.TrimSuffix(args[0], filepath.Ext(args[0])) + "-stripped" + filepath.Ext(args[0])
			}
			return a.strip(args[0], out)
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write (default: NAME-stripped.dxf beside the drawing)")
	return c
}

func (a *app) strip(drawing, out string) error {
	data, err := os.ReadFile(drawing)
	if err != nil {
		return err
	}
	bare, guessed, err := dxfedit.StripFile(drawing, data)
	if err != nil {
		return where.In(drawing, err)
	}
	switch there, err := os.ReadFile(out); {
	case err == nil && !bytes.Equal(there, bare):
		return where.In(out, fmt.Errorf("%s already exists and is another drawing: name another file with -o (nothing was written)", out))
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	}
	s, err := commit.Open(filepath.Dir(out))
	if err != nil {
		return fmt.Errorf("nothing was written: %w", err)
	}
	defer s.Close()
	if err := s.Write([]commit.File{{Path: out, Data: bare}}); err != nil {
		return fmt.Errorf("nothing was written: %w", err)
	}
	if a.json {
		return result.WriteJSON(a.out, struct {
			Outputs []string `json:"outputs"`
			Removed int      `json:"removed_bytes"`
			Guessed []string `json:"by_layer,omitempty"` // layers of which unmarked things were taken out
		}{[]string{out}, len(data) - len(bare), guessed})
	}
	if len(guessed) > 0 {
		fmt.Fprintf(a.err, "loopwright: lines and texts on %s bear no mark and were taken out by the names of their layers: check them\n", strings.Join(guessed, ", "))
	}
	_, err = fmt.Fprintf(a.out, "Written to %s: %d bytes taken out\n", out, len(data)-len(bare))
	return err
}
