package web

import (
	"github.com/tdewolff/minify/v2"
	"github.com/tdewolff/minify/v2/css"
	"github.com/tdewolff/minify/v2/html"
	"github.com/tdewolff/minify/v2/js"
	"github.com/tdewolff/minify/v2/svg"
)

// lighten takes out of a file what a browser has no use for: comments, types, air. The files are written for those who
// read them, and are carried over a workshop's Wi-Fi.
func lighten(ext string, content []byte) ([]byte, error) {
	m := minify.New()
	m.Add(".html", &html.Minifier{KeepDocumentTags: true, KeepEndTags: true, KeepQuotes: true})
	m.AddFunc(".css", css.Minify)
	m.AddFunc(".mjs", js.Minify)
	m.AddFunc(".svg", svg.Minify)
	return m.Bytes(ext, content)
}
