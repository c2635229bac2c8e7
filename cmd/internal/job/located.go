package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Located is one mistake in a job file: where it is, what is wrong and what to do.
type Located struct {
	File      string
	Line, Col int // from 1; Col counts characters
	Message   string
	excerpt   string // the line with a caret below the place; "" if there is no such line
}

// Error returns FILE:LINE:COL: MESSAGE and the excerpt on the lines below.
func (l Located) Error() string {
	s := fmt.Sprintf("%s:%d:%d: %s", l.File, l.Line, l.Col, l.Message)
	if l.excerpt != "" {
		s += "\n" + l.excerpt
	}
	return s
}

// Errors is every mistake that was found, in the order of the file.
type Errors []Located

// Error returns all messages, one after the other.
func (es Errors) Error() string {
	parts := make([]string, len(es))
	for i, e := range es {
		parts[i] = e.Error()
	}
	return strings.Join(parts, "\n")
}

// Unwrap lets errors.As find a Located.
func (es Errors) Unwrap() []error {
	out := make([]error, len(es))
	for i, e := range es {
		out[i] = e
	}
	return out
}

// sorted orders by place and drops repetitions.
func (es Errors) sorted() Errors {
	slices.SortStableFunc(es, func(a, b Located) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return slices.CompactFunc(es, func(a, b Located) bool { return a == b })
}

// mark is a place in the file; line 0 is none.
type mark struct{ line, col int }

// excerpt draws the line with a caret below column m.col.
func excerpt(lines []string, m mark) string {
	if m.line < 1 || m.line > len(lines) {
		return ""
	}
	line := lines[m.line-1]
	const most = 160 // a terminal's two lines: a longer one is cut around the place
	col := min(max(m.col, 1), utf8.RuneCountInString(line)+1)
	runes := []rune(line)
	from := 0
	if len(runes) > most {
		from = max(0, min(col-1-most/2, len(runes)-most))
		runes = runes[from : from+most]
	}
	num := fmt.Sprintf("%5d | ", m.line)
	gap := strings.Repeat(" ", len(num)-2) + "| "
	var pad strings.Builder
	for _, r := range runes[:min(col-1-from, len(runes))] {
		if r == '\t' {
			pad.WriteByte('\t')
			continue
		}
		pad.WriteByte(' ')
	}
	return num + string(runes) + "\n" + gap + pad.String() + "^"
}

// pos returns where the value at path stands, e.g. types[3].match[0]. What the
// file does not say has the place of what it would belong to.
func (j *Job) pos(path string) (line, col int) {
	for p := path; ; p = parent(p) {
		if m, ok := j.marks[p]; ok {
			return m.line, m.col
		}
		if p == "" {
			return 1, 1
		}
	}
}

// Given reports whether the file itself has a value at path.
func (j *Job) Given(path string) bool {
	_, ok := j.marks[path]
	return ok
}

// Complain returns a located message about the value at path.
func (j *Job) Complain(path, format string, args ...any) Located {
	line, col := j.pos(path)
	return Located{File: j.File, Line: line, Col: col, Message: fmt.Sprintf(format, args...),
		excerpt: excerpt(j.lines, mark{line, col})}
}

// parent returns the path one step out: a.b[2] -> a.b -> a -> "".
func parent(path string) string {
	return path[:max(0, strings.LastIndexAny(path, ".["))]
}
