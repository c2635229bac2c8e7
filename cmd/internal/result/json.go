package result

import (
	"encoding/json"
	"io"
)

// WriteJSON writes v indented by one blank, without HTML escapes, with a final line end.
func WriteJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}
