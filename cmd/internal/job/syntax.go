package job

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"loopwright/takeoff/where"
)

// Bounds on what is handed to the YAML parser, which recurses: far beyond any
// job, far below what exhausts memory or stack.
const (
	mostBytes = 4 << 20
	mostDepth = 64
)

// Load reads a job file and checks that the files it names exist. The error is
// an Errors with every mistake found, or tells that the file cannot be read.
func Load(path string) (*Job, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, where.In(path, fmt.Errorf("there is no job file %s: draft one with 'loopwright begin DRAWING... -o %s', or correct the name", path, path))
	}
	if err != nil {
		return nil, fmt.Errorf("job file: %w", err)
	}
	if info.IsDir() {
		return nil, where.In(path, fmt.Errorf("job file: %s is a folder: name a file", path))
	}
	if info.Size() > mostBytes {
		return nil, tooLong(path)
	}
	src, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("job file: %w", err)
	}
	j, err := Parse(path, src)
	if err != nil {
		return nil, err
	}
	if es := j.checkFiles(); len(es) > 0 {
		return nil, es
	}
	return j, nil
}

// Parse reads the text of a job file; path is only used in messages. It looks
// at no other file. The error, if any, is an Errors.
func Parse(path string, src []byte) (*Job, error) {
	d := &decoder{job: &Job{File: path, marks: map[string]mark{}}}
	if len(src) > mostBytes {
		return nil, tooLong(path)
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	text := strings.ReplaceAll(string(src), "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	d.job.lines = strings.Split(text, "\n")
	if !d.plainText() {
		return nil, d.errs
	}
	body := d.syntax(text)
	if body == nil {
		return nil, d.errs.sorted()
	}
	d.job.marks[""] = nodePlace(body)
	topTable.decode(d, body, "", d.job)
	if d.found("plans") {
		d.complete()
	}
	d.crossCheck()
	if len(d.errs) > 0 {
		return nil, d.errs.sorted()
	}
	d.job.sortDefaults()
	return d.job, nil
}

func tooLong(path string) Errors {
	return Errors{{File: path, Line: 1, Col: 1, Message: fmt.Sprintf("the file is longer than %d MB: this is not a job file", mostBytes>>20)}}
}

// plainText reports bytes that no text file has.
func (d *decoder) plainText() bool {
	for i, line := range d.job.lines {
		at := mark{i + 1, 1}
		if !utf8.ValidString(line) {
			d.fail(at, "the line is not UTF-8 text: save the file as UTF-8")
			return false
		}
		if k := strings.IndexFunc(line, func(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f }); k >= 0 {
			d.fail(mark{i + 1, utf8.RuneCountInString(line[:k]) + 1}, "control character %U: delete it", line[k])
			return false
		}
	}
	return true
}

// syntax parses the YAML and returns its one document, or nil after a complaint.
func (d *decoder) syntax(text string) (body ast.Node) {
	defer func() {
		if r := recover(); r != nil { // the parser is not ours: a file must never end the program
			d.fail(mark{1, 1}, "the YAML cannot be parsed: look for an unclosed bracket or quote")
			body = nil
		}
	}()
	tokens := lexer.Tokenize(text)
	if at := deep(tokens); at != nil {
		d.fail(place(at), "nested too deeply: a job needs only a few levels")
		return nil
	}
	file, err := parser.Parse(tokens, parser.ParseComments, parser.AllowDuplicateMapKey())
	if err != nil {
		d.syntaxError(err)
		return nil
	}
	var docs []ast.Node
	for _, doc := range file.Docs {
		if doc.Body != nil && doc.Body.Type() != ast.CommentType && doc.Body.Type() != ast.NullType {
			docs = append(docs, doc.Body)
		}
	}
	switch {
	case len(docs) == 0:
		d.fail(mark{1, 1}, "the file is empty: a job needs at least job, plans and panels")
		return nil
	case len(docs) > 1:
		d.fail(nodePlace(docs[1]), "a second document starts here: a job file holds one job; delete the line ---")
		return nil
	}
	return docs[0]
}

// deep returns the token at which nesting passes the bound.
func deep(tokens token.Tokens) *token.Token {
	flow, line, inLine := 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			line, inLine = t.Position.Line, 0
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			flow++
		case token.SequenceEndType, token.MappingEndType:
			flow--
		case token.SequenceEntryType, token.MappingKeyType, token.TagType, token.AnchorType:
			inLine++
		}
		if flow > mostDepth || inLine > mostDepth || t.Position.IndentNum > 8*mostDepth {
			return t
		}
	}
	return nil
}

// syntaxHints explain the parser's words.
var syntaxHints = []struct{ part, hint string }{
	{`'\t'`, "indent with spaces: YAML does not allow tabs"},
	{"found character '\t'", "indent with spaces: YAML does not allow tabs"},
	{"reserved character", "put quotes around the text"},
	{"directive", "text that starts with % needs quotes"},
	{"',' or ']'", "a list that starts with [ ends with ]"},
	{"',' or '}'", "a row that starts with { ends with }"},
	{"end character of", "close the quotes on the same line"},
	{"not allowed in this context", "check the indent, or put quotes around a text with a colon in it"},
}

func (d *decoder) syntaxError(err error) {
	at, message := mark{1, 1}, err.Error()
	var ye yaml.Error
	if errors.As(err, &ye) {
		message = ye.GetMessage()
		if t := ye.GetToken(); t != nil {
			at = place(t)
		}
	}
	message, _, _ = strings.Cut(message, "\n")
	hint := "check indent, brackets and quotes"
	for _, h := range syntaxHints {
		if strings.Contains(message, h.part) {
			hint = h.hint
			break
		}
	}
	message = strings.ReplaceAll(message, "\t", `\t`)
	d.fail(at, "not valid YAML: %s; %s", message, hint)
}

func place(t *token.Token) mark {
	return mark{max(1, t.Position.Line), max(1, t.Position.Column)}
}
