package answer

import (
	"encoding/json"
	"fmt"
	"io"
)

// Write writes an answer or a failure as one line of JSON. The same answer gives
// the same bytes.
func Write(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("answer as JSON: %w", err)
	}
	return nil
}
