package job

import (
	"strings"
	"unicode/utf8"
)

// Reference returns a complete job file with every key, what it means and what
// holds without it. It is made from the same table that files are read by, and
// is itself a job that Parse accepts.
func Reference() string {
	var b strings.Builder
	b.WriteString(`# A job file with every key. Only job, plans and panels are needed; what is left
# out gets the value named behind "left out:", and the program says so. Figures of
# an equipment's listing are yours to give: left out, what they limit is not judged.
# The figures here are examples. Lengths, resistances, currents, voltages and
# shares carry their unit: 10 ft, 46 in, 10' 6", 3/32 in, 3.2 m, 300 mm, 40 ohm,
# 0.3 mA, 22 V, 75 C, 20%.
# Texts that start with * or { need quotes, and so do numbers with a leading zero.

`)
	for i, k := range topTable.lines() {
		if k.doc != nil && i > 0 {
			b.WriteByte('\n')
		}
		writeKey(&b, k, "", "")
	}
	return b.String()
}

// Columns of the reference: comments stand behind short lines at one column,
// and above long ones.
const (
	commentAt = 36
	fullLine  = 118
	wrapAt    = 96
)

// writeKey writes one key below indent; dash is "- " for the first of a row.
func writeKey(b *strings.Builder, k keyDoc, indent, dash string) {
	line := indent + dash + k.name + ":"
	switch {
	case k.aside:
		line = indent + "# " + k.name + ": " + k.sample
	case k.sample != "":
		line += " " + k.sample
	}
	writeComment(b, line, comment(k), indent)
	if k.doc == nil || k.sample != "" {
		return
	}
	inner := indent + "  "
	if !k.rows {
		for _, sub := range k.doc.lines() {
			writeKey(b, sub, inner, "")
		}
		return
	}
	for i, sub := range k.doc.lines() {
		if i == 0 {
			writeKey(b, sub, inner, "- ")
			continue
		}
		writeKey(b, sub, inner+"  ", "")
	}
	for line := range strings.SplitSeq(strings.Trim(k.doc.moreRows(), "\n"), "\n") {
		if line != "" {
			b.WriteString(inner + line + "\n")
		}
	}
}

func comment(k keyDoc) string {
	parts := []string{}
	if k.help != "" {
		parts = append(parts, k.help)
	}
	if k.needed {
		parts = append(parts, "needed")
	}
	if w := k.left.without(); w != "" {
		parts = append(parts, "left out: "+w)
	}
	return strings.Join(parts, "; ")
}

func writeComment(b *strings.Builder, line, text, indent string) {
	width := utf8.RuneCountInString(line)
	at := max(commentAt, width+2)
	if text == "" {
		b.WriteString(line + "\n")
		return
	}
	if at+2+utf8.RuneCountInString(text) <= fullLine {
		b.WriteString(line + strings.Repeat(" ", at-width) + "# " + text + "\n")
		return
	}
	for text != "" {
		part := text
		if len(part) > wrapAt {
			part = part[:max(1, strings.LastIndexByte(part[:wrapAt], ' '))]
		}
		b.WriteString(indent + "# " + part + "\n")
		text = strings.TrimSpace(text[len(part):])
	}
	b.WriteString(line + "\n")
}
