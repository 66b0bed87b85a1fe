package pages

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"html/template"
	"mime"
	"net/http"
	"strings"
)

// document is one answer; a status of 0 is 200.
type document struct {
	mediaType string
	body      []byte
	status    int
	forever   bool   // never changes at its address
	passing   bool   // is not to be shown again without being asked for
	to        string // where to go instead, with status 303
	name      string // of the file that it is saved as; empty where it is shown
}

// addressPlace stands in a page for the address that it was asked for at, which
// only its answer knows.
const addressPlace = "\uE000address\uE000"

// addressed writes the address into a page.
func addressed(page []byte, r *http.Request) []byte {
	return bytes.ReplaceAll(page, []byte(addressPlace), []byte(template.HTMLEscapeString(r.Host+r.URL.RequestURI())))
}

// smallest is the length from which on a body is worth compressing, in bytes.
const smallest = 1000

// respond sends a document: compressed where that is asked for and worth it, and
// not at all where the reader has it already.
func (s *site) respond(w http.ResponseWriter, r *http.Request, d document) {
	d.body = addressed(d.body, r)
	h := w.Header()
	if d.mediaType != "" {
		h.Set("Content-Type", d.mediaType)
	}
	h.Set("Cache-Control", "no-cache")
	h.Add("Vary", "Accept-Encoding")
	if d.forever {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	switch {
	case d.to != "":
		h.Set("Location", d.to)
		h.Set("Cache-Control", "no-store")
	case d.passing:
		h.Set("Cache-Control", "no-store")
	}
	if d.name != "" {
		h.Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": d.name}))
	}
	status := cmp.Or(d.status, http.StatusOK)
	if status == http.StatusServiceUnavailable {
		h.Set("Retry-After", retryAfter)
	}
	if status == http.StatusOK && r.Method != http.MethodPost && !d.passing {
		sum := sha256.Sum256(d.body)
		tag := `W/"` + hex.EncodeToString(sum[:12]) + `"` // weak: compressed or not
		h.Set("ETag", tag)
		if r.Header.Get("If-None-Match") == tag {
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	body := d.body
	if len(body) >= smallest && d.mediaType != "image/png" && takesGzip(r) {
		body = compressed(body)
		h.Set("Content-Encoding", "gzip")
	}
	w.WriteHeader(status)
	if _, err := w.Write(body); err != nil {
		s.config.Log.Debug("a page was not taken", "error", err)
	}
}

func takesGzip(r *http.Request) bool {
	for one := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		if name, weight, _ := strings.Cut(strings.TrimSpace(one), ";"); name == "gzip" {
			return strings.Trim(strings.TrimPrefix(strings.ReplaceAll(weight, " ", ""), "q="), "0.") != "" || weight == ""
		}
	}
	return false
}

func compressed(body []byte) []byte {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, _ = z.Write(body) // a buffer takes everything
	_ = z.Close()
	return out.Bytes()
}
