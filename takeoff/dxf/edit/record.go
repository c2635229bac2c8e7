package edit

import "loopwright/takeoff/dxf/tags"

// recordState is what is known of the record being read.
type recordState struct {
	typ         string
	start       int
	handle      tags.Handle
	owner       tags.Handle
	name        tags.Tag // group code 2, decoded when it is needed
	hasName     bool
	inGroup     bool // inside 102 {...}
	paper       bool
	app         string // application of the extended data being read
	layoutName  string
	layoutOwner tags.Handle
	look        layerLook
	trueName    bool
	trueApp     bool
	value       tags.Tag // group code 1
	hasValue    bool
	mark        *mark
}

// startMark begins a span of our extended data.
func (r *recordState) startMark(at int) {
	if r.mark == nil {
		r.mark = &mark{}
	}
	r.mark.xdata = append(r.mark.xdata, [2]int{at, at})
	r.mark.open = true
}

// closeMark ends our extended data where other data begin.
func (r *recordState) closeMark(at int) {
	if r.mark != nil && r.mark.open {
		r.mark.xdata[len(r.mark.xdata)-1][1] = at
		r.mark.open = false
	}
}

// lookOf notes what a new layer takes over from layer 0.
func (r *recordState) lookOf(src *tags.Source, t tags.Tag) {
	l := &r.look
	if t.Code != 6 && t.Code != 390 && t.Code != 347 && t.Code != 348 {
		return
	}
	raw := string(src.Raw(t))
	isHandle := cleanHandle(src, t)
	switch t.Code {
	case 6:
		l.linetype, l.hasLinetype = raw, true
	case 390:
		l.plot, l.hasPlot = raw, isHandle
	case 347:
		l.material, l.hasMaterial = raw, isHandle
	case 348:
		l.visual, l.hasVisual = raw, isHandle
	}
}

// cleanHandle reports whether a value is a handle and nothing but blanks
// around it, so that it can be copied elsewhere as it stands.
func cleanHandle(src *tags.Source, t tags.Tag) bool {
	w := src.Word(t)
	for i := range len(w) {
		if c := w[i]; (c < '0' || c > '9') && (c < 'A' || c > 'F') && (c < 'a' || c > 'f') {
			return false
		}
	}
	_, ok := src.Handle(t)
	return ok
}
