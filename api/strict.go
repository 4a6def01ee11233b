package api

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"unicode/utf8"
)

// nesting is how deep a body may be. Ours are three deep.
const nesting = 16

// strict holds a body to what encoding/json lets pass: text behind the value, bytes that are no UTF-8, a name given
// twice (the last one would win), a name in capitals (it would match in any case), and null (it would change nothing).
func strict(body []byte) error {
	if !utf8.Valid(body) {
		return malformedAt(int64(len(body) - len(firstBad(body))))
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	if err := walk(d, "", 0); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return malformedAt(d.InputOffset())
	}
	return nil
}

// malformedAt is a body of which so many bytes could be read.
func malformedAt(offset int64) error { return &fault{code: errMalformed.code, offset: &offset} }

// firstBad is the body from its first byte on that is no UTF-8.
func firstBad(body []byte) []byte {
	for len(body) > 0 {
		r, size := utf8.DecodeRune(body)
		if r == utf8.RuneError && size == 1 {
			break
		}
		body = body[size:]
	}
	return body
}

// walk reads one value, which stands at a JSON pointer.
func walk(d *json.Decoder, at string, depth int) error {
	t, err := d.Token()
	if err != nil || depth > nesting {
		return malformedAt(d.InputOffset())
	}
	switch t {
	case json.Delim('{'):
		err = walkObject(d, at, depth)
	case json.Delim('['):
		for d.More() && err == nil {
			err = walk(d, at+"/-", depth+1)
		}
	case nil:
		if at == "" {
			return malformedAt(d.InputOffset())
		}
		return invalid(fieldFault{Pointer: at, Detail: "is null", Accept: "a value, or leave it out"})
	default:
		return nil
	}
	if err != nil {
		return err
	}
	if _, err := d.Token(); err != nil {
		return malformedAt(d.InputOffset())
	}
	return nil
}

func walkObject(d *json.Decoder, at string, depth int) error {
	seen := map[string]bool{}
	for d.More() {
		t, err := d.Token()
		name, ok := t.(string)
		if err != nil || !ok {
			return malformedAt(d.InputOffset())
		}
		pointer := at + "/" + escapePointer(clip(name))
		if seen[name] {
			return invalid(fieldFault{Pointer: pointer, Detail: "is given twice", Accept: "each name once"})
		}
		if !snake(name) {
			return invalid(fieldFault{Pointer: pointer, Detail: "is not known here", Accept: "names of small letters, digits and _"})
		}
		seen[name] = true
		if err := walk(d, pointer, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func snake(name string) bool {
	for _, b := range []byte(name) {
		if (b < 'a' || b > 'z') && (b < '0' || b > '9') && b != '_' {
			return false
		}
	}
	return name != ""
}

// clip shortens a caller's own word before it is shown to him.
func clip(s string) string {
	const most = 64
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "..."
}

// escapePointer writes a name as a part of a JSON pointer (RFC 6901 section 3).
func escapePointer(name string) string {
	return strings.ReplaceAll(strings.ReplaceAll(name, "~", "~0"), "/", "~1")
}
