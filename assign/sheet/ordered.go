package sheet

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

// pdfObject is one object of a PDF as its cross-reference table lists it.
type pdfObject struct {
	number, generation int
	offset             int
	body               []byte
}

// ordered writes the objects of a PDF in the order of their numbers. The library
// that lays the form writes them in the order of a Go map, anew on every run.
// The file must have one plain cross-reference table (ISO 32000-1, 7.5.4), as
// that library writes it when asked to.
func ordered(pdf []byte) ([]byte, error) {
	table, err := startOf(pdf)
	if err != nil {
		return nil, err
	}
	objects, trailer, err := crossReference(pdf, table)
	if err != nil {
		return nil, err
	}
	if len(objects) == 0 {
		return nil, fmt.Errorf("a PDF without objects")
	}
	slices.SortFunc(objects, func(a, b pdfObject) int { return cmp.Compare(a.offset, b.offset) })
	head := objects[0].offset
	for i := range objects {
		end := table
		if i+1 < len(objects) {
			end = objects[i+1].offset
		}
		objects[i].body = pdf[objects[i].offset:end]
	}
	slices.SortFunc(objects, func(a, b pdfObject) int { return cmp.Compare(a.number, b.number) })
	var out bytes.Buffer
	out.Write(pdf[:head])
	for i := range objects {
		objects[i].offset = out.Len()
		out.Write(objects[i].body)
	}
	start := out.Len()
	out.WriteString("xref\n0 1\n0000000000 65535 f \n")
	for i := 0; i < len(objects); {
		n := 1
		for i+n < len(objects) && objects[i+n].number == objects[i].number+n {
			n++
		}
		fmt.Fprintf(&out, "%d %d\n", objects[i].number, n)
		for _, o := range objects[i : i+n] {
			fmt.Fprintf(&out, "%010d %05d n \n", o.offset, o.generation)
		}
		i += n
	}
	fmt.Fprintf(&out, "%s\nstartxref\n%d\n%%%%EOF\n", bytes.TrimSpace(trailer), start)
	return out.Bytes(), nil
}

// startOf returns where the cross-reference table begins.
func startOf(pdf []byte) (int, error) {
	at := bytes.LastIndex(pdf, []byte("startxref"))
	if at < 0 {
		return 0, fmt.Errorf("a PDF without startxref")
	}
	fields := bytes.Fields(pdf[at:])
	if len(fields) < 2 {
		return 0, fmt.Errorf("a PDF that ends too early")
	}
	table, err := strconv.Atoi(string(fields[1]))
	if err != nil || table < 0 || table >= at || !bytes.HasPrefix(pdf[table:], []byte("xref")) {
		return 0, fmt.Errorf("a PDF without a plain cross-reference table")
	}
	return table, nil
}

// crossReference reads the cross-reference table and returns what stands behind it.
func crossReference(pdf []byte, table int) (objects []pdfObject, trailer []byte, err error) {
	end := bytes.Index(pdf[table:], []byte("trailer"))
	if end < 0 {
		return nil, nil, fmt.Errorf("a PDF without trailer")
	}
	end += table
	words := bytes.Fields(pdf[table+len("xref") : end])
	numbers := func(k int) (a, b int, ok bool) {
		if k+1 >= len(words) {
			return 0, 0, false
		}
		a, err1 := strconv.Atoi(string(words[k]))
		b, err2 := strconv.Atoi(string(words[k+1]))
		return a, b, err1 == nil && err2 == nil
	}
	for k := 0; k < len(words); {
		first, n, ok := numbers(k)
		k += 2
		for i := 0; ok && i < n; i, k = i+1, k+3 {
			var offset, generation int
			if offset, generation, ok = numbers(k); ok && k+2 < len(words) && string(words[k+2]) == "n" {
				objects = append(objects, pdfObject{number: first + i, generation: generation, offset: offset})
			}
		}
		if !ok {
			return nil, nil, fmt.Errorf("a damaged cross-reference table")
		}
	}
	last := bytes.LastIndex(pdf, []byte("startxref"))
	return objects, pdf[end:last], nil
}
