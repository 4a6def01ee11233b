package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

// bodyLimit is the largest body, bytes.
const bodyLimit = 64 << 10

// whole reads the body before the handler does, within its limits of size and time, so that a key can be spent on it.
// The time limit was set at the edge and is lifted once the body is there, or it would end a request that takes long.
func (s *Server) whole(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		body, err := io.ReadAll(http.MaxBytesReader(c.Response(), r.Body, bodyLimit))
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			return errTooLarge
		case errors.Is(err, os.ErrDeadlineExceeded):
			return errSlowBody
		case err != nil:
			return errMalformed
		}
		_ = http.NewResponseController(c.Response()).SetReadDeadline(time.Time{}) // not every connection has one
		r.Body = io.NopCloser(bytes.NewReader(body))
		return next(c)
	}
}

// decode reads the body as one JSON object with the fields of into, and nothing besides.
func decode(c echo.Context, into any) error {
	body, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return errMalformed
	}
	if err := strict(body); err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return decodeFault(err, body, into)
	}
	return nil
}

// decodeFault says which field cannot be accepted. The decoder names an unknown one in the text of its error only, and does
// not say where it stands.
func decodeFault(err error, body []byte, into any) error {
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		if wrong.Field == "" {
			return malformedAt(wrong.Offset)
		}
		pointer := ""
		for name := range strings.SplitSeq(wrong.Field, ".") {
			pointer += "/" + escapePointer(name)
		}
		kind, _, _ := strings.Cut(wrong.Value, " ") // "number 1e999" is a number
		return invalid(fieldFault{Pointer: pointer, Detail: "is a JSON " + kind, Accept: accepts(wrong.Type)})
	}
	if quoted, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		name, err := strconv.Unquote(quoted)
		if err != nil {
			name = quoted
		}
		at, names := unknownIn(body, reflect.TypeOf(into).Elem(), name, "")
		return invalid(fieldFault{Pointer: at, Detail: "is not known here", Accept: strings.Join(names, ", ")})
	}
	return errMalformed
}

// unknownIn finds where a name stands that the type has no field for, and the names it has there. An empty pointer is the
// whole body (RFC 6901).
func unknownIn(body []byte, t reflect.Type, name, at string) (pointer string, names []string) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	var given map[string]json.RawMessage
	if t.Kind() != reflect.Struct || json.Unmarshal(body, &given) != nil {
		return "", nil
	}
	names = namesOf(t)
	if _, there := given[name]; there && !slices.Contains(names, name) {
		return at + "/" + escapePointer(clip(name)), names
	}
	for i, inner := range names {
		if pointer, known := unknownIn(given[inner], t.Field(i).Type, name, at+"/"+inner); pointer != "" {
			return pointer, known
		}
	}
	return "", names
}

func invalid(f ...fieldFault) error { return &fault{code: "invalid", fields: f} }

// missing is the fault of a field that must be there.
func missing(name, accept string) fieldFault {
	return fieldFault{Pointer: "/" + name, Detail: "is missing", Accept: accept}
}

func accepts(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "a text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int, reflect.Int64:
		return "a whole number"
	case reflect.Float64:
		return "a number"
	case reflect.Slice:
		return "a list"
	}
	return "an object"
}

// namesOf lists the JSON names of a struct.
func namesOf(t reflect.Type) []string {
	var names []string
	for f := range t.Fields() {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		names = append(names, name)
	}
	return names
}

// send answers with JSON. It does not wait longer than answerTimeout for a client to take it in.
func send(c echo.Context, status int, v any) error {
	_ = http.NewResponseController(c.Response()).SetWriteDeadline(time.Now().Add(answerTimeout)) // not every writer has one
	return c.JSON(status, v)
}
