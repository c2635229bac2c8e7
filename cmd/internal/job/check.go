package job

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"loopwright/takeoff"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

func checkPlan(d *decoder, path string, p *takeoff.Plan) {
	switch {
	case p.Drawing == "" && p.Devices == "":
		d.complain(path, "the plan names no file: add drawing: FILE.dxf or devices: FILE.csv")
	case p.Drawing != "" && p.Devices != "":
		d.complain(path+".devices", "a plan is either a drawing or a CSV of devices: delete drawing or devices, or make two rows of it")
	case p.Devices != "" && p.Units == "":
		d.complain(path, "a CSV of devices needs units: add units: in, ft, mm or m")
	}
	if strings.EqualFold(filepath.Ext(p.Drawing), ".dwg") {
		d.complain(path+".drawing", "%s is a DWG, which cannot be read: save it as DXF and name that file", p.Drawing)
	}
}

func checkPanel(d *decoder, path string, p *Panel) { placed(d, path, "panel", p.Match, p.At) }

func checkRiser(d *decoder, path string, r *Riser) { placed(d, path, "riser", r.Match, r.At) }

func placed(d *decoder, path, what string, ms []words.Match, at *Place) {
	switch {
	case len(ms) == 0 && at == nil:
		d.complain(path, "the %s has no place: add match: [{block: NAME}] for its symbol, or at: {level: Level 1, point: [x, y]}", what)
	case len(ms) > 0 && at != nil:
		d.complain(path+".at", "the %s is placed twice: delete match or at", what)
	}
}

func checkPlace(d *decoder, path string, p *Place) {
	if p.Level == "" && strings.HasPrefix(path, "panels") {
		d.complain(path, "a panel needs a level: write at: {level: Level 1, point: [300, 200]}")
	}
}

func checkType(d *decoder, path string, t *Type) {
	if t.Addresses > 0 && d.found(path+".wired_to") && !t.On(takeoff.SLC) {
		d.complain(path+".wired_to", "type %s takes an address but is not wired to slc: add slc, or set addresses: 0", t.Type)
	}
	if d.found(path + ".addresses") {
		d.needsAddress(path, t)
	}
}

// readAuto reads the key circuits inside a row, whose one value is auto.
func readAuto(d *decoder, n ast.Node, path string, c *Circuit) {
	if _, ok := word("auto")(d, n, path); ok {
		c.Auto = true
	}
}

func readReserved(d *decoder, n ast.Node, path string, a *Addressing) {
	ranges, ok := list(reserved)(d, n, path)
	if !ok {
		return
	}
	for i, r := range ranges {
		if r[1]-r[0] > 1000000 {
			d.complain(fmt.Sprintf("%s[%d]", path, i), "this reserves more addresses than any circuit has: shorten the range")
			return
		}
		for v := r[0]; v <= r[1]; v++ {
			a.Reserved = append(a.Reserved, v)
		}
	}
	slices.Sort(a.Reserved)
	a.Reserved = slices.Compact(a.Reserved)
}

func readFirstSwitch(d *decoder, n ast.Node, path string, a *Addressing) {
	if w, ok := word("lowest", "highest")(d, n, path); ok {
		a.Scheme.HighestFirst = w == "highest"
	}
}

func readOnMeans(d *decoder, n ast.Node, path string, a *Addressing) {
	if v, ok := whole(0, 1)(d, n, path); ok {
		a.Scheme.OnMeansZero = v == 0
	}
}

// labelWords and layerWords are the placeholders that a pattern may have.
var (
	labelWords = []string{"circuit", "address", "point", "order", "nth", "id", "type", "level", "room", "panel"}
	layerWords = []string{"kind", "circuit", "level"}

	placeholder = regexp.MustCompile(`\{([^{}]*)\}`)
	padded      = regexp.MustCompile(`^(address|order|nth):[1-9]$`)
)

