// Package reconcile takes what came back from site (filled sheets, an edited
// workbook, exports of the field page), holds it against the job, and writes
// the as-built state: the ledger, the found addresses on the drawings, the
// workbook with its last columns filled, and a list of differences.
//
// It asks nothing and loses nothing. Two values are never merged into one: where
// sources contradict one another both are kept, parted by a semicolon, with a
// finding (F706). A found address changes no planned one: whoever wants it to
// hold writes it into the address column of the ledger.
package reconcile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"loopwright/cmd/internal/fieldpage"
	"loopwright/cmd/internal/returned"
	"loopwright/cmd/internal/workbook/back"
	"loopwright/takeoff/where"
)

// maxFile bounds what is read: far beyond any sheet, workbook or export.
const maxFile = 128 << 20

// Read reads a file that came back from site, whatever kind it is. A foreign or
// damaged file is an error that names it and says what is wrong.
func Read(file string) (returned.Source, error) {
	s, err := read(file)
	s.File = filepath.Base(file)
	if err != nil && !strings.Contains(err.Error(), file) {
		err = fmt.Errorf("%s: %w", file, err)
	}
	return s, where.In(file, err)
}

func read(file string) (returned.Source, error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return returned.Source{}, err
	case !info.Mode().IsRegular():
		return returned.Source{}, errors.New("is not a file: name the filled sheets, workbook or export")
	case info.Size() == 0:
		return returned.Source{}, errors.New("the file is empty: export or copy it again")
	case info.Size() > maxFile:
		return returned.Source{}, fmt.Errorf("%d MB is too large for a file from site (at most %d MB)", info.Size()>>20, maxFile>>20)
	}
	f, err := os.Open(file)
	if err != nil {
		return returned.Source{}, err
	}
	defer f.Close()
	head := make([]byte, 1024)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return returned.Source{}, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return returned.Source{}, err
	}
	switch head = head[:n]; {
	case bytes.Contains(head, []byte("%PDF-")): // viewers take a header within the first 1024 bytes (ISO 32000-1, annex H.3.4.1)
		return readSheets(f)
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return back.Read(file)
	case bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n"), []byte("{")):
		return fieldpage.ReadExport(f)
	}
	return returned.Source{}, errors.New("not a filled PDF sheet, a takeoff workbook (.xlsx) or an export of the field page (.json)")
}
