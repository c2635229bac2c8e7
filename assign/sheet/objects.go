package sheet

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

// pdfObject is one object of a PDF.
type pdfObject struct {
	number int
	body   []byte // what stands between "obj" and "endobj"
}

// pdfFile is a PDF taken apart: its objects in the order of their numbers, which
// run from 1 without a gap, and the numbers of the two that the trailer names.
type pdfFile struct {
	objects    []pdfObject
	root, info int
}

// takeApart reads a PDF with one plain cross-reference table (ISO 32000-1,
// 7.5.4), as the drawing library writes it. Nothing is copied.
func takeApart(pdf []byte) (pdfFile, error) {
	table, err := startOf(pdf)
	if err != nil {
		return pdfFile{}, err
	}
	offsets, trailer, err := crossReference(pdf, table)
	if err != nil {
		return pdfFile{}, err
	}
	f := pdfFile{objects: make([]pdfObject, len(offsets))}
	if f.root, err = reference(trailer, "/Root"); err != nil {
		return f, err
	}
	if f.info, err = reference(trailer, "/Info"); err != nil {
		return f, err
	}
	byPlace := make([]int, len(offsets))
	for i := range byPlace {
		byPlace[i] = i
	}
	slices.SortFunc(byPlace, func(a, b int) int { return cmp.Compare(offsets[a], offsets[b]) })
	for k, i := range byPlace {
		end := table
		if k+1 < len(byPlace) {
			end = offsets[byPlace[k+1]]
		}
		head, foot := fmt.Appendf(nil, "%d 0 obj", i+1), []byte("endobj")
		whole := bytes.TrimSpace(pdf[offsets[i]:end])
		if !bytes.HasPrefix(whole, head) || !bytes.HasSuffix(whole, foot) {
			return f, fmt.Errorf("a PDF without object %d where its table says", i+1)
		}
		f.objects[i] = pdfObject{i + 1, bytes.TrimSpace(whole[len(head) : len(whole)-len(foot)])}
	}
	return f, nil
}

// object returns an object by its number.
func (f *pdfFile) object(n int) *pdfObject { return &f.objects[n-1] }

// add appends an object and returns its number.
func (f *pdfFile) add(body []byte) int {
	n := len(f.objects) + 1
	f.objects = append(f.objects, pdfObject{n, body})
	return n
}

// insert writes an entry into an object that is a dictionary.
func (o *pdfObject) insert(entry []byte) {
	at := bytes.Index(o.body, []byte("<<")) + len("<<")
	o.body = slices.Concat(o.body[:at], entry, o.body[at:])
}

// reference reads an entry of a dictionary that names an object.
func reference(dict []byte, key string) (int, error) {
	_, after, _ := bytes.Cut(dict, []byte(key+" "))
	number, _, _ := bytes.Cut(after, []byte(" 0 R"))
	n, err := strconv.Atoi(string(number))
	if err != nil || n < 1 {
		return 0, fmt.Errorf("a PDF without %s", key)
	}
	return n, nil
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

// crossReference reads the offsets of objects 1, 2, ... and the trailer.
func crossReference(pdf []byte, table int) (offsets []int, trailer []byte, err error) {
	lines, trailer, ok := bytes.Cut(pdf[table:], []byte("trailer"))
	words := bytes.Fields(lines) // xref 0 n, then offset, generation and kind of each
	const head, each = 3, 3
	if !ok || len(words) < head+each || len(words)%each != 0 || string(words[1]) != "0" {
		return nil, nil, fmt.Errorf("a PDF with a damaged cross-reference table")
	}
	for k := head + each; k < len(words); k += each {
		at, err := strconv.Atoi(string(words[k]))
		if err != nil || at < 0 || at >= table || string(words[k+2]) != "n" {
			return nil, nil, fmt.Errorf("a PDF with a damaged cross-reference table: %q", words[k])
		}
		offsets = append(offsets, at)
	}
	return offsets, trailer, nil
}
