package web

import (
	"compress/gzip"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"path"
	"regexp"
	"strings"
	"testing"
)

func get(pages http.Handler, address string, header ...string) *http.Response {
	r := httptest.NewRequest(http.MethodGet, address, nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	pages.ServeHTTP(w, r)
	return w.Result()
}

func bodyOf(t *testing.T, r *http.Response) string {
	t.Helper()
	from := io.Reader(r.Body)
	if r.Header.Get("Content-Encoding") == "gzip" {
		unpacked, err := gzip.NewReader(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		from = unpacked
	}
	body, err := io.ReadAll(from)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

// each walks the files that are served.
func each(t *testing.T, look func(name, content string)) {
	t.Helper()
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := fs.ReadFile(files, name)
		look(name, string(content))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// served is a file as it is meant to be sent.
func served(t *testing.T, name, content string) string {
	t.Helper()
	out, err := lighten(path.Ext(name), []byte(content))
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestEveryFileIsServedWithoutItsComments(t *testing.T) {
	pages := Pages()
	each(t, func(name, content string) {
		light := served(t, name, content)
		if strings.Contains(light, "/**") || strings.Contains(light, "\n// ") || len(light) >= len(content) {
			t.Errorf("%s is as heavy as it was written: %d of %d bytes", name, len(light), len(content))
		}
		for _, encoding := range []string{"", "gzip, br"} {
			r := get(pages, "/"+name, "Accept-Encoding", encoding)
			if r.StatusCode != http.StatusOK || r.Header.Get("Content-Type") != types[path.Ext(name)] || types[path.Ext(name)] == "" {
				t.Errorf("%s: %d as %q", name, r.StatusCode, r.Header.Get("Content-Type"))
			}
			if got := r.Header.Get("Content-Encoding"); got != map[string]string{"": "", "gzip, br": "gzip"}[encoding] {
				t.Errorf("%s for %q: encoded as %q", name, encoding, got)
			}
			if bodyOf(t, r) != light {
				t.Errorf("%s for %q is not the file", name, encoding)
			}
			if again := get(pages, "/"+name, "Accept-Encoding", encoding, "If-None-Match", r.Header.Get("ETag")); again.StatusCode != http.StatusNotModified {
				t.Errorf("%s asked again: %d, want 304 (RFC 9110 13.1.2)", name, again.StatusCode)
			}
		}
	})
	for address, like := range map[string]string{"/": "index.html", "/favicon.ico": "favicon.svg"} {
		if want, _ := fs.ReadFile(files, like); bodyOf(t, get(pages, address)) != served(t, like, string(want)) {
			t.Errorf("%s is not %s", address, like)
		}
	}
}

// RFC 9110 12.5.3: a weight of 0 refuses.
func TestGzipIsTakenAsSaid(t *testing.T) {
	for said, want := range map[string]bool{"gzip": true, "br, gzip;q=0.5": true, "gzip;q=0": false, "gzip; q=0.000": false, "br": false, "": false, "x-gzip": false} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Encoding", said)
		if takesGzip(r) != want {
			t.Errorf("%q: %t, want %t", said, !want, want)
		}
	}
}

func TestWhatIsNotThere(t *testing.T) {
	pages := Pages()
	for _, address := range []string{"/web.go", "/nothing", "/pages/", "/figures", "/..%2fapp.mjs", "/test/state.test.mjs", "//app.mjs"} {
		if r := get(pages, address); r.StatusCode != http.StatusNotFound || r.Header.Get("Content-Type") != "application/problem+json" {
			t.Errorf("%s: %d %s", address, r.StatusCode, r.Header.Get("Content-Type"))
		}
	}
	w := httptest.NewRecorder()
	pages.ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/", strings.NewReader("{}")))
	if w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") != "GET, HEAD" {
		t.Errorf("POST: %d, Allow %q", w.Code, w.Header().Get("Allow"))
	}
}

// What a printer or a person says goes into the page as text alone, and the policy of the API holds: no file makes markup
// of text, runs text as script, loads from elsewhere or uses what is not there on plain HTTP.
func TestFilesKeepToThePolicy(t *testing.T) {
	never := regexp.MustCompile(`innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|setAttribute\('style|` +
		`randomUUID|crypto\.subtle|navigator\.(wakeLock|clipboard|serviceWorker)|style="|<style|\son\w+="|javascript:`)
	elsewhere := regexp.MustCompile(`(https?:)?//[a-z0-9]`)
	script := regexp.MustCompile(`<script[^>]*>[^<]`)
	each(t, func(name, content string) {
		if found := never.FindString(content); found != "" {
			t.Errorf("%s has %q", name, found)
		}
		plain := strings.NewReplacer("http://www.w3.org/2000/svg", "").Replace(content)
		if found := elsewhere.FindString(plain); found != "" {
			t.Errorf("%s names another place: %q", name, found)
		}
		if found := script.FindString(content); found != "" {
			t.Errorf("%s has script inside: %q", name, found)
		}
	})
}

func TestModulesAreAllThere(t *testing.T) {
	imports := regexp.MustCompile(`(?m)^(?:import|export) .*from '([^']+)'|^import '([^']+)'`)
	used := map[string]bool{"app.mjs": true}
	each(t, func(name, content string) {
		for _, m := range imports.FindAllStringSubmatch(content, -1) {
			to := path.Join(path.Dir(name), m[1]+m[2])
			if _, err := fs.Stat(files, to); err != nil {
				t.Errorf("%s imports %s, which is not served", name, to)
			}
			used[to] = true
		}
	})
	each(t, func(name, content string) {
		if path.Ext(name) == ".mjs" && !used[name] {
			t.Errorf("nothing imports %s", name)
		}
		if lines := strings.Count(content, "\n"); lines > 300 {
			t.Errorf("%s has %d lines, more than 300", name, lines)
		}
	})
}

// A phone at the edge of the Wi-Fi loads the pages in a few seconds.
func TestPagesAreSmall(t *testing.T) {
	total, pages := 0, Pages().(shelf)
	each(t, func(name, _ string) { total += len(pages["/"+name].packed) })
	t.Logf("%d bytes in all, compressed", total)
	if total > 150_000 {
		t.Errorf("the pages have %d bytes compressed, more than 150,000", total)
	}
}
