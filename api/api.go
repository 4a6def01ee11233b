// Package api is the HTTP door: REST over the runner and the logbook, strict about what comes in and the same for page
// and script.
//
// Owns: the route table, the table of errors, Idempotency-Key, openapi.yaml, and the HTTP server with its limits.
// Guarantees: every error is RFC 9457 problem details with a text of the table; a stop touches no store and waits for
// nothing; what a key was spent on is not done a second time; Serve ends only when all it started has ended.
// Does not do: rules of the trade, anything on a serial line; who may come in is guard's. echo is imported here and
// nowhere else.
// Read next: routes.go for what there is, kinds.go for what can go wrong, guard for the door, live for the websockets.
package api

import (
	"context"
	"crypto/tls"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"

	"fettle/api/guard"
	"fettle/api/live"
	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// Config is what a Server is made of.
type Config struct {
	Version  string // of the program
	Build    string // what it was built from
	Runner   Runner
	Book     Book
	Ports    Ports
	Routines []routines.Routine
	Log      *slog.Logger
	// Guard is the door. Nil is one that lets everybody in on this computer: Serve then refuses any other listener.
	Guard *guard.Guard
	// TLS is for the listeners; nil for plain HTTP.
	TLS *tls.Config
	// Fingerprint of the certificate in TLS, as a person compares it.
	Fingerprint string
	// Pages answers what is outside the API. Nil where there are no pages.
	Pages http.Handler
	// Look answers GET /v1/demo/look: what a person would see at a stand-in. Nil outside the demo.
	Look func(ctx context.Context, at Looking) (any, error)
}

// Looking is how a person looks at a stand-in of the demo.
type Looking struct {
	Printer string // "": the first
	Gauge   string // of the feed check, or an eye for what lies on the bed
	Truth   bool   // what is truly there is said, too
}

// Runner is what is asked of the runner.
type Runner interface {
	Runs
	Stops
	Printers
	Dockets
	// Changed is closed when a reading, a line or a run changes next.
	Changed() <-chan struct{}
}

// Runs are executions of routines.
type Runs interface {
	Begin(context.Context, runner.Order) (runner.RunView, error)
	View(ctx context.Context, run string) (runner.RunView, error)
	Views(ctx context.Context, printer string) ([]runner.RunView, error)
	Await(ctx context.Context, run string, until []string) (runner.RunView, error)
	Answer(ctx context.Context, run string, question int64, answer json.RawMessage, who string) (runner.RunView, error)
	TakeBack(ctx context.Context, run, who string) (runner.RunView, error)
}

// Stops take no context: none of them waits, for a lock or a store or a queue.
type Stops interface {
	Stop(printer, who string) error
	Halt(printer, who string) error
	Pause(printer, who string) error
	Wake(printer, who string) error
}

// Printers are what the runner knows of the machines.
type Printers interface {
	AddPrinter(ctx context.Context, p logbook.Printer, who string) (runner.PrinterView, error)
	Printer(ctx context.Context, id string) (runner.PrinterView, error)
	Printers(ctx context.Context) ([]runner.PrinterView, error)
	SamePrinter(ctx context.Context, printer, mark, who string) (runner.PrinterView, error)
	SetSetup(ctx context.Context, printer string, s routines.Setup, who string) (routines.Setup, error)
	SetMaterial(ctx context.Context, m routines.Material, who string) (routines.Material, error)
	Line(ctx context.Context, printer, line string, attended bool, who string) ([]string, error)
	Wire(printer string) (runner.Wire, error)
}

// Book is what is read from the logbook, and where the keys of requests are kept.
type Book interface {
	live.Book
	Keys
	Boot() string
	Materials(context.Context) ([]routines.Material, error)
	Material(ctx context.Context, id string) (routines.Material, error)
	Entries(context.Context, logbook.Filter) ([]logbook.Entry, error)
	WireTail(ctx context.Context, run string) ([]byte, error)
}

// Keys remember what a request with an Idempotency-Key was answered.
type Keys interface {
	Claim(ctx context.Context, key, fingerprint string) (logbook.Claim, error)
	Settle(ctx context.Context, key string, status int, contentType string, body []byte) error
	Release(ctx context.Context, key string) error
}

// Ports lists what is plugged in.
type Ports interface {
	List(context.Context) (Plugged, error)
	// Changed is closed when a port is plugged in or vanishes next.
	Changed() <-chan struct{}
}

// Server is the API. It may serve several listeners at once.
type Server struct {
	Config
	echo    *echo.Echo
	hub     *live.Hub
	gate    gate
	presses presses
	// stopping ends what waits of its own accord: long-polls and streams. life ends everything else, later.
	stopping, life context.Context
	stop, end      context.CancelFunc
}

// New makes a Server and starts nothing.
func New(c Config) *Server {
	if c.Guard == nil {
		c.Guard = guard.New(guard.Config{Log: c.Log})
	}
	s := &Server{Config: c, echo: echo.New(), hub: live.New(live.Config{Book: c.Book, Bench: c.Runner, Log: c.Log})}
	s.stopping, s.stop = context.WithCancel(context.Background())
	s.life, s.end = context.WithCancel(context.Background())
	s.gate.idle = make(chan struct{})
	s.echo.HTTPErrorHandler = func(err error, c echo.Context) {
		if c.Response().Committed {
			return
		}
		if s.Guard.Allow(c.Request(), guard.Watch) != nil && outside(err) {
			err = guard.ErrUnpaired // what there is here is nobody's business who may not look
		}
		s.refuse(c.Response(), c.Request(), err)
	}
	for _, r := range s.routes() {
		s.mount(r)
	}
	return s
}

// outside reports whether an error is the router's own: there is no such route.
func outside(err error) bool {
	var e *echo.HTTPError
	return errors.As(err, &e)
}

// who names the person or script behind a request.
func who(c echo.Context) string { return guard.From(c.Request().Context()).Name }
