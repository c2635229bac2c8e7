package sheet

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// settings are how the library that reads forms back runs: no folder of its own
// in the user's home, nothing fetched.
func settings() *model.Configuration {
	api.DisableConfigDir()
	conf := model.NewDefaultConfiguration()
	conf.Optimize = false
	conf.OptimizeBeforeWriting = false
	conf.Offline = true
	return conf
}

// former builds the form of one document (ISO 32000-1, 12.7): as text, since a
// form of ten thousand devices has sixty thousand fields.
type former struct {
	*pdfFile
	font   int                // of what is typed
	tick   string             // what all fields to tick have in common
	blanks map[[2]float64]int // how an empty text field of a size looks
}

// textLook is how a viewer sets what is typed.
const textLook = "/Helv 9 Tf 0 g"

// layForm lays form fields over the pages of a document.
func (f *pdfFile) layForm(fields []field) error {
	pages, err := f.pages()
	if err != nil {
		return err
	}
	fm := former{pdfFile: f, blanks: map[[2]float64]int{}}
	fm.font = f.add([]byte("<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>"))
	marks := f.add([]byte("<</Type/Font/Subtype/Type1/BaseFont/ZapfDingbats>>")) // from it viewers take ticks
	fm.tick = fm.ticks()
	var all bytes.Buffer
	for len(fields) > 0 {
		n := fields[0].page
		last := slices.IndexFunc(fields, func(fd field) bool { return fd.page != n })
		if last < 0 {
			last = len(fields)
		}
		if n < 1 || n > len(pages) {
			return fmt.Errorf("a field on page %d of %d", n, len(pages))
		}
		refs := fm.onPage(pages[n-1], fields[:last])
		all.Write(refs)
		f.object(pages[n-1]).insert(fmt.Appendf(nil, "/Annots[%s]", refs))
		fields = fields[last:]
	}
	form := f.add(fmt.Appendf(nil, "<</Fields[%s]/DA(%s)/DR<</Font<</Helv %d 0 R/ZaDb %d 0 R>>>>>>", all.Bytes(), textLook, fm.font, marks))
	f.object(f.root).insert(fmt.Appendf(nil, "/AcroForm %d 0 R", form))
	return nil
}

var kidsPlace = regexp.MustCompile(`/Kids \[([^\]]*)\]`)

// pages are the objects of the pages in their order.
func (f *pdfFile) pages() ([]int, error) {
	root, err := reference(f.object(f.root).body, "/Pages")
	if err != nil {
		return nil, err
	}
	m := kidsPlace.FindSubmatch(f.object(root).body)
	if m == nil {
		return nil, fmt.Errorf("a PDF without pages")
	}
	var pages []int
	for _, w := range bytes.Split(bytes.TrimSpace(m[1]), []byte(" 0 R")) {
		if n, err := strconv.Atoi(string(bytes.TrimSpace(w))); err == nil {
			pages = append(pages, n)
		}
	}
	return pages, nil
}

// onPage makes the fields of a page and returns references to them.
func (fm *former) onPage(page int, fields []field) []byte {
	var refs []byte
	for _, fd := range fields {
		refs = fmt.Appendf(refs, "%d 0 R ", fm.add(fm.widget(fd, page)))
	}
	return refs
}

// ticks makes how a box to tick looks, ticked and not, and returns the entries
// that all such fields have in common.
func (fm *former) ticks() string {
	// A tick in three strokes of a pen: no font needs to have it.
	ticked := fm.look("q 1.8 w 1 J 2.2 5.6 m 4.6 2.6 l 9.2 9.4 l S Q", tickSize, tickSize)
	empty := fm.look("", tickSize, tickSize)
	looks := fm.add(fmt.Appendf(nil, "<</N<</Yes %d 0 R/Off %d 0 R>>>>", ticked, empty))
	// For viewers that draw the tick themselves: the tick of ZapfDingbats is its letter 4.
	return fmt.Sprintf("/FT/Btn/V/Off/AS/Off/DA(/ZaDb 0 Tf 0 g)/MK<</CA(4)>>/AP %d 0 R", looks)
}

// blank returns the entries that all text fields of a size have in common.
func (fm *former) blank(w, h float64) string {
	key := [2]float64{w, h}
	looks, ok := fm.blanks[key]
	if !ok {
		looks = fm.add(fmt.Appendf(nil, "<</N %d 0 R>>", fm.look("", w, h)))
		fm.blanks[key] = looks
	}
	return fmt.Sprintf("/FT/Tx/DA(%s)/AP %d 0 R", textLook, looks)
}

// look makes an appearance of the given size.
func (fm *former) look(content string, w, h float64) int {
	return fm.add(fmt.Appendf(nil, "<</Type/XObject/Subtype/Form/BBox[0 0 %g %g]/Resources<</Font<</Helv %d 0 R>>>>/Length %d>>\nstream\n%s\nendstream",
		w, h, fm.font, len(content), content))
}

// widget is one field and its place in one dictionary. It prints (flag 4).
func (fm *former) widget(fd field, page int) []byte {
	kind := fm.tick
	if !fd.tick {
		kind = fm.blank(fd.at.w, fd.at.h)
	}
	return fmt.Appendf(nil, "<</Type/Annot/Subtype/Widget/F 4/P %d 0 R/Rect[%.2f %.2f %.2f %.2f]/T%s/TU%s%s>>", page,
		fd.at.x, fd.at.y, fd.at.x+fd.at.w, fd.at.y+fd.at.h, textString(fd.name), textString(fd.tip), kind)
}

// textString writes a text as a PDF has it (ISO 32000-1, 7.9.2.2): in letters
// where it is of ASCII alone, otherwise in UTF-16 with a mark before it.
func textString(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) {
		return "(" + escapeString.Replace(s) + ")"
	}
	out := []byte("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		out = fmt.Appendf(out, "%04X", u)
	}
	return string(append(out, '>'))
}

var escapeString = strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`)