// pattern reads a text with placeholders in braces.
func pattern(words []string) parse[string] {
	return func(d *decoder, n ast.Node, path string) (string, bool) {
		if _, isMap := entries(n); isMap {
			d.complain(path, `a text that starts with { needs quotes, as in "{circuit}"`)
			return "", false
		}
		s, ok := text(d, n, path)
		if !ok {
			return "", false
		}
		for _, m := range placeholder.FindAllStringSubmatch(s, -1) {
			name, width, wide := strings.Cut(m[1], ":")
			switch {
			case !slices.Contains(words, name):
				d.complain(path, "unknown placeholder {%s}: %s", m[1], choose(name, words))
			case wide && !padded.MatchString(m[1]):
				d.complain(path, "{%s}: %q is not a width; address, order and nth take a number of digits, as in {address:3}", m[1], width)
			default:
				continue
			}
			return "", false
		}
		if strings.ContainsAny(placeholder.ReplaceAllString(s, ""), "{}") {
			d.complain(path, "%q has an unmatched brace", s)
			return "", false
		}
		return s, true
	}
}

func checkLabel(d *decoder, path string, l *Label) {
	for _, bad := range `<>/\":;?*|=` + "`" {
		if strings.ContainsRune(l.Layers, bad) {
			d.complain(path+".layers", "a layer name cannot contain %q", string(bad))
			return
		}
	}
}

// checkStickers sees that the grid fits its page: US letter is 8.5 in x 11 in,
// A4 is 210 mm x 297 mm (ISO 216).
func checkStickers(d *decoder, path string, s *Stickers) {
	w, h, units := 8.5*measure.Inch, 11*measure.Inch, measure.Imperial
	if s.Page == "A4" {
		w, h, units = 0.210, 0.297, measure.Metric
	}
	const play = 0.0005 // metres: pages and stickers are cut no better
	right := s.Margins.X + float64(s.Columns-1)*s.Pitch.X + s.Size.X
	below := s.Margins.Y + float64(s.Rows-1)*s.Pitch.Y + s.Size.Y
	switch {
	case s.Size.X <= 0 || s.Size.Y <= 0:
		d.complain(path+".size", "the sticker has no size: give both dimensions")
	case s.Columns > 1 && s.Pitch.X < s.Size.X-play || s.Rows > 1 && s.Pitch.Y < s.Size.Y-play:
		d.complain(path+".pitch", "the pitch is less than the size: stickers would overlap")
	case right > w+play:
		d.complain(path+".columns", "%d columns reach %s, but %s is %s wide", s.Columns, units.Small(right), s.Page, units.Small(w))
	case below > h+play:
		d.complain(path+".rows", "%d rows reach %s, but %s is %s high", s.Rows, units.Small(below), s.Page, units.Small(h))
	}
}

// Resolve returns the path of a file that the job names, as seen from here.
func (j *Job) Resolve(file string) string {
	if filepath.IsAbs(file) {
		return file
	}
	return filepath.Join(filepath.Dir(j.File), filepath.FromSlash(file))
}

// checkFiles sees that every file named exists.
func (j *Job) checkFiles() Errors {
	var es Errors
	look := func(path, file string) {
		if file == "" {
			return
		}
		full := j.Resolve(file)
		info, err := os.Stat(full)
		switch {
		case err != nil && os.IsNotExist(err):
			es = append(es, j.Complain(path, "there is no file %s: paths are relative to the job file%s", file, beside(full)))
		case err != nil:
			es = append(es, j.Complain(path, "%s cannot be read: %v", file, err))
		case info.IsDir():
			es = append(es, j.Complain(path, "%s is a folder: name a file", file))
		}
	}
	for i, p := range j.Plans {
		look(fmt.Sprintf("plans[%d].drawing", i), p.Drawing)
		look(fmt.Sprintf("plans[%d].devices", i), p.Devices)
	}
	look("font", j.Font)
	return es.sorted()
}

// beside names the file in the same folder whose name is closest.
func beside(full string) string {
	list, err := os.ReadDir(filepath.Dir(full))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range list {
		names = append(names, e.Name())
	}
	if w := nearest(filepath.Base(full), names); w != "" {
		return "; did you mean " + w + "?"
	}
	return ""
}
