package verify

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopwright/takeoff/dxf"
	"loopwright/takeoff/dxf/edit"
	"loopwright/takeoff/dxf/tags"
	"loopwright/testdata/against"
)

// pair is an original and the drawing written from it, as files.
type pair struct {
	name, original, written string
	binary                  bool
	version                 string
}

// editedPairs writes every small drawing, and every real one that is there,
// with one of everything in its middle.
func editedPairs(t *testing.T) []pair {
	t.Helper()
	dir := t.TempDir()
	var pairs []pair
	put := func(name string, in []byte, device tags.Handle) {
		d, err := dxf.Parse(name, in)
		if err != nil {
			return
		}
		at, size := middle(d)
		e, err := edit.Add(d, sampleAddition(at, size, device))
		if err != nil {
			return
		}
		p := pair{name, filepath.Join(dir, name+".in.dxf"), filepath.Join(dir, name+".dxf"), d.Binary, d.Version}
		for path, b := range map[string][]byte{p.original: in, p.written: e.Bytes} {
			if err := os.WriteFile(path, b, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		pairs = append(pairs, p)
	}
	for _, v := range fixtureVersions[1:] {
		put("small-"+v, fixture(v, true), 0x24)
		if v < "AC1012" {
			put("small-bare-"+v, fixture(v, false), 0)
		}
	}
	put("small-no-tables", dropSection(fixture("AC1009", false), "TABLES"), 0)
	put("small-binary", binaryTwin(t, fixture("AC1015", true), 2), 0x24)
	for _, f := range realDrawings() {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		put(strings.TrimSuffix(filepath.Base(f), ".dxf"), b, 0)
	}
	slices.SortFunc(pairs, func(a, b pair) int { return cmp.Compare(a.name, b.name) })
	return pairs
}

// middle is the median place of the entities of a drawing, and a fortieth of
// the span of most of them: about the size of a label.
func middle(d *dxf.Drawing) (at edit.XY, size float64) {
	var xs, ys []float64
	shapes, _, _ := d.Shapes(dxf.Options{})
	for _, s := range shapes {
		xs, ys = append(xs, s.Points[0].X), append(ys, s.Points[0].Y)
	}
	inserts, _, _ := d.Inserts(dxf.Options{})
	for _, in := range inserts {
		xs, ys = append(xs, in.Pos.X), append(ys, in.Pos.Y)
	}
	if len(xs) == 0 || len(ys) == 0 {
		return edit.XY{}, 1
	}
	slices.Sort(xs)
	slices.Sort(ys)
	size = (xs[len(xs)*9/10] - xs[len(xs)/10]) / 40
	if size <= 0 {
		size = 1
	}
	return edit.XY{X: xs[len(xs)/2], Y: ys[len(ys)/2]}, size
}

// auditScript prints what ezdxf's auditor and log say about each drawing named
// on standard input, handles left out since ezdxf invents some.
const auditScript = `
import collections, io, json, logging, re, sys
import ezdxf
from ezdxf import recover
plain = lambda s: re.sub(r'#\w+', '#', s)
for line in sys.stdin:
    path = line.rstrip('\n')
    log = io.StringIO()
    logger = logging.getLogger('ezdxf')
    logger.handlers = [logging.StreamHandler(log)]
    logger.setLevel(logging.DEBUG)
    said, ours, how = collections.Counter(), 0, 'read'
    try:
        try:
            doc = ezdxf.readfile(path)
            audit = doc.audit()
        except Exception:
            how = 'recovered'
            doc, audit = recover.readfile(path)
        for e in list(audit.errors) + list(audit.fixes):
            said['%d %s' % (e.code, plain(e.message))] += 1
        ours = sum(1 for e in doc.modelspace() if e.has_xdata('LOOPWRIGHT'))
    except Exception as e:
        how = 'failed'
    said.update('log ' + plain(x) for x in log.getvalue().splitlines())
    print(json.dumps({'how': how, 'ours': ours, 'said': said}), flush=True)
`

type audit struct {
	How  string
	Ours int
	Said map[string]int
}

// TestAgainstEzdxfEdited: ezdxf (a general-purpose DXF library) reads what
// it read before, finds our entities in model space, and its auditor says
// nothing about the result that it did not say about the original.
func TestAgainstEzdxfEdited(t *testing.T) {
	python := against.Python(t, "ezdxf")
	pairs := editedPairs(t)
	var paths strings.Builder
	for _, p := range pairs {
		paths.WriteString(p.original + "\n" + p.written + "\n")
	}
	cmd := exec.Command(python, "-c", auditScript)
	cmd.Stdin = strings.NewReader(paths.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var audits []audit
	for sc := bufio.NewScanner(bytes.NewReader(out)); sc.Scan(); {
		var a audit
		if err := json.Unmarshal(sc.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		audits = append(audits, a)
	}
	if len(audits) != 2*len(pairs) {
		t.Fatalf("%d audits of %d drawings", len(audits), 2*len(pairs))
	}
	read := 0
	for i, p := range pairs {
		before, after := audits[2*i], audits[2*i+1]
		if before.How != after.How {
			t.Errorf("%s: was %s, is %s", p.name, before.How, after.How)
		}
		if after.How != "failed" {
			read++
			if after.Ours < 9 {
				t.Errorf("%s: ezdxf sees %d entities of ours", p.name, after.Ours)
			}
		}
		for what, n := range after.Said {
			if n > before.Said[what] {
				t.Errorf("%s: new: %s (%d times, was %d)", p.name, what, n, before.Said[what])
			}
		}
	}
	t.Logf("%d drawings written, ezdxf reads %d of them and as many originals", len(pairs), read)
}

// resaveScript copies the first label, draws on our wire layer, and saves.
const resaveScript = `
import sys, ezdxf
doc = ezdxf.readfile(sys.argv[1])
space = doc.modelspace()
label = [e for e in space.query('TEXT') if e.has_xdata('LOOPWRIGHT')][0]
space.add_entity(label.copy())
space.add_line((0, 0), (1, 1), dxfattribs={'layer': 'FA-WIRE'})
doc.saveas(sys.argv[2])
`

// TestAgainstEzdxfStripAfterSaving: another program rewrote the whole file; what is
// ours is still known, copies go too, a layer in use stays.
func TestAgainstEzdxfStripAfterSaving(t *testing.T) {
	python := against.Python(t, "ezdxf")
	for _, version := range []string{"AC1009", "AC1015", "AC1024", "AC1032"} {
		t.Run(version, func(t *testing.T) {
			dir := t.TempDir()
			from, to := filepath.Join(dir, "a.dxf"), filepath.Join(dir, "b.dxf")
			a := additions(0x24)["everything"]
			if err := os.WriteFile(from, mustEdit(t, fixture(version, true), a), 0o644); err != nil {
				t.Fatal(err)
			}
			if out, err := exec.Command(python, "-c", resaveScript, from, to).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, out)
			}
			saved, err := os.ReadFile(to)
			if err != nil {
				t.Fatal(err)
			}
			bare, err := edit.Strip("saved", saved)
			if err != nil {
				t.Fatal(err)
			}
			d, err := dxf.Parse("bare", bare)
			if err != nil {
				t.Fatal(err)
			}
			texts, _, err := d.Texts(dxf.Options{})
			if err != nil {
				t.Fatal(err)
			}
			shapes, _, err := d.Shapes(dxf.Options{})
			if err != nil {
				t.Fatal(err)
			}
			// the text; the line, the line that was drawn, the circle of the block
			if len(texts) != 1 || len(shapes) != 3 {
				t.Errorf("%d texts and %d shapes are left, want 1 and 3", len(texts), len(shapes))
			}
			_, wire := d.Layer("FA-WIRE")
			if _, label := d.Layer("FA-LABEL"); !wire || label || bytes.Contains(bare, []byte(edit.AppID)) {
				t.Errorf("FA-WIRE is there: %v, FA-LABEL is there: %v, or something else of ours is left", wire, label)
			}
			if editLaws(t, version, saved, a) == nil {
				t.Error("the saved drawing cannot be edited again")
			}
		})
	}
}

// TestAgainstGDALEdited: GDAL counts the entities it counted before and
// ours, and reads our label. It has no binary DXF.
func TestAgainstGDALEdited(t *testing.T) {
	ogrinfo := against.Program(t, "ogrinfo")
	count := func(path, where string) (int, string) {
		args := []string{"-q", "-ro", path, "-dialect", "OGRSQL", "-sql", "SELECT Layer, Text FROM entities" + where}
		out, _ := exec.Command(ogrinfo, args...).Output()
		return bytes.Count(out, []byte("OGRFeature(")), string(out)
	}
	opened := 0
	for _, p := range editedPairs(t) {
		if p.binary {
			continue
		}
		before, _ := count(p.original, "")
		after, _ := count(p.written, "")
		ours, text := count(p.written, " WHERE Layer LIKE 'FA-%'")
		if after == 0 && before == 0 {
			t.Logf("%s: GDAL reads neither", p.name)
			continue
		}
		opened++
		if after != before+ours || ours < 9 || !strings.Contains(text, "= 1-023\n") {
			t.Errorf("%s: %d entities before, %d after, %d of ours", p.name, before, after, ours)
		}
	}
	t.Logf("GDAL opened %d pairs", opened)
}

// TestAgainstLibreCADEdited: LibreCAD prints what it printed before. One drawing
// of each kind of release: it hangs on some binary ones, original or not.
func TestAgainstLibreCADEdited(t *testing.T) {
	librecad := against.Program(t, "librecad")
	prints := func(path string) bool {
		dir := t.TempDir()
		cmd := exec.Command(librecad, "dxf2pdf", "-a", "-m", "-p", "420x297", "-t", dir, path)
		cmd.Env = append(os.Environ(), "QT_QPA_PLATFORM=offscreen", "HOME="+dir)
		_ = cmd.Run()
		pdfs, _ := filepath.Glob(filepath.Join(dir, "*.pdf"))
		return len(pdfs) == 1
	}
	printed := 0
	few := []string{"small-AC1009", "small-AC1015", "small-AC1032"}
	for _, p := range editedPairs(t) {
		if !slices.Contains(few, p.name) {
			continue
		}
		switch before := prints(p.original); {
		case !before:
			t.Logf("%s: LibreCAD does not print the original", p.name)
		case !prints(p.written):
			t.Errorf("%s: LibreCAD printed the original and not the result", p.name)
		default:
			printed++
		}
	}
	t.Logf("LibreCAD printed %d pairs", printed)
}
