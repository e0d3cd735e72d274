package reply

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCheck(t *testing.T) {
	for text, want := range map[string]string{
		"{}":                          "{}",
		" \r\n[1, 2]\n":               "[1, 2]",
		"\xef\xbb\xbf{\"a\":\"°C\"}":  "{\"a\":\"°C\"}",
		"\xef\xbb\xbf  null":          "null",
		`"Unexpected error while st"`: `"Unexpected error while st"`,
	} {
		raw, bad := Check("NWS", []byte(text))
		require.Nil(t, bad, text)
		assert.Equal(t, want, string(raw))
	}
	for text, reason := range map[string]string{
		"":                      "it is empty",
		"\xef\xbb\xbf \t\n":     "it is empty",
		"<?xml version='1.0'?>": "it is a web page, not JSON",
		`{"a":[1,2`:             "it breaks off after 9 bytes",
		`{"a":"half a wor`:      "it breaks off after 16 bytes",
		`{"a":1}{"a":2}`:        "more text follows the JSON, from byte 7",
		`{"a":1} thanks`:        "more text follows the JSON, from byte 8",
		`{"a":NaN}`:             "it is not JSON: invalid character 'N' looking for beginning of value at byte 5",
		`{"a":1,}`:              "it is not JSON: invalid character '}' looking for beginning of object key string at byte 7",
		`{"a":01}`:              "it is not JSON: invalid character '1' after object key:value pair at byte 6",
		"{\"a\":\"\xb0C\"}":     "it is JSON in another encoding than UTF-8",
		"[1,2Unexpected error while streaming data: gone\nnext line": `the server failed halfway, at byte 4: "Unexpected error while streaming data: gone"`,
	} {
		raw, bad := Check("NWS", []byte(text))
		require.NotNil(t, bad, text)
		assert.Nil(t, raw)
		assert.Equal(t, "NWS", bad.Service)
		assert.Equal(t, reason, bad.Reason, text)
		assert.NotEmpty(t, bad.Fix)
	}
}

// What is cut off, or has anything behind it, never passes.
func TestCheckTakesWholeRepliesOnly(t *testing.T) {
	whole, err := json.Marshal(map[string]any{"time": []int{1, 2, 3}, "text": "a \"b\" {", "deep": []any{[]any{nil, true}}})
	require.NoError(t, err)
	rapid.Check(t, func(r *rapid.T) {
		cut := rapid.IntRange(0, len(whole)-1).Draw(r, "cut")
		if _, bad := Check("", whole[:cut]); bad == nil {
			r.Fatalf("cut at %d passed", cut)
		}
		more := rapid.StringN(1, 20, 40).Draw(r, "more")
		if len(bytes.TrimSpace([]byte(more))) == 0 {
			return
		}
		if _, bad := Check("", append(bytes.Clone(whole), more...)); bad == nil {
			r.Fatalf("%q behind it passed", more)
		}
	})
}

// Splitting costs one look at every byte: values are parts of the reply itself.
func TestSplittersDoNotCopy(t *testing.T) {
	raw := []byte(`{"a":[1,2,3],"b":{"c":"d"}}`)
	o, ok := SplitObject(raw)
	require.True(t, ok)
	a := o.Get("a")
	raw[bytes.IndexByte(raw, '1')] = '9'
	assert.Equal(t, "[9,2,3]", string(a))
}

// The splitters are only ever given valid JSON; given anything else they must
// still end, within its bounds.
func TestSplittersEndOnAnything(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune(`{}[]",:\ 1n`)), 0, 30, -1).Draw(r, "text")
		object, _ := SplitObject([]byte("{" + text))
		array, _ := SplitArray([]byte("[" + text))
		_, _ = Numbers([]byte("["+text), Series{})
		for _, f := range object {
			if len(f.Value) > len(text) {
				r.Fatal("a value longer than the text")
			}
		}
		for _, e := range array {
			if len(e) > len(text) {
				r.Fatal("an element longer than the text")
			}
		}
	})
}
