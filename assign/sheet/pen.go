package sheet

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"loopwright/takeoff"
)

// pen draws on one document, in points from the top left corner, and keeps
// account of letters that could not be drawn and texts that were cut.
type pen struct {
	*fpdf.Fpdf
	job      Job
	faces    []face
	glyphs   map[rune]glyph
	set      setting
	stamps   map[string]stamp
	missing  map[rune]string // the first text that asked for it
	unshaped string          // the first text in a script of joining letters
	cut      []string
	fields   []field
}

// newPen starts a document of the job.
func newPen(j Job, title string) (p *pen, err error) {
	defer j.Font.blame(&err)
	fs, data, err := faces(j.Font)
	if err != nil {
		return nil, err
	}
	paper := j.paper()
	p = &pen{Fpdf: fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: paper.w, Ht: paper.h}}),
		job: j, faces: fs, glyphs: map[rune]glyph{}, stamps: map[string]stamp{}, missing: map[rune]string{}}
	for _, f := range fs {
		p.AddUTF8FontFromBytes(f.family, "", data[f.family][0])
		if f.bold {
			p.AddUTF8FontFromBytes(f.family, "B", data[f.family][1])
		}
	}
	p.SetCompression(false) // see assemble
	p.SetCatalogSort(true)
	p.SetAutoPageBreak(false, 0)
	p.SetMargins(0, 0, 0)
	p.SetCellMargin(0)
	p.SetTitle(strings.TrimSpace(j.Name+" "+title), true)
	p.SetCreator(j.Program, true)
	p.SetProducer(j.Program, true)
	p.use(0, style{size: 10}) // bookmarks are coded as the font in use wants it
	return p, p.Error()
}

// style is how a text is set.
type style struct {
	size float64
	bold bool
	gray int // 0 black to 255 white
}

func (st style) at(size float64) style { st.size = size; return st }

// setting is how the page sets text at the moment: to say it again for every
// text would make pages twice as long.
type setting struct {
	known bool
	face  int
	style
}

// use sets what follows in a face.
func (p *pen) use(f int, st style) {
	now := setting{true, f, st}
	if p.set == now {
		return
	}
	cut := ""
	if st.bold && p.faces[f].bold {
		cut = "B"
	}
	p.SetFont(p.faces[f].family, cut, st.size)
	p.SetTextColor(st.gray, st.gray, st.gray)
	p.set = now
}

// forget makes the next text say how it is set: needed after what gives the page
// back the setting that it had before.
func (p *pen) forget() { p.set = setting{} }

// hollow is the width, in thousandths of the text's size, of the box drawn for a
// letter that no font has.
const hollow = 600

// width returns how wide a text comes out.
func (p *pen) width(s string, st style) float64 {
	return float64(p.thousandths(s, st.bold)) * st.size / 1000
}

// write sets a text with its baseline at y.
func (p *pen) write(x, y float64, s string, st style) {
	for _, r := range p.runs(s) {
		if r.face < 0 {
			x = p.boxes(x, y, r.text, s, st)
			continue
		}
		p.use(r.face, st)
		p.Text(x, y, r.text)
		x += p.width(r.text, st)
	}
	if p.unshaped == "" && strings.ContainsFunc(s, joins) {
		p.unshaped = s
	}
}

// boxes draws a hollow box for each letter that no font has, and remembers it.
func (p *pen) boxes(x, y float64, letters, whole string, st style) float64 {
	p.SetDrawColor(0, 0, 0)
	p.SetLineWidth(st.size / 16)
	for _, r := range letters {
		if _, ok := p.missing[r]; !ok {
			p.missing[r] = whole
		}
		p.Rect(x+0.08*st.size, y-0.7*st.size, (hollow/1000.0-0.16)*st.size, 0.7*st.size, "D")
		x += hollow / 1000.0 * st.size
	}
	return x
}

// right sets a text so that it ends at x.
func (p *pen) right(x, y float64, s string, st style) { p.write(x-p.width(s, st), y, s, st) }

// center sets a text around x.
func (p *pen) center(x, y float64, s string, st style) { p.write(x-p.width(s, st)/2, y, s, st) }

// smallest is the share of its size down to which a text is set smaller to fit.
const smallest = 0.75

// fit sets a text into a width: smaller if need be, and cut as the last resort.
func (p *pen) fit(x, y, w float64, s string, st style) {
	s, st = p.fitted(w, s, st)
	p.write(x, y, s, st)
}

func (p *pen) fitted(w float64, s string, st style) (string, style) {
	full := p.width(s, st)
	if full <= w {
		return s, st
	}
	if k := w / full; k >= smallest {
		return s, st.at(st.size * k)
	}
	st = st.at(st.size * smallest)
	p.cut = append(p.cut, s)
	end, used := len(s), p.width("…", st)
	for i, r := range s {
		if used += p.width(string(r), st); used > w {
			end = i
			break
		}
	}
	return strings.TrimRight(s[:end], " ") + "…", st
}

// wrap breaks a text at blanks into at most n lines of width w; what is left
// over stays on the last line.
func (p *pen) wrap(s string, w float64, n int, st style) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		next := strings.TrimSpace(line + " " + word)
		if line != "" && len(lines) < n-1 && p.width(next, st) > w {
			lines = append(lines, line)
			next = word
		}
		line = next
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// rule draws a straight line.
func (p *pen) rule(x1, y1, x2, y2, width float64, gray int) {
	p.SetDrawColor(gray, gray, gray)
	p.SetLineWidth(width)
	p.Line(x1, y1, x2, y2)
}

// document finishes the PDF.
func (p *pen) document() (doc Document, err error) {
	defer p.job.Font.blame(&err)
	var b bytes.Buffer
	pages := p.PageCount()
	if err := p.Output(&b); err != nil {
		return Document{}, err
	}
	data, err := assemble(b.Bytes(), p.fields, p.job.Date)
	if err != nil {
		return Document{}, err
	}
	return Document{PDF: data, Pages: pages, Findings: p.findings()}, nil
}

func (p *pen) findings() []takeoff.Finding {
	var fs []takeoff.Finding
	if letters := slices.Sorted(maps.Keys(p.missing)); len(letters) > 0 {
		fs = append(fs, takeoff.Finding{Code: codeNoGlyph, Severity: takeoff.Warning,
			Message: fmt.Sprintf("no font at hand has %s, as in %q: printed as boxes; name a TrueType font that has them (font: FILE.ttf)",
				listed(letters), p.missing[letters[0]])})
	}
	if p.unshaped != "" {
		fs = append(fs, takeoff.Finding{Code: codeUnshaped, Severity: takeoff.Warning,
			Message: fmt.Sprintf("%q is in a joined script: its letters are printed unjoined", p.unshaped)})
	}
	slices.Sort(p.cut)
	for _, s := range slices.Compact(p.cut) {
		fs = append(fs, takeoff.Finding{Code: codeShortened, Severity: takeoff.Note,
			Message: fmt.Sprintf("%q was shortened to fit its place on a sheet", s)})
	}
	return fs
}

// listed names letters with their code points, the first few of many.
func listed(letters []rune) string {
	const most = 12
	var parts []string
	for _, r := range letters[:min(most, len(letters))] {
		parts = append(parts, fmt.Sprintf("%c (%U)", r, r))
	}
	if n := len(letters) - most; n > 0 {
		parts = append(parts, fmt.Sprintf("and %d more letters", n))
	}
	return strings.Join(parts, " ")
}
