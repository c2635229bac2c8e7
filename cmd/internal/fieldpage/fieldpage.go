// Package fieldpage writes the page that goes on site: one HTML file that opens
// without a network on a phone or at a desk, shows every level's plan, the
// devices of each circuit in walking order and how their switches are set, takes
// ticks, found addresses, notes and meter readings, and gives them out as a file.
//
// The page is made of plain values, a style sheet and a script of our own; what
// it may load is closed by a content security policy over their hashes. The same
// input gives the same bytes. This package also reads the file that the page
// gives out (see ReadExport), so that both ends of the format stand together.
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
