package takeoff

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/goccy/go-yaml"

	"loopwright/takeoff/geom"
	"loopwright/takeoff/measure"
	"loopwright/takeoff/words"
)

// The tests read of a job file what the takeoff needs of it. The program reads
// job files elsewhere, with all their keys; this keeps the tests of the takeoff
// free of it.
type jobFile struct {
	Plans []struct {
		Drawing, Devices, Level, Units, Elevation, Hidden string
		Region                                            []float64
		Datum                                             []float64
		Turned                                            *float64
		Ignore                                            [][]float64
		Walls                                             []string
		Demolition, Existing, Others                      []any
	}
	Types []struct {
		Type      string
		Match     []any
		Mounting  string
		Addresses *int
	}
	Panels []struct {
		Panel string
		Match []any
		At    *struct {
			Level string
			Point []float64
		}
	}
	Risers []struct {
		Riser string
		Match []any
	}
}

// readJob reads the takeoff that a job file asks for.
func readJob(t testing.TB, file string) Request {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var j jobFile
	if err := yaml.Unmarshal(b, &j); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	req := Request{Folder: filepath.Dir(file)}
	for _, p := range j.Plans {
		q := Plan{Drawing: p.Drawing, Devices: p.Devices, Level: p.Level, Units: p.Units, Turned: p.Turned, Walls: p.Walls,
			Ceiling: 3.048, CableHeight: 3.3528, Hidden: HiddenRule(p.Hidden),
			Demolition: matches(t, p.Demolition), Existing: matches(t, p.Existing), Others: matches(t, p.Others)}
		if q.Hidden == "" {
			q.Hidden = HiddenExclude
		}
		if p.Elevation != "" {
			var v float64
			var u string
			if _, err := fmt.Sscan(p.Elevation, &v, &u); err != nil {
				t.Fatalf("%s: elevation %q", file, p.Elevation)
			}
			m, err := measure.MetresPer(u)
			if err != nil {
				t.Fatal(err)
			}
			q.Elevation = v * m
		}
		if p.Region != nil {
			b := boxFrom(p.Region)
			q.Region = &b
		}
		for _, b := range p.Ignore {
			q.Ignore = append(q.Ignore, boxFrom(b))
		}
		if p.Datum != nil {
			q.Datum = &geom.Point{X: p.Datum[0], Y: p.Datum[1]}
		}
		req.Plans = append(req.Plans, q)
	}
	for _, ty := range j.Types {
		d := DeviceType{Type: ty.Type, Match: matches(t, ty.Match), Addresses: 1}
		if ty.Addresses != nil {
			d.Addresses = *ty.Addresses
		}
		switch ty.Mounting {
		case "", "ceiling":
		default:
			d.Mounting.Kind = MountHeight
		}
		req.Types = append(req.Types, d)
	}
	for _, p := range j.Panels {
		l := Landmark{Name: p.Panel, Match: matches(t, p.Match)}
		if p.At != nil {
			l.Level, l.At = p.At.Level, &geom.Point{X: p.At.Point[0], Y: p.At.Point[1]}
		}
		req.Panels = append(req.Panels, l)
	}
	for _, r := range j.Risers {
		req.Risers = append(req.Risers, Landmark{Name: r.Riser, Match: matches(t, r.Match)})
	}
	return req
}

func boxFrom(v []float64) geom.Box { return geom.BoxOf(geom.Pt(v[0], v[1]), geom.Pt(v[2], v[3])) }

func matches(t testing.TB, rules []any) []words.Match {
	t.Helper()
	var out []words.Match
	for _, r := range rules {
		var m words.Match
		switch r := r.(type) {
		case string:
			m.Layer = r
		case map[string]any:
			m = matchFrom(t, r)
		default:
			t.Fatalf("rule %v", r)
		}
		out = append(out, m)
	}
	return out
}

func matchFrom(t testing.TB, r map[string]any) words.Match {
	t.Helper()
	var m words.Match
	for k, v := range r {
		switch k {
		case "block":
			m.Block = v.(string)
		case "layer":
			m.Layer = v.(string)
		case "text":
			m.Text = v.(string)
		case "sample":
			p := v.([]any)
			m.Sample = &geom.Point{X: number(t, p[0]), Y: number(t, p[1])}
		case "attrib":
			m.Attrib = map[string]string{}
			for tag, pattern := range v.(map[string]any) {
				m.Attrib[tag] = fmt.Sprint(pattern)
			}
		default:
			t.Fatalf("rule with %s", k)
		}
	}
	return m
}

func number(t testing.TB, v any) float64 {
	t.Helper()
	var f float64
	if _, err := fmt.Sscan(fmt.Sprint(v), &f); err != nil {
		t.Fatal(err)
	}
	return f
}
