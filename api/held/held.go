// Package held holds a server to openapi.yaml: whatever a test asks and is answered must be what the document says.
//
// Owns: nothing that a program runs; it is for tests alone, of this repository's other packages too.
// Guarantees: an answer that is not declared, in status, content type, field or form, fails the test; so does a request
// that the document does not allow and the server accepts.
// Does not do: judge what is outside /v1, or the messages of a websocket, but for Message.
// Read next: api/openapi.yaml.
package held

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"fettle/api"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
)

// Document reads openapi.yaml and checks it against the rules of OpenAPI 3.1.
func Document(t testing.TB) *openapi3.T {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document())
	if err != nil {
		t.Fatalf("read openapi.yaml: %v", err)
	}
	if err := doc.Validate(context.Background()); err != nil {
		t.Fatalf("openapi.yaml is not sound: %v", err)
	}
	return doc
}

// Hold puts the document around a handler. Faults fail t, so that t must outlive the requests.
func Hold(t testing.TB, next http.Handler) http.Handler {
	t.Helper()
	router, err := legacy.NewRouter(Document(t))
	if err != nil {
		t.Fatalf("route openapi.yaml: %v", err)
	}
	// The library keeps its decoders in one table for the process; setting the same one again changes nothing.
	openapi3filter.RegisterBodyDecoder("application/jsonl", decodeLines)
	openapi3filter.RegisterBodyDecoder("application/yaml", decodeNothing)
	openapi3filter.RegisterBodyDecoder("text/csv", decodeText)
	openapi3filter.RegisterBodyDecoder("text/x-gcode", decodeText)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := holding{TB: t, router: router}
		h.serve(w, r, next)
	})
}

type holding struct {
	testing.TB
	router routers.Router
}

func (h holding) serve(w http.ResponseWriter, r *http.Request, next http.Handler) {
	asked := h.ask(r)
	seen := &recorder{ResponseWriter: w}
	next.ServeHTTP(seen, r)
	if seen.hijacked {
		seen.status = http.StatusSwitchingProtocols
	}
	what := fmt.Sprintf("%s %s -> %d", r.Method, r.URL, seen.status)
	outside := asked.input == nil && !strings.HasPrefix(r.URL.Path, "/v1/")
	if asked.err != nil && seen.status < 400 && !outside {
		h.Errorf("%s: accepted, but the document does not allow it: %v", what, asked.err)
	}
	if asked.input == nil {
		if strings.HasPrefix(r.URL.Path, "/v1/") && !undeclared(seen.status) {
			h.Errorf("%s: the document has no such route", what)
		}
		return
	}
	if err := answered(asked.input, seen); err != nil {
		h.Errorf("%s: %v\n%s", what, err, seen.body.Bytes())
	}
}

// undeclared reports whether a status may be given where there is no route to declare it.
func undeclared(status int) bool {
	switch status {
	case http.StatusNotFound, http.StatusMethodNotAllowed, http.StatusForbidden, http.StatusUnsupportedMediaType,
		http.StatusBadRequest, http.StatusUnauthorized, http.StatusTooManyRequests, http.StatusMisdirectedRequest, http.StatusNoContent: // OPTIONS
		return true
	}
	return false
}

type request struct {
	input *openapi3filter.RequestValidationInput
	err   error
}

// ask judges a request, and leaves its body to be read again.
func (h holding) ask(r *http.Request) request {
	var body []byte
	if r.Body != nil {
		body, _ = io.ReadAll(io.LimitReader(r.Body, 1<<20)) // what cannot be read is the server's to refuse
	}
	twin := r.Clone(r.Context())
	twin.Body = io.NopCloser(bytes.NewReader(body))
	r.Body = struct {
		io.Reader
		io.Closer
	}{io.MultiReader(bytes.NewReader(body), r.Body), r.Body}
	if len(body) == 0 {
		r.Body, twin.Body = http.NoBody, http.NoBody
	}
	route, params, err := h.router.FindRoute(twin)
	if err != nil {
		return request{err: err}
	}
	input := &openapi3filter.RequestValidationInput{Request: twin, PathParams: params, Route: route, Options: options()}
	return request{input, openapi3filter.ValidateRequest(r.Context(), input)}
}

func answered(asked *openapi3filter.RequestValidationInput, seen *recorder) error {
	input := &openapi3filter.ResponseValidationInput{RequestValidationInput: asked, Status: seen.status, Header: seen.Header(), Options: options()}
	input.SetBodyBytes(seen.body.Bytes())
	return openapi3filter.ValidateResponse(context.Background(), input)
}

// options are those of both inputs: without IncludeResponseStatus in both, an undeclared status passes.
func options() *openapi3filter.Options {
	return &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true}
}

// Message holds one JSON value, such as a message of a websocket, to a schema of the document.
func Message(t testing.TB, schema string, raw []byte) {
	t.Helper()
	ref := Document(t).Components.Schemas[schema]
	if ref == nil {
		t.Fatalf("openapi.yaml has no schema %s", schema)
	}
	var v any
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Errorf("%s: %v: %s", schema, err, raw)
		return
	}
	if err := ref.Value.VisitJSON(v, openapi3.EnableJSONSchema2020(), openapi3.MultiErrors()); err != nil {
		t.Errorf("%s: %v: %s", schema, err, raw)
	}
}

// decodeLines reads JSON lines as a list.
func decodeLines(body io.Reader, _ http.Header, _ *openapi3.SchemaRef, _ openapi3filter.EncodingFn) (any, error) {
	all := []any{}
	for d := json.NewDecoder(body); ; {
		var v any
		if err := d.Decode(&v); errors.Is(err, io.EOF) {
			return all, nil
		} else if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
}

func decodeText(body io.Reader, _ http.Header, _ *openapi3.SchemaRef, _ openapi3filter.EncodingFn) (any, error) {
	raw, err := io.ReadAll(body)
	return string(raw), err
}

func decodeNothing(io.Reader, http.Header, *openapi3.SchemaRef, openapi3filter.EncodingFn) (any, error) {
	return map[string]any{}, nil
}
