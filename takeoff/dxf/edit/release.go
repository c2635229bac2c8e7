package edit

import "fmt"

// release orders the generations of the format by what a record must carry.
// Everything up to R12 shares one layout: no owners, no subclass markers.
type release int

const (
	relR12 release = iota // and everything older
	relR13
	relR14
	relR2000
	relR2004
	relR2007
	relR2010
	relR2013
	relR2018
)

// releases are the values of $ACADVER that an edit knows the layout for
// (DXF reference, HEADER section, $ACADVER).
var releases = map[string]release{
	"AC1002": relR12, "AC1003": relR12, "AC1004": relR12, "AC1006": relR12, "AC1009": relR12,
	"AC1012": relR13, "AC1014": relR14, "AC1015": relR2000, "AC1018": relR2004,
	"AC1021": relR2007, "AC1024": relR2010, "AC1027": relR2013, "AC1032": relR2018,
}

// releaseOf says which layout a drawing wants. A drawing without $ACADVER
// counts as R12 unless it carries subclass markers, which R12 does not have.
func releaseOf(version string, markers bool) (release, error) {
	if version == "" {
		if markers {
			return 0, fmt.Errorf("the drawing has subclass markers but no $ACADVER, so the layout of its records is unknown; save it again in a CAD program")
		}
		return relR12, nil
	}
	r, ok := releases[version]
	if !ok {
		return 0, fmt.Errorf("drawing version %q cannot be edited; save the drawing as DXF R12 to 2018", version)
	}
	return r, nil
}

// utf8 reports whether strings are stored as UTF-8 (from R2007) rather than
// in the drawing's code page.
func (r release) utf8() bool { return r >= relR2007 }

// owned reports whether records carry handles, owners and subclass markers.
func (r release) owned() bool { return r >= relR13 }
