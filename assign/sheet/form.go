package sheet

import (
	"bytes"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// settings are how the form library runs: no folder of its own in the user's
// home, and plain objects, so that dates and ids can be found in what it writes.
func settings() *model.Configuration {
	api.DisableConfigDir()
	conf := model.NewDefaultConfiguration()
	conf.WriteObjectStream = false
	conf.WriteXRefStream = false
	conf.Optimize = false
	conf.OptimizeBeforeWriting = false
	conf.Offline = true
	return conf
}

// withForm lays form fields over the pages of a document.
func withForm(pdf []byte, fields []field) ([]byte, error) {
	if len(fields) == 0 {
		return pdf, nil
	}
	conf := settings()
	ctx, err := api.ReadAndValidate(bytes.NewReader(pdf), conf)
	if err != nil {
		return nil, fmt.Errorf("form fields: %w", err)
	}
	f := former{ctx: ctx, blanks: map[[2]float64]types.IndirectRef{}}
	if err := f.add(fields); err != nil {
		return nil, fmt.Errorf("form fields: %w", err)
	}
	var out bytes.Buffer
	if err := api.WriteContext(ctx, &out); err != nil {
		return nil, fmt.Errorf("form fields: %w", err)
	}
	same, err := ordered(out.Bytes())
	if err != nil {
		return nil, fmt.Errorf("form fields: %w", err)
	}
	return same, nil
}

// former builds the form of one document (ISO 32000, 12.7).
type former struct {
	ctx    *model.Context
	font   types.IndirectRef
	marks  types.IndirectRef // the font from which viewers take ticks
	ticked types.IndirectRef
	empty  types.IndirectRef
	blanks map[[2]float64]types.IndirectRef // appearance of an empty text field by its size
}

func (f *former) add(fields []field) error {
	if err := f.shared(); err != nil {
		return err
	}
	byPage := map[int][]field{}
	for _, fd := range fields {
		byPage[fd.page] = append(byPage[fd.page], fd)
	}
	all := types.Array{}
	for n := 1; n <= f.ctx.PageCount; n++ {
		refs, err := f.onPage(n, byPage[n])
		if err != nil {
			return err
		}
		all = append(all, refs...)
	}
	root, err := f.ctx.Catalog()
	if err != nil {
		return err
	}
	root["AcroForm"] = types.Dict{
		"Fields": all,
		"DA":     types.StringLiteral(textLook),
		"DR":     types.Dict{"Font": types.Dict{"Helv": f.font, "ZaDb": f.marks}},
	}
	return nil
}

// textLook is how a viewer sets what is typed.
const textLook = "/Helv 9 Tf 0 g"

// shared makes the objects that all fields use.
func (f *former) shared() error {
	font, err := f.ctx.IndRefForNewObject(types.Dict{"Type": types.Name("Font"), "Subtype": types.Name("Type1"),
		"BaseFont": types.Name("Helvetica"), "Encoding": types.Name("WinAnsiEncoding")})
	if err != nil {
		return err
	}
	f.font = *font
	marks, err := f.ctx.IndRefForNewObject(types.Dict{"Type": types.Name("Font"), "Subtype": types.Name("Type1"), "BaseFont": types.Name("ZapfDingbats")})
	if err != nil {
		return err
	}
	f.marks = *marks
	// A tick in three strokes of a pen: no font needs to have it.
	look := fmt.Sprintf("q 1.8 w 1 J %g %g m %g %g l %g %g l S Q", 2.2, 5.6, 4.6, 2.6, 9.2, 9.4)
	if f.ticked, err = f.look(look, tickSize, tickSize); err != nil {
		return err
	}
	f.empty, err = f.look("", tickSize, tickSize)
	return err
}

// look makes an appearance of the given size.
func (f *former) look(content string, w, h float64) (types.IndirectRef, error) {
	sd, err := f.ctx.NewStreamDictForBuf([]byte(content))
	if err != nil {
		return types.IndirectRef{}, err
	}
	sd.InsertName("Type", "XObject")
	sd.InsertName("Subtype", "Form")
	sd.Insert("BBox", types.NewNumberArray(0, 0, w, h))
	sd.Insert("Resources", types.Dict{"Font": types.Dict{"Helv": f.font}})
	if err := sd.Encode(); err != nil {
		return types.IndirectRef{}, err
	}
	ref, err := f.ctx.IndRefForNewObject(*sd)
	if err != nil {
		return types.IndirectRef{}, err
	}
	return *ref, nil
}

// onPage makes the fields of page n, from 1, and hangs them on it.
func (f *former) onPage(n int, fields []field) (types.Array, error) {
	if len(fields) == 0 {
		return nil, nil
	}
	page, pageRef, attrs, err := f.ctx.PageDict(n, false)
	if err != nil {
		return nil, err
	}
	height := attrs.MediaBox.Height()
	var refs types.Array
	for _, fd := range fields {
		d, err := f.widget(fd, height, *pageRef)
		if err != nil {
			return nil, err
		}
		ref, err := f.ctx.IndRefForNewObject(d)
		if err != nil {
			return nil, err
		}
		refs = append(refs, *ref)
	}
	annots, err := f.ctx.DereferenceArray(page["Annots"])
	if err != nil {
		return nil, err
	}
	page["Annots"] = append(annots, refs...)
	return refs, nil
}

// widget is one field and its place in one dictionary.
func (f *former) widget(fd field, height float64, page types.IndirectRef) (types.Dict, error) {
	name, err := types.EscapedUTF16String(fd.name)
	if err != nil {
		return nil, err
	}
	tip, err := types.EscapedUTF16String(fd.tip)
	if err != nil {
		return nil, err
	}
	b := fd.at
	d := types.Dict{
		"Type": types.Name("Annot"), "Subtype": types.Name("Widget"),
		"T": types.StringLiteral(*name), "TU": types.StringLiteral(*tip),
		"Rect": types.NewNumberArray(b.x, height-b.y-b.h, b.x+b.w, height-b.y),
		"F":    types.Integer(4), // it prints
		"P":    page,
	}
	if fd.tick {
		d["FT"] = types.Name("Btn")
		// For viewers that draw the tick themselves: the tick of ZapfDingbats is its letter 4.
		d["DA"] = types.StringLiteral("/ZaDb 0 Tf 0 g")
		d["MK"] = types.Dict{"CA": types.StringLiteral("4")}
		d["V"], d["AS"] = types.Name("Off"), types.Name("Off")
		d["AP"] = types.Dict{"N": types.Dict{"Yes": f.ticked, "Off": f.empty}}
		return d, nil
	}
	d["FT"] = types.Name("Tx")
	d["DA"] = types.StringLiteral(textLook)
	key := [2]float64{b.w, b.h}
	ref, ok := f.blanks[key]
	if !ok {
		if ref, err = f.look("", b.w, b.h); err != nil {
			return nil, err
		}
		f.blanks[key] = ref
	}
	d["AP"] = types.Dict{"N": ref}
	return d, nil
}
