// Package fieldpage writes the page that goes on site: one HTML file that opens
// without a network on a phone or at a desk, shows every level's plan, the
// devices of each circuit in walking order and how their switches are set, takes
// ticks, found addresses, notes and meter readings, and gives them out as a file.
// It also reads that file (see ReadExport), so that both ends of the format stand
// together. The same outcome gives the same bytes.
//
// # One file, nothing loaded
//
// The folder page holds a skeleton, a style sheet and the parts of the script. The
// page's content security policy allows nothing but the hashes of exactly this
// style and script: an edit of either needs nothing else, and anything put in later
// does not run. The policy also refuses style and onclick attributes in the markup.
// The script makes elements and sets text as text, never markup from data. The
// data is JSON in a script element of another type; the encoder escapes <, so
// that no text of a drawing can close it.
//
// # The script computes no addresses
//
// Switch rows, sums and values come from assign.Scheme. The test reads every
// address of every scheme back from where the knobs stand on the screen.
//
// # State and export
//
// What is entered lives in the browser's store under the job's name and revision; a
// device is known by circuit and id. A tick remembers the address that it was set
// for: where a rebuilt page plans another, it counts as a problem, not as done.
// Without a store the page says so and still exports. The reader refuses keys that
// it does not know, since it would lose them: a new key needs a new version.
//
// # Plans
//
// A layer is one SVG path in whole centimetres. Moving the plan transforms a layer
// of its own, and the view box is set once at the end: anything else is several
// times slower. To look at the page, and to time it:
//
//	LOOPWRIGHT_REFERENCE=1 LOOPWRIGHT_KEEP=DIR go test ./cmd/internal/fieldpage -run 'Look|Plan'
//	LOOPWRIGHT_REFERENCE=1 go test ./cmd/internal/fieldpage -v -run Large
package fieldpage

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"io"

	"loopwright/cmd/internal/outcome"
	"loopwright/takeoff"
)

//go:embed page
var parts embed.FS

// scripts are the parts of the page's script, in the order in which they are joined.
var scripts = []string{"text.js", "state.js", "switches.js", "list.js", "detail.js", "plan.js", "layers.js", "meter.js", "file.js", "main.js"}

// frame is the page's skeleton with its values put in.
type frame struct {
	Policy  string
	Style   template.CSS
	Script  template.JS
	Data    template.JS
	Job     string
	Stamp   string
	Caution string
	Levels  []drawn
}

// Write writes the page. An error means that nothing usable was written.
func Write(w io.Writer, o *outcome.Outcome) error {
	levels, views, err := drawPlans(o)
	if err != nil {
		return err
	}
	data, err := json.Marshal(contents(o, views)) // escapes <, > and &: nothing in it can close its element
	if err != nil {
		return err
	}
	style, script, err := code()
	if err != nil {
		return err
	}
	f := frame{
		Policy: "default-src 'none'; base-uri 'none'; form-action 'none'; style-src " + hash(style) + "; script-src " + hash(script),
		Style:  template.CSS(style), Script: template.JS(script), Data: template.JS(data),
		Job: o.Job.Name, Stamp: stamp(o), Caution: takeoff.Caution + " Check every setting on the device itself.", Levels: levels,
	}
	t, err := template.ParseFS(parts, "page/page.html")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, f); err != nil {
		return fmt.Errorf("field page: %w", err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// code returns style sheet and script as they stand between their tags.
func code() (style, script string, err error) {
	css, err := parts.ReadFile("page/page.css")
	if err != nil {
		return "", "", err
	}
	js := []byte("'use strict';\n")
	for _, name := range scripts {
		part, err := parts.ReadFile("page/" + name)
		if err != nil {
			return "", "", err
		}
		js = append(js, part...)
	}
	return string(css), string(js), nil
}

// hash is the source expression that lets one inline element through
// (Content Security Policy Level 3, section 2.3.1, hash-source).
func hash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
