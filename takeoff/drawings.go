package takeoff

import (
	"loopwright/takeoff/legend"
	"loopwright/takeoff/parallel"
	"path/filepath"
	"slices"
)

// scenes are the drawings of a job.
type scenes struct {
	folder string
	byName map[string]*legend.Page
}

// openScenes reads all drawings of the plans, several at a time.
func openScenes(folder string, plans []Plan, types []DeviceType) (*scenes, error) {
	ss := &scenes{folder: folder, byName: map[string]*legend.Page{}}
	var names []string
	for _, p := range plans {
		if p.Drawing != "" && !slices.Contains(names, p.Drawing) {
			names = append(names, p.Drawing)
		}
	}
	for _, ty := range types { // drawings of samples, such as a sheet of symbols
		for _, m := range ty.Match {
			if m.Sample != nil && m.Drawing != "" && !slices.Contains(names, m.Drawing) {
				names = append(names, m.Drawing)
			}
		}
	}
	read := make([]*legend.Page, len(names))
	errs := make([]error, len(names))
	parallel.For(len(names), func(i int) { read[i], errs[i] = legend.Open(ss.path(names[i])) })
	for i, n := range names {
		if read[i] != nil {
			ss.byName[n] = read[i]
		}
	}
	for _, err := range errs { // the first in the job's order, whichever came first in time
		if err != nil {
			ss.close()
			return nil, err
		}
	}
	return ss, nil
}

func (ss *scenes) close() {
	for _, s := range ss.byName {
		s.Drawing.Close()
	}
}

// path makes a plan's path relative to the job's folder usable.
func (ss *scenes) path(name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(ss.folder, name)
}
