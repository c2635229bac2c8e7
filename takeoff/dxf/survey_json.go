package dxf

import (
	"bufio"
	"encoding/json"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"
)

// WriteSurveyJSON writes the surveys of drawings as one JSON document. Keys
// stand in a fixed order, those of maps are sorted, so the same drawings give the
// same bytes. Large drawings are written as they are formatted, not gathered. Where
// one of them cannot be listed nothing is written.
func WriteSurveyJSON(w io.Writer, ds []*Drawing, opt SurveyOptions) error {
	for _, d := range ds {
		if err := d.listable(opt.Options); err != nil {
			return err
		}
	}
	out := &jsonWriter{w: bufio.NewWriterSize(w, 1<<16)}
	out.raw(`{"drawings":[`)
	for k, d := range ds {
		if k > 0 {
			out.raw(",")
		}
		s, err := d.Survey(opt)
		if err != nil {
			return err
		}
		if opt.Each != nil {
			opt.Each(s)
		}
		out.raw("\n")
		out.survey(s, opt.Inserts)
		if out.err != nil {
			return out.err
		}
	}
	out.raw("]}\n")
	out.flush()
	if out.err != nil {
		return out.err
	}
	return out.w.Flush()
}

// jsonWriter formats into a buffer that is passed on whenever it has grown.
type jsonWriter struct {
	w   *bufio.Writer
	buf []byte
	err error
}

func (j *jsonWriter) flush() {
	if j.err == nil {
		_, j.err = j.w.Write(j.buf)
	}
	j.buf = j.buf[:0]
}

func (j *jsonWriter) raw(s string) { j.buf = append(j.buf, s...) }

func (j *jsonWriter) survey(s *Survey, inserts bool) {
	d := s.Drawing
	j.raw(`{"file":`)
	j.str(d.Name)
	j.raw(`,"version":`)
	j.str(d.Version)
	j.raw(`,"binary":`)
	j.buf = strconv.AppendBool(j.buf, d.Binary)
	j.raw(`,"codepage":`)
	j.str(d.CodePage)
	j.raw(`,"units":`)
	j.str(s.Units)
	j.raw(`,"units_from":`)
	j.str(s.UnitsFrom)
	j.raw(",\n\"blocks\":[")
	for k := range s.Blocks {
		j.next(k)
		j.block(&s.Blocks[k])
	}
	j.raw("]")
	if inserts {
		j.raw(",\n\"inserts\":[")
		for k := range s.Inserts {
			j.next(k)
			j.insert(&s.Inserts[k])
		}
		j.raw("]")
	}
	j.raw(",\n\"texts\":[")
	for k := range s.Texts {
		j.next(k)
		j.text(&s.Texts[k])
	}
	j.raw("],\n\"findings\":[")
	for k := range s.Findings {
		j.next(k)
		j.finding(d, &s.Findings[k])
	}
	j.raw("]}")
}

// next separates the elements of a list, one a line.
func (j *jsonWriter) next(k int) {
	if k > 0 {
		j.raw(",")
	}
	j.raw("\n")
	if len(j.buf) > 1<<15 {
		j.flush()
	}
}

func (j *jsonWriter) block(b *BlockSummary) {
	j.raw(`{"effective":`)
	j.str(b.Effective)
	j.raw(`,"inserts":`)
	j.buf = strconv.AppendInt(j.buf, int64(b.Inserts), 10)
	j.raw(`,"hidden":`)
	j.buf = strconv.AppendInt(j.buf, int64(b.Hidden), 10)
	j.raw(`,"layers":{`)
	for k, name := range slices.Sorted(maps.Keys(b.Layers)) {
		j.comma(k)
		j.str(name)
		j.raw(":")
		j.buf = strconv.AppendInt(j.buf, int64(b.Layers[name]), 10)
	}
	j.raw(`},"attribs":`)
	j.list(b.Attribs)
	j.raw(`,"legend":`)
	j.str(b.Legend)
	j.raw("}")
}

