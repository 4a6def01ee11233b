package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"reflect"
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
		return decodeFault(err, into)
	}
	return nil
}

// decodeFault says which field cannot be accepted. The decoder names an unknown one in the text of its error only.
func decodeFault(err error, into any) error {
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		if wrong.Field == "" {
			return errMalformed
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
		return invalid(fieldFault{Field: clip(name), Detail: "is not known here", Accept: strings.Join(fieldNames(into), ", ")})
	}
	return errMalformed
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

// fieldNames lists the JSON names of a pointer to a struct.
func fieldNames(into any) []string {
	t := reflect.TypeOf(into).Elem()
	if t.Kind() != reflect.Struct {
		return nil
	}
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
