package main

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// sourceCode is what the sources say about one constant that is a code.
type sourceCode struct {
	code string
	uses int // outside of the lists for the manual
}

// codesInSource reads the constants of all packages that are codes of findings,
// by package folder and name, and counts what uses them. A code written out where a
// constant should stand is an error.
func codesInSource(t *testing.T) map[string]*sourceCode {
	t.Helper()
	isCode := regexp.MustCompile(`^"[FD][0-9]{3}"$`)
	found := map[string]*sourceCode{}
	type file struct {
		folder string
		*ast.File
	}
	var files []file
	fset := token.NewFileSet()
	for _, top := range []string{"cmd", "takeoff", "assign", "route"} {
		err := filepath.WalkDir(filepath.Join("../..", top), func(p string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() || !strings.HasSuffix(p, ".go") || strings.HasSuffix(p, "_test.go") {
				return err
			}
			f, err := parser.ParseFile(fset, p, nil, parser.SkipObjectResolution)
			files = append(files, file{filepath.Base(filepath.Dir(p)), f})
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	declared := map[*ast.BasicLit]bool{}
	for _, f := range files {
		ast.Inspect(f.File, func(n ast.Node) bool {
			if v, ok := n.(*ast.ValueSpec); ok && len(v.Values) == 1 {
				if lit, ok := v.Values[0].(*ast.BasicLit); ok && isCode.MatchString(lit.Value) {
					code, _ := strconv.Unquote(lit.Value)
					found[f.folder+"."+v.Names[0].Name] = &sourceCode{code: code}
					declared[lit] = true
				}
			}
			return true
		})
	}
	for _, f := range files {
		ast.Inspect(f.File, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				return n.Name.Name != "Codes" // the list for the manual
			case *ast.BasicLit:
				if isCode.MatchString(n.Value) && !declared[n] {
					t.Errorf("%s: %s stands there in place of a constant", fset.Position(n.Pos()), n.Value)
				}
			case *ast.ValueSpec:
				if n.Names[0].Name == "registry" || len(n.Values) == 1 && found[f.folder+"."+n.Names[0].Name] != nil {
					return false
				}
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && found[x.Name+"."+n.Sel.Name] != nil {
					found[x.Name+"."+n.Sel.Name].uses++
					return false
				}
			case *ast.Ident:
				if c := found[f.folder+"."+n.Name]; c != nil {
					c.uses++
				}
			}
			return true
		})
	}
	return found
}

// TestEveryCodeIsExplained holds the list for the manual against the sources: every
// code has one entry with a meaning and a remedy, and every entry is a code that some
// finding has.
func TestEveryCodeIsExplained(t *testing.T) {
	listed := map[string]bool{}
	for _, c := range codes() {
		if listed[c.Code] {
			t.Errorf("%s is explained twice", c.Code)
		}
		listed[c.Code] = true
		for _, text := range []string{c.Meaning, c.Remedy} {
			if text == "" || strings.HasSuffix(text, ".") || strings.Contains(text, "|") {
				t.Errorf("%s: its text is %q", c.Code, text)
			}
		}
	}
	inSource := codesInSource(t)
	if len(inSource) < 50 {
		t.Fatalf("only %d codes found in the sources", len(inSource))
	}
	for name, c := range inSource {
		code := "F" + c.code[1:] // the reader's D101 is told as F101
		if !listed[code] {
			t.Errorf("%s = %s has no entry in its package's Codes", name, c.code)
		}
		if c.uses == 0 {
			t.Errorf("%s = %s is in no finding: delete it", name, c.code)
		}
		delete(listed, code)
	}
	for code := range listed {
		t.Errorf("%s is explained, but no constant has it", code)
	}
}

func TestManualListsFindings(t *testing.T) {
	t.Chdir(t.TempDir())
	if code := Run([]string{"docs", "manual"}, strings.NewReader(""), io.Discard, io.Discard); code != exitDone {
		t.Fatalf("exit %d", code)
	}
	md, err := os.ReadFile("manual/loopwright.md")
	if err != nil {
		t.Fatal(err)
	}
	man, err := os.ReadFile("manual/loopwright.1")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range codes() {
		if !bytes.Contains(md, []byte("| "+c.Code+" | "+c.Meaning+" | "+c.Remedy+" |\n")) || !bytes.Contains(man, []byte(".B "+c.Code+"\n")) {
			t.Errorf("the manual does not explain %s", c.Code)
		}
	}
}
