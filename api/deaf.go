package api

import (
	"context"
	"errors"

	"fettle/routines/runner"
)

// A deafError is a printer that does not listen, with its line as it stood when that was found out.
type deafError struct {
	line runner.LineView
	err  error
}

func (e *deafError) Error() string { return e.err.Error() }
func (e *deafError) Unwrap() error { return e.err }

// lineShown is why a printer does not listen: its state, our own reason, and the firmware's words where it stopped itself.
type lineShown struct {
	State string `json:"state"`
	Why   string `json:"why,omitempty"`
	Fault string `json:"fault,omitempty"`
}

// deaf adds to an error that says so why the printer does not listen. A line that listens meanwhile has no reason to show.
func (s *Server) deaf(ctx context.Context, printer string, err error) error {
	if !errors.Is(err, runner.ErrNotListening) {
		return err
	}
	p, looking := s.Runner.Printer(context.WithoutCancel(ctx), printer)
	if looking != nil || remedy(p.Line.State) == "" {
		return err
	}
	return &deafError{line: p.Line, err: err}
}

func (e *deafError) problem() problem {
	p := kindOf("not_listening").problem()
	p.Detail = "It is " + e.line.State + ": " + remedy(e.line.State)
	p.Line = &lineShown{State: e.line.State, Fault: e.line.Fault}
	if e.line.State != "unplugged" { // that reason may be in words of the system
		p.Line.Why = e.line.Why
	}
	return p
}

// remedy is what a person can do about a line in that state; empty for one that listens.
func remedy(state string) string {
	switch state {
	case "unplugged":
		return "plug it in and switch it on. GET /v1/printers/{printer} says what was found at its port."
	case "greeting":
		return "wait until it listens."
	case "out of step":
		return "look at the machine, then wake the line: POST /v1/printers/{printer}/wake."
	case "halted":
		return "find the cause, switch the printer off and on, then wake the line: POST /v1/printers/{printer}/wake."
	}
	return ""
}