func (j *jsonWriter) insert(in *Insert) {
	j.raw(`{"block":`)
	j.str(in.Block)
	j.raw(`,"effective":`)
	j.str(in.Effective)
	j.raw(`,"layer":`)
	j.str(in.Layer)
	j.raw(`,"handle":`)
	j.str(in.Handle.String())
	j.raw(`,"path":`)
	j.list(in.Path)
	j.number(`,"x":`, in.Pos.X)
	j.number(`,"y":`, in.Pos.Y)
	j.number(`,"z":`, in.Pos.Z)
	j.number(`,"rotation":`, in.Rotation)
	j.number(`,"xscale":`, in.XScale)
	j.number(`,"yscale":`, in.YScale)
	j.raw(`,"attribs":{`)
	j.attribs(in.Attribs)
	j.raw(`},"visible":`)
	j.buf = strconv.AppendBool(j.buf, in.Visible)
	j.raw("}")
}

// attribs writes attributes by tag; the last of a tag counts.
func (j *jsonWriter) attribs(list []Attrib) {
	if len(list) == 0 {
		return
	}
	order := make([]int, len(list))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if list[a].Tag < list[b].Tag {
			return -1
		} else if list[a].Tag > list[b].Tag {
			return 1
		}
		return 0
	})
	written := 0
	for k, i := range order {
		if k+1 < len(order) && list[order[k+1]].Tag == list[i].Tag {
			continue
		}
		j.comma(written)
		written++
		j.str(list[i].Tag)
		j.raw(":")
		j.str(list[i].Value)
	}
}

func (j *jsonWriter) text(t *Text) {
	j.raw(`{"text":`)
	j.str(t.Text)
	j.raw(`,"layer":`)
	j.str(t.Layer)
	j.number(`,"x":`, t.Pos.X)
	j.number(`,"y":`, t.Pos.Y)
	j.number(`,"height":`, t.Height)
	j.raw("}")
}

func (j *jsonWriter) finding(d *Drawing, f *Finding) {
	j.raw(`{"code":`)
	j.str(f.Code)
	j.raw(`,"severity":`)
	j.str(f.Severity.String())
	j.raw(`,"message":`)
	j.str(f.Message)
	j.raw(`,"drawing":`)
	j.str(d.Name)
	j.raw(`,"handle":`)
	j.str(f.Handle)
	if f.Line > 0 {
		j.raw(`,"line":`)
		j.buf = strconv.AppendInt(j.buf, int64(f.Line), 10)
	}
	if f.HasPlace {
		j.number(`,"x":`, f.X)
		j.number(`,"y":`, f.Y)
	}
	j.raw("}")
}

func (j *jsonWriter) comma(k int) {
	if k > 0 {
		j.raw(",")
	}
}

func (j *jsonWriter) list(names []string) {
	j.raw("[")
	for k, s := range names {
		j.comma(k)
		j.str(s)
	}
	j.raw("]")
}

// number writes a number in the shortest form that reads back the same, as
// encoding/json does.
func (j *jsonWriter) number(label string, f float64) {
	j.raw(label)
	if math.IsNaN(f) || math.IsInf(f, 0) { // kept out on reading; JSON has no word for them
		f = 0
	}
	if a := math.Abs(f); a != 0 && (a < 1e-6 || a >= 1e21) {
		j.buf = strconv.AppendFloat(j.buf, f, 'e', -1, 64)
		return
	}
	j.buf = strconv.AppendFloat(j.buf, f, 'f', -1, 64)
}

// str writes a string; most need no escaping.
func (j *jsonWriter) str(s string) {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c == '"' || c == '\\' || c >= utf8.RuneSelf {
			j.escaped(s)
			return
		}
	}
	j.buf = append(j.buf, '"')
	j.buf = append(j.buf, s...)
	j.buf = append(j.buf, '"')
}

func (j *jsonWriter) escaped(s string) {
	raw, err := json.Marshal(s)
	if err != nil && j.err == nil {
		j.err = err
	}
	j.buf = append(j.buf, raw...)
}
