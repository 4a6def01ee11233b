// Package web holds the pages for phone and desk: plain ES modules, one style sheet, no build step.
//
// Owns: the pages' files and the handler that serves them.
// Guarantees: each file comes with its type and an entity tag of its content, without what only a contributor reads, and
// compressed where the browser takes it; nothing is loaded from elsewhere, and no file holds script or style inside HTML.
// Does not do: anything the API does; the pages ask the same API as a script, and hold no rules of the trade.
// Read next: app.mjs (how a page comes about), state.mjs (what is known), shapes/figure.mjs (what a figure is).
package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

//go:embed index.html *.css favicon.svg *.mjs figures/*.mjs pages/*.mjs
var files embed.FS

// types are those of the files, since the system's own list differs from one computer to the next.
var types = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".mjs":  "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
}

// page is a file ready to be sent.
type page struct {
	kind, tag string
	plain     []byte
	packed    []byte // by gzip
}

// Pages serves the pages. A browser keeps them and asks each time whether they are still the same.
func Pages() http.Handler {
	pages, err := load(files)
	if err != nil {
		// The files are part of the program: this cannot come from outside, and the agent still serves its API.
		return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
			http.Error(w, "The pages cannot be read: "+err.Error(), http.StatusInternalServerError)
		})
	}
	return pages
}

// shelf holds each page by its address.
type shelf map[string]page

func load(from fs.FS) (shelf, error) {
	pages := shelf{}
	err := fs.WalkDir(from, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(from, name)
		if err != nil {
			return err
		}
		content, err = lighten(path.Ext(name), content)
		if err != nil {
			return fmt.Errorf("lighten %s: %w", name, err)
		}
		packed, err := pack(content)
		if err != nil {
			return fmt.Errorf("compress %s: %w", name, err)
		}
		sum := sha256.Sum256(content)
		pages["/"+name] = page{types[path.Ext(name)], base64.RawURLEncoding.EncodeToString(sum[:12]), content, packed}
		return nil
	})
	pages["/"] = pages["/index.html"]
	pages["/favicon.ico"] = pages["/favicon.svg"]
	return pages, err
}

func pack(content []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func (s shelf) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		refuse(w, http.StatusMethodNotAllowed, "method_not_allowed", "This cannot be asked in that way")
		return
	}
	p, ok := s[r.URL.Path]
	if !ok {
		refuse(w, http.StatusNotFound, "not_found", "There is nothing here")
		return
	}
	p.send(w, r)
}

// send answers with the file, or that it is the same as the one the browser has.
func (p page) send(w http.ResponseWriter, r *http.Request) {
	body, tag := p.plain, `"`+p.tag+`"`
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	h.Set("Content-Type", p.kind)
	if takesGzip(r) {
		body, tag = p.packed, `"`+p.tag+`-gzip"`
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("ETag", tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}

// refuse answers with problem details, as the API does.
func refuse(w http.ResponseWriter, status int, code, title string) {
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(status)
	fmt.Fprintf(w, `{"type":"/problems/%s","title":%q,"status":%d,"detail":"","code":%q}`+"\n", code, title, status, code)
}

// takesGzip reports whether the browser names gzip and does not refuse it (RFC 9110 12.5.3).
func takesGzip(r *http.Request) bool {
	for part := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(strings.ReplaceAll(part, " ", ""), ";")
		if strings.EqualFold(name, "gzip") {
			return !strings.HasPrefix(weight, "q=0") || strings.Trim(weight, "q=0.") != ""
		}
	}
	return false
}
