package sheet

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// Entry is what one sheet says about one device or branch end of a circuit.
// Texts are as typed, blanks at their ends taken off; "" where nothing was typed.
type Entry struct {
	Circuit string
	ID      string // of the device; of the branch end on a test sheet

	Set, Mounted, Tested bool

	Found    string // address found
	Serial   string
	Remark   string
	Ohm      string // metered
	Volt     string // metered
	Initials string
	Date     string
}

// ReadForm reads a switch sheet or test sheet back after it was filled in by
// whatever program. It returns an entry for every device on it, filled in or
// not, by circuit and id. Fields that are not of these sheets are left aside; a
// file without any field of ours is an error.
func ReadForm(r io.Reader) (entries []Entry, err error) {
	// What comes back from site went through programs of all kinds: a file that
	// makes the PDF library panic is a bad file, and no reason to stop.
	defer func() {
		if p := recover(); p != nil {
			entries, err = nil, fmt.Errorf("this PDF cannot be read: %v", p)
		}
	}()
	data, err := io.ReadAll(io.LimitReader(r, maxForm+1))
	switch {
	case err != nil:
		return nil, err
	case len(data) > maxForm:
		return nil, fmt.Errorf("this is not a sheet: it is over %d MB", maxForm>>20)
	}
	ctx, err := readLoose(data)
	if err != nil {
		return nil, fmt.Errorf("this PDF cannot be read: %w", err)
	}
	rd := reader{ctx: ctx, entries: map[[2]string]*Entry{}}
	if err := rd.form(); err != nil {
		return nil, fmt.Errorf("form of the sheet: %w", err)
	}
	if len(rd.entries) == 0 {
		return nil, fmt.Errorf("this PDF has no fields of a switch sheet or test sheet: printing or flattening it removes them; fill in a copy of the file itself")
	}
	out := make([]Entry, 0, len(rd.entries))
	for _, e := range rd.entries {
		out = append(out, *e)
	}
	slices.SortFunc(out, func(a, b Entry) int {
		return cmp.Or(cmp.Compare(a.Circuit, b.Circuit), cmp.Compare(a.ID, b.ID))
	})
	return out, nil
}

// reader walks the fields of a form.
type reader struct {
	ctx     *model.Context
	entries map[[2]string]*Entry
	spent   int
}

// spend counts a look at a field and the letters that it takes: fields may name
// one another, and share a long text, as often as they like.
func (rd *reader) spend(letters int) error {
	if rd.spent += 1 + letters/8; rd.spent > maxVisits {
		return errTooMuch
	}
	return nil
}

func (rd *reader) form() error {
	root, err := rd.ctx.Catalog()
	if err != nil {
		return err
	}
	form, err := rd.ctx.DereferenceDict(root["AcroForm"])
	if err != nil || form == nil {
		return err
	}
	fields, err := rd.ctx.DereferenceArray(form["Fields"])
	if err != nil {
		return err
	}
	for _, o := range fields {
		if err := rd.field(o, nil, 0); err != nil {
			return err
		}
	}
	return nil
}

// deepest is how many levels of fields below one another are followed.
const deepest = 16

// field takes up one field and those below it; upper are the names above.
func (rd *reader) field(o types.Object, upper []string, depth int) error {
	if err := rd.spend(0); err != nil {
		return err
	}
	d, err := rd.ctx.DereferenceDict(o)
	if err != nil || d == nil || depth > deepest {
		return err
	}
	t, err := rd.text(d["T"])
	switch {
	case err != nil:
		return err
	case len(t) > maxName:
		return nil // none of ours
	case t != "":
		upper = append(slices.Clone(upper), t)
	}
	if d["V"] != nil || d["Kids"] == nil {
		return rd.take(strings.Join(upper, "."), d)
	}
	kids, err := rd.ctx.DereferenceArray(d["Kids"])
	if err != nil {
		return err
	}
	for _, k := range kids {
		if err := rd.field(k, upper, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// take stores a field's value where its name says.
func (rd *reader) take(name string, d types.Dict) error {
	if err := rd.spend(len(name)); err != nil {
		return err
	}
	circuit, id, what, ok := parseFieldName(name)
	if !ok {
		return nil
	}
	key := [2]string{circuit, id}
	e := rd.entries[key]
	if e == nil {
		e = &Entry{Circuit: circuit, ID: id}
	}
	if !e.knows(what) {
		return nil
	}
	rd.entries[key] = e
	value := d["V"]
	if value == nil && e.ticks()[what] != nil {
		value = d["AS"] // some programs set only how the box looks
	}
	v, err := rd.text(value)
	if err != nil {
		return fmt.Errorf("field %s: %w", name, err)
	}
	e.store(what, v)
	return nil
}

// texts are the places of an entry's texts by field.
func (e *Entry) texts() map[string]*string {
	return map[string]*string{FieldFound: &e.Found, FieldSerial: &e.Serial, FieldRemark: &e.Remark,
		FieldOhm: &e.Ohm, FieldVolt: &e.Volt, FieldInitials: &e.Initials, FieldDate: &e.Date}
}

// ticks are the places of an entry's ticks by field.
func (e *Entry) ticks() map[string]*bool {
	return map[string]*bool{FieldSet: &e.Set, FieldMounted: &e.Mounted, FieldTested: &e.Tested}
}

func (e *Entry) knows(what string) bool {
	return e.texts()[what] != nil || e.ticks()[what] != nil
}

func (e *Entry) store(what, v string) {
	if t := e.texts()[what]; t != nil {
		*t = strings.TrimSpace(v)
	}
	if t := e.ticks()[what]; t != nil {
		*t = v != "" && v != "Off"
	}
}

// text reads a string, a name or nothing.
func (rd *reader) text(o types.Object) (string, error) {
	o, err := rd.ctx.Dereference(o)
	if err != nil || o == nil {
		return "", err
	}
	switch v := o.(type) {
	case types.Name:
		return v.Value(), nil
	case types.StringLiteral:
		if err := rd.spend(len(v)); err != nil {
			return "", err
		}
		b, err := types.Unescape(v.Value())
		if err != nil {
			return "", err
		}
		return decodeText(b)
	case types.HexLiteral:
		if err := rd.spend(len(v)); err != nil {
			return "", err
		}
		b, err := v.Bytes()
		if err != nil {
			return "", err
		}
		return decodeText(b)
	}
	return "", fmt.Errorf("a value of type %T", o)
}
