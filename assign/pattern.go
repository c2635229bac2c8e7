package assign

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// placeholder is {word} or {word:width}; a width of 1 to 9, as job files take it,
// pads numbers with zeros.
var placeholder = regexp.MustCompile(`\{([a-z]+)(?::([1-9]))?\}`)

// Expand fills the placeholders of a pattern from words. A word that is not
// known stays as it stands: the job file's reader has refused it already.
func Expand(pattern string, words map[string]string) string {
	return placeholder.ReplaceAllStringFunc(pattern, func(m string) string {
		p := placeholder.FindStringSubmatch(m)
		v, ok := words[p[1]]
		if !ok {
			return m
		}
		width, err := strconv.Atoi(p[2])
		if n, numErr := strconv.Atoi(v); err == nil && numErr == nil {
			return fmt.Sprintf("%0*d", width, n)
		}
		return strings.TrimSpace(v)
	})
}
