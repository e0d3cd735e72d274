package desk

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"strconv"
	"strings"
	"sync"
)

// Body is bytes to be served many times: named by what they are, and compressed
// once, when somebody first wants them so.
type Body struct {
	Bytes []byte
	Tag   string // changes with the bytes; letters and digits

	once sync.Once
	zip  []byte
}

// NewBody names bytes. They must not be changed after.
func NewBody(data []byte) *Body { return &Body{Bytes: data, Tag: TagOf(data)} }

// TagOf names bytes by their hash.
func TagOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// Gzip is the bytes compressed.
func (b *Body) Gzip() []byte {
	b.once.Do(func() {
		var out bytes.Buffer
		w, _ := gzip.NewWriterLevel(&out, gzip.DefaultCompression) // the level is known
		_, _ = w.Write(b.Bytes)                                    // memory takes everything
		_ = w.Close()
		b.zip = out.Bytes()
	})
	return b.zip
}

// smallest is the size below which compressing is not worth it.
const smallest = 512

// Serve writes the bytes, or 304 where the client has them. The two forms have tags
// of their own, as the strong tags of HTTP must.
func (b *Body) Serve(w http.ResponseWriter, r *http.Request, contentType string) {
	h := w.Header()
	data, tag := b.Bytes, `"`+b.Tag+`"`
	h.Add("Vary", "Accept-Encoding")
	packed := len(data) >= smallest && AcceptsGzip(r.Header.Get("Accept-Encoding"))
	if packed {
		data, tag = b.Gzip(), `"`+b.Tag+`-gz"`
	}
	h.Set("ETag", tag)
	if h.Get("Cache-Control") == "" {
		h.Set("Cache-Control", "private, no-cache") // ask again, it costs no more than a 304
	}
	if HasTag(r.Header.Get("If-None-Match"), b.Tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", contentType)
	if packed {
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("Content-Length", strconv.Itoa(len(data)))
	if r.Method == http.MethodHead {
		return
	}
	_, _ = w.Write(data) // the client may have gone
}

// AcceptsGzip reads Accept-Encoding. What it says of gzip itself outranks what it says
// of all others, wherever either stands.
func AcceptsGzip(header string) bool {
	any := false
	for part := range strings.SplitSeq(header, ",") {
		name, weight, _ := strings.Cut(strings.TrimSpace(part), ";")
		q, err := strconv.ParseFloat(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(weight)), "q="), 64)
		takes := weight == "" || (err == nil && q > 0)
		switch strings.ToLower(strings.TrimSpace(name)) {
		case "gzip":
			return takes
		case "*":
			any = takes
		}
	}
	return any
}

// HasTag reports whether a list of tags (If-Match, If-None-Match) names this one, in
// either of its forms.
func HasTag(list, tag string) bool {
	for part := range strings.SplitSeq(list, ",") {
		part = strings.TrimPrefix(strings.TrimSpace(part), "W/")
		if part == "*" || strings.TrimSuffix(strings.Trim(part, `"`), "-gz") == tag {
			return true
		}
	}
	return false
}
