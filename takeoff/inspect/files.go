package inspect

import (
	"path/filepath"
	"slices"

	"loopwright/takeoff/legend"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/recognize"
	"loopwright/takeoff/words"
)

// Files reads drawings and says what each shows, and what is recognised on all of
// them together: a legend on one explains the symbols of the others.
func Files(paths []string) ([]*Contents, *recognize.Result, error) {
	scenes := make([]*legend.Page, len(paths))
	errs := make([]error, len(paths))
	defer func() {
		for _, s := range scenes {
			if s != nil {
				s.Drawing.Close()
			}
		}
	}()
	out := make([]*Contents, len(paths))
	pages := make([]*recognize.Page, len(paths))
	parallel.For(len(paths), func(i int) {
		if scenes[i], errs[i] = legend.Open(paths[i]); errs[i] != nil {
			return
		}
		out[i] = contents(scenes[i])
		out[i].File = paths[i]
		p := scenes[i].Page
		pages[i] = recognize.NewPage(i, filepath.Base(paths[i]), p.Drawing, p.Inserts, p.Texts, slices.Concat(p.Shapes, p.PaperShapes()))
	})
	for _, err := range errs {
		if err != nil {
			return nil, nil, err
		}
	}
	return out, recognize.Look(pages, words.Usual()), nil
}
