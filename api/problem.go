package api

import (
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"time"

	"fettle/api/guard"
	"fettle/routines"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// problemPath is where the types of problems are explained.
const problemPath = "/problems/"

// problem is RFC 9457 problem details. All its texts are of the table in kinds.go, or about the caller's own fields.
type problem struct {
	Type   string       `json:"type"`
	Title  string       `json:"title"`
	Status int          `json:"status"`
	Detail string       `json:"detail"`
	Code   string       `json:"code"`
	Errors []fieldFault `json:"errors,omitempty"`
	Winner *winner      `json:"winner,omitempty"`
	// TriesLeft says how often a pairing code may be tried again.
	TriesLeft *int `json:"tries_left,omitempty"`
	// Line says why a printer does not listen.
	Line *lineShown `json:"line,omitempty"`
	// AnotherPrinter is who answers in place of the one that is meant.
	AnotherPrinter *runner.AnotherPrinter `json:"another_printer,omitempty"`
	// Offset is how many bytes of a malformed body could be read.
	Offset *int64 `json:"offset,omitempty"`
}

// fieldFault is one field that cannot be accepted, and what would be.
type fieldFault struct {
	Pointer string `json:"pointer,omitempty"` // JSON pointer into the body (RFC 6901)
	Field   string `json:"field,omitempty"`   // its name, where it is a parameter of the address
	Detail  string `json:"detail"`
	Accept  string `json:"accept"`
}

// winner is the answer that came first.
type winner struct {
	Question int64           `json:"question"`
	Answer   json.RawMessage `json:"answer"`
	Who      string          `json:"who,omitempty"`
}

// A fault is an error that arises in this package.
type fault struct {
	code   string
	fields []fieldFault
	offset *int64 // of a malformed body
}

func (f *fault) Error() string { return f.code }

// Is compares by code, so that the errors below can be asked for.
func (f *fault) Is(target error) bool {
	other, ok := target.(*fault)
	return ok && other.code == f.code
}

// Errors without a field.
var (
	errMalformed      = &fault{code: "malformed"}
	errTooLarge       = &fault{code: "too_large"}
	errSlowBody       = &fault{code: "slow_body"}
	errBadKey         = &fault{code: "bad_key"}
	errNoWire         = &fault{code: "no_wire"}
	errNotFound       = &fault{code: "not_found"}
	errMaterialExists = &fault{code: "material_exists"}
	errStopping       = &fault{code: "not_running"}
	errInternal       = &fault{code: "internal"}
)

// refuse answers with a problem.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	p := problemOf(err)
	if p.Status >= http.StatusInternalServerError && r.Context().Err() == nil {
		s.Log.Error("request failed", "method", r.Method, "path", r.URL.Path, "code", p.Code, "err", err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/problem+json")
	h.Set("Cache-Control", "no-store")
	switch p.Code {
	case "upgrade_required":
		h.Set("Upgrade", "websocket")
	case "slow_body":
		h.Set("Connection", "close")
	case "not_running", "key_running", "too_many":
		h.Set("Retry-After", "1")
	case "unpaired":
		h.Set("WWW-Authenticate", `Bearer realm="fettle"`) // RFC 9110 section 11.6.1, RFC 6750 section 3
	}
	body, err := json.Marshal(p)
	if err != nil {
		s.Log.Error("print a problem", "err", err)
		return
	}
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(answerTimeout)) // not every writer has one
	w.WriteHeader(p.Status)
	_, _ = w.Write(append(body, '\n')) // a client that went away is told nothing
}

// problemOf finds the row of the table for an error.
func problemOf(err error) problem {
	var mine *fault
	var field *routines.FieldError
	var answered *runner.AnsweredError
	var wrong *guard.WrongCodeError
	var deaf *deafError
	var another *runner.AnotherPrinterError
	switch {
	case errors.As(err, &mine):
		p := kindOf(mine.code).problem()
		p.Errors, p.Offset = mine.fields, mine.offset
		return p
	case errors.As(err, &field):
		p := kindOf("invalid").problem()
		p.Errors = []fieldFault{faultOf(field, nil)}
		return p
	case errors.As(err, &answered):
		p := kindOf("answered").problem()
		e := answered.Winner
		p.Winner = &winner{Question: e.Question, Answer: e.Body, Who: e.Who}
		return p
	case errors.As(err, &wrong):
		p := kindOf("wrong_code").problem()
		p.TriesLeft = &wrong.TriesLeft
		return p
	case errors.As(err, &deaf):
		return deaf.problem()
	case errors.As(err, &another):
		p := kindOf("another_printer").problem()
		p.AnotherPrinter = &another.AnotherPrinter
		return p
	}
	return kindOf(codeOf(err)).problem()
}

// codeOf finds the code of an error that carries nothing to show.
func codeOf(err error) string {
	for _, k := range kinds {
		for _, known := range k.of {
			if errors.Is(err, known) {
				return k.code
			}
		}
	}
	var outside *echo.HTTPError
	if errors.As(err, &outside) {
		for _, k := range kinds {
			if k.plain && k.status == outside.Code {
				return k.code
			}
		}
	}
	return "internal"
}

// within makes a pointer of a field's name: "tube.bore_mm" is in an inner object, "before[0]" is the first of a list.
var within = strings.NewReplacer(".", "/", "[", "/", "]", "")

// faultOf shows a field error; place says where in the body the field is, and is nil where its name says it.
func faultOf(e *routines.FieldError, place func(field string) string) fieldFault {
	pointer := "/" + within.Replace(escapePointer(e.Field))
	if place != nil {
		pointer = place(e.Field)
	}
	return fieldFault{Pointer: pointer, Detail: e.Detail, Accept: e.Accept}
}

// inBody turns what a person can mend in the body of a request into a fault of that field: a name that stands for
// nothing, or a field within an inner object.
func inBody(err error, place func(field string) string, named map[error]string) error {
	var field *routines.FieldError
	if errors.As(err, &field) {
		return &fault{code: "invalid", fields: []fieldFault{faultOf(field, place)}}
	}
	for known, name := range named {
		if errors.Is(err, known) {
			k := kindOf(codeOf(known))
			return &fault{code: "invalid", fields: []fieldFault{{Pointer: "/" + name, Detail: k.title, Accept: k.detail}}}
		}
	}
	return err
}
