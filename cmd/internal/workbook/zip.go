package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sortedZip collects the parts of a workbook and writes them in a fixed order
// without dates: the library itself writes the streamed ones in the order of a map.
type sortedZip struct {
	to    io.Writer
	parts []*zipPart
}

type zipPart struct {
	name string
	bytes.Buffer
}

func newSortedZip(w io.Writer) excelize.ZipWriter { return &sortedZip{to: w} }

// Create implements excelize.ZipWriter.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	p := &zipPart{name: name}
	z.parts = append(z.parts, p)
	return p, nil
}

// AddFS implements excelize.ZipWriter; nothing here writes a file system.
func (z *sortedZip) AddFS(fs.FS) error { return errors.New("workbook: AddFS is not used") }

// firstPart must open the file so that programs which look at the first bytes
// recognise its kind (common practice, no source).
const firstPart = "[Content_Types].xml"

// Close implements excelize.ZipWriter: it writes all parts.
func (z *sortedZip) Close() error {
	slices.SortFunc(z.parts, func(a, b *zipPart) int {
		return cmp.Or(cmp.Compare(rank(a.name), rank(b.name)), cmp.Compare(a.name, b.name))
	})
	zw := zip.NewWriter(z.to)
	for _, p := range z.parts {
		method := zip.Deflate
		if bytes.HasPrefix(p.Bytes(), []byte("\x89PNG")) {
			method = zip.Store
		}
		w, err := zw.CreateHeader(&zip.FileHeader{Name: p.name, Method: method})
		if err != nil {
			return err
		}
		data := p.Bytes()
		if p.name == firstPart {
			data = sortDefaults(data)
		}
		if _, err := w.Write(data); err != nil {
			return err
		}
	}
	return zw.Close()
}

// defaults are the content types by extension, which the library writes in the
// order of a map. Their order has no meaning.
var defaults = regexp.MustCompile(`(<Default [^>]*></Default>)+`)

func sortDefaults(part []byte) []byte {
	return defaults.ReplaceAllFunc(part, func(run []byte) []byte {
		const end = "</Default>"
		entries := strings.SplitAfter(string(run), end)
		slices.Sort(entries)
		return []byte(strings.Join(entries, ""))
	})
}

func rank(name string) int {
	if name == firstPart {
		return 0
	}
	return 1
}
