package xlsx

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"errors"
	"hash/crc32"
	"io"
	"io/fs"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sortedZip collects the parts of a workbook, packed as they come, and writes
// them in a fixed order without dates: the library itself writes the streamed
// ones in the order of a map.
type sortedZip struct {
	to    io.Writer
	parts []*zipPart
	pack  *flate.Writer // serves one part after the other
}

// zipPart is one part: the bytes as they will stand in the file.
type zipPart struct {
	bytes.Buffer
	head zip.FileHeader
	open bool // being packed
}

// packer writes into the part that is open.
type packer struct {
	z *sortedZip
	p *zipPart
}

func newSortedZip(w io.Writer) excelize.ZipWriter { return &sortedZip{to: w} }

// Create implements excelize.ZipWriter. As in archive/zip, the part before is
// complete when the next one begins.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	if err := z.finish(); err != nil {
		return nil, err
	}
	p := &zipPart{head: zip.FileHeader{Name: name, Method: zip.Deflate}, open: true}
	z.parts = append(z.parts, p)
	if strings.HasSuffix(name, ".png") {
		p.head.Method = zip.Store // packed already
	}
	if z.pack == nil {
		var err error
		if z.pack, err = flate.NewWriter(p, packLevel); err != nil {
			return nil, err
		}
	}
	z.pack.Reset(p)
	return packer{z, p}, nil
}

const packLevel = 5 // as archive/zip packs

// Write implements io.Writer.
func (k packer) Write(b []byte) (int, error) {
	h := &k.p.head
	if !k.p.open {
		return 0, errors.New("workbook: a part was written to after the next one")
	}
	h.CRC32 = crc32.Update(h.CRC32, crc32.IEEETable, b)
	h.UncompressedSize64 += uint64(len(b))
	if h.Method == zip.Store || h.Name == firstPart {
		return k.p.Buffer.Write(b)
	}
	return k.z.pack.Write(b)
}

// finish closes the part that is being packed.
func (z *sortedZip) finish() error {
	if len(z.parts) == 0 || !z.parts[len(z.parts)-1].open {
		return nil
	}
	p := z.parts[len(z.parts)-1]
	p.open = false
	if p.head.Name == firstPart {
		data := sortDefaults(p.Bytes())
		p.Buffer = bytes.Buffer{}
		z.pack.Reset(p)
		p.head.CRC32 = crc32.ChecksumIEEE(data)
		if _, err := z.pack.Write(data); err != nil {
			return err
		}
	}
	if p.head.Method == zip.Store {
		return nil
	}
	return z.pack.Close()
}

// AddFS implements excelize.ZipWriter; nothing here writes a file system.
func (z *sortedZip) AddFS(fs.FS) error { return errors.New("workbook: AddFS is not used") }

// firstPart must open the file so that programs which look at the first bytes
// recognise its kind (common practice, no source).
const firstPart = "[Content_Types].xml"

// Close implements excelize.ZipWriter: it writes all parts.
func (z *sortedZip) Close() error {
	if err := z.finish(); err != nil {
		return err
	}
	slices.SortFunc(z.parts, func(a, b *zipPart) int {
		return cmp.Or(cmp.Compare(rank(a.head.Name), rank(b.head.Name)), cmp.Compare(a.head.Name, b.head.Name))
	})
	zw := zip.NewWriter(z.to)
	for _, p := range z.parts {
		p.head.CompressedSize64 = uint64(p.Len())
		w, err := zw.CreateRaw(&p.head)
		if err != nil {
			return err
		}
		if _, err := w.Write(p.Bytes()); err != nil {
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
