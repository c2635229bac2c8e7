package sheet

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"regexp"
	"slices"
	"time"
)

// assemble makes the file that is handed out of what the drawing library wrote:
// it lays the form over the pages, packs everything (pages are drawn unpacked:
// the library makes a new packer of a megabyte for each) and takes out the clock.
func assemble(raw []byte, fields []field, date time.Time) ([]byte, error) {
	f, err := takeApart(raw)
	if err != nil {
		return nil, err
	}
	if len(fields) > 0 {
		if err := f.layForm(fields); err != nil {
			return nil, err
		}
	}
	info := f.object(f.info)
	info.body = timeless(info.body, date)
	return f.pack()
}

// datePlace is where the library writes the clock.
var datePlace = regexp.MustCompile(`/(CreationDate|ModDate) ?\(D:[^)]*\)`)

// timeless writes the job's date over the clock's, or takes it out where the job has none.
func timeless(info []byte, date time.Time) []byte {
	if date.IsZero() {
		return datePlace.ReplaceAll(info, nil)
	}
	return datePlace.ReplaceAll(info, []byte("/$1 (D:"+date.Format("20060102")+")"))
}

// perStream is how many objects share a stream: more would make a reader that
// wants one of them unpack too many.
const perStream = 200

// packer writes a PDF with its objects in packed streams (ISO 32000-1, 7.5.7
// and 7.5.8), which makes a form of ten thousand devices a tenth as large.
type packer struct {
	out    bytes.Buffer
	zip    *zlib.Writer
	packed bytes.Buffer
	places []place // by number of object, from 0
}

// place is where an object lies, as a cross-reference stream has it.
type place struct {
	kind   byte // 1 on its own, 2 within a stream
	at     int  // offset, or number of the stream
	within int  // of the stream
}

// pack writes the file.
func (f *pdfFile) pack() ([]byte, error) {
	k := packer{places: make([]place, len(f.objects)+1)}
	k.zip, _ = zlib.NewWriterLevel(&k.packed, zlib.BestSpeed) // the level is one that there is
	k.out.WriteString("%PDF-1.7\n%\xb5\xb6\xb5\xb6\n")
	var shared []pdfObject
	for _, o := range f.objects {
		dict, content, isStream, err := o.stream()
		switch {
		case err != nil:
			return nil, err
		case !isStream && o.number != f.root && o.number != f.info:
			shared = append(shared, o)
			continue
		case isStream && !bytes.Contains(dict, []byte("/Filter")):
			o.body = k.stream(string(bytes.TrimPrefix(dict, []byte("<<"))), content)
		}
		k.plain(o.number, o.body)
	}
	for len(shared) > 0 {
		n := min(perStream, len(shared))
		k.share(shared[:n])
		shared = shared[n:]
	}
	k.finish(f.root, f.info)
	return k.out.Bytes(), nil
}

// stream takes an object that is a stream apart: its dictionary without the
// length and the last brackets, and its content as it stands.
func (o pdfObject) stream() (dict, content []byte, ok bool, err error) {
	dict, rest, ok := bytes.Cut(o.body, []byte(">>\nstream\n"))
	if !ok {
		return nil, nil, false, nil
	}
	content, ok = bytes.CutSuffix(rest, []byte("\nendstream"))
	m := lengthPlace.FindSubmatchIndex(dict)
	if !ok || m == nil || string(dict[m[2]:m[3]]) != fmt.Sprint(len(content)) {
		return nil, nil, false, fmt.Errorf("object %d is a stream of another length than it says", o.number)
	}
	return slices.Concat(dict[:m[0]], dict[m[1]:]), content, true, nil
}

var lengthPlace = regexp.MustCompile(`/Length (\d+)`)

// stream makes a packed stream of a content; entries are those of its dictionary
// besides filter and length.
func (k *packer) stream(entries string, content ...[]byte) []byte {
	k.packed.Reset()
	k.zip.Reset(&k.packed)
	for _, c := range content {
		_, _ = k.zip.Write(c) // into memory: it cannot fail
	}
	k.zip.Close()
	return fmt.Appendf(nil, "<<%s/Filter/FlateDecode/Length %d>>stream\n%s\nendstream", entries, k.packed.Len(), k.packed.Bytes())
}

// plain writes an object on its own.
func (k *packer) plain(number int, body []byte) {
	k.places[number] = place{kind: 1, at: k.out.Len()}
	fmt.Fprintf(&k.out, "%d 0 obj\n%s\nendobj\n", number, body)
}

// share writes objects into one stream.
func (k *packer) share(objects []pdfObject) {
	number := len(k.places)
	k.places = append(k.places, place{})
	var head, bodies bytes.Buffer
	for i, o := range objects {
		k.places[o.number] = place{kind: 2, at: number, within: i}
		fmt.Fprintf(&head, "%d %d ", o.number, bodies.Len())
		bodies.Write(o.body)
		bodies.WriteByte('\n')
	}
	k.plain(number, k.stream(fmt.Sprintf("/Type/ObjStm/N %d/First %d", len(objects), head.Len()), head.Bytes(), bodies.Bytes()))
}

// finish writes the cross-reference stream. The file's identity is made of its content.
func (k *packer) finish(root, info int) {
	number, start := len(k.places), k.out.Len()
	k.places = append(k.places, place{kind: 1, at: start})
	table := []byte{0, 0, 0, 0, 0, 0xFF, 0xFF}
	for _, p := range k.places[1:] {
		table = append(table, p.kind, byte(p.at>>24), byte(p.at>>16), byte(p.at>>8), byte(p.at), byte(p.within>>8), byte(p.within))
	}
	sum := sha256.Sum256(k.out.Bytes())
	entries := fmt.Sprintf("/Type/XRef/Size %d/W[1 4 2]/Root %d 0 R/Info %d 0 R/ID[<%[4]x><%[4]x>]", len(k.places), root, info, sum[:16])
	fmt.Fprintf(&k.out, "%d 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF\n", number, k.stream(entries, table), start)
}
