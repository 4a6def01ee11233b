package api

import (
	"context"
	"net/http"

	"fettle/api/guard"
	"fettle/api/live"
	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// A kind is a row of the table of errors: what went wrong, as a sentence, and what the person can do next.
type kind struct {
	code   string
	status int
	title  string
	detail string
	plain  bool    // what the router means by this status
	of     []error // what is this kind
}

func (k kind) problem() problem {
	return problem{Type: problemPath + k.code, Title: k.title, Status: k.status, Detail: k.detail, Code: k.code}
}

// kinds is the one table of errors. It does not change. The last row is what every other error is shown as.
var kinds = [...]kind{
	{code: "foreign_host", status: http.StatusMisdirectedRequest, title: "This is not the address of the agent",
		detail: "Call it by its own address, by its computer's name with .local behind it, or by a name that its owner has set.",
		of:     []error{guard.ErrForeignHost}},
	{code: "foreign_origin", status: http.StatusForbidden, title: "The request comes from a page of somebody else",
		detail: "Open the agent's own page, or send the request from a script without an Origin.",
		of:     []error{guard.ErrForeignOrigin}},
	{code: "unpaired", status: http.StatusUnauthorized, plain: true, title: "This phone or script is not paired",
		detail: "Pair a phone with the code that the agent shows (agent pair), or send a token (agent token NAME) as Authorization: Bearer.",
		of:     []error{guard.ErrUnpaired, guard.ErrRevoked}},
	{code: "not_allowed", status: http.StatusForbidden, plain: true, title: "This key may look and stop, and nothing else",
		detail: "Pair with the right to operate (agent pair), or make such a token (agent token NAME operate).", of: []error{guard.ErrNotAllowed}},
	{code: "pairing_shut", status: http.StatusForbidden, title: "No phone can be paired now",
		detail: "Open the window at the agent's computer: agent pair. It is open for 10 minutes, for one phone and five tries.", of: []error{guard.ErrShut}},
	{code: "wrong_code", status: http.StatusForbidden, title: "That is not the code",
		detail: "Type the nine digits that the agent shows now. tries_left says how often; then the window shuts."},
	{code: "too_many", status: http.StatusTooManyRequests, plain: true, title: "Too many requests from this address",
		detail: "Wait a second. A stop is never refused for that.", of: []error{guard.ErrTooMany}},
	{code: "token_in_address", status: http.StatusBadRequest, title: "A token or code stands in the address",
		detail: "Send a token as Authorization: Bearer, a code in the body. Addresses are kept in logs and histories.", of: []error{guard.ErrTokenInAddress}},
	{code: "no_access", status: http.StatusNotFound, title: "There is no such phone or token",
		detail: "GET /v1/access lists them.", of: []error{guard.ErrNoKey}},
	{code: "not_json", status: http.StatusUnsupportedMediaType, plain: true, title: "The body is not JSON",
		detail: "Send it as application/json.", of: []error{guard.ErrNotJSON}},
	{code: "malformed", status: http.StatusBadRequest, plain: true, title: "The request cannot be read",
		detail: "Send one JSON value in UTF-8 and nothing behind it. offset says how many bytes of it could be read."},
	{code: "too_large", status: http.StatusRequestEntityTooLarge, plain: true, title: "The body is too large",
		detail: "Send at most 64 KiB."},
	{code: "slow_body", status: http.StatusRequestTimeout, plain: true, title: "The body did not arrive in time",
		detail: "Send it within 10 s."},
	{code: "invalid", status: http.StatusUnprocessableEntity, title: "A field cannot be accepted",
		detail: "Each one is named, with what would be accepted."},
	{code: "bad_query", status: http.StatusBadRequest, title: "A parameter of the address cannot be accepted",
		detail: "Each one is named, with what would be accepted."},
	{code: "bad_key", status: http.StatusBadRequest, title: "The Idempotency-Key cannot be read",
		detail: `Send one of 1 to 128 visible characters, in double quotes: "3f9c1b0a".`},
	{code: "key_reused", status: http.StatusUnprocessableEntity, title: "The Idempotency-Key was spent on another request",
		detail: "Make a new key for each request, and repeat a request unchanged.", of: []error{logbook.ErrKeyReused}},
	{code: "key_running", status: http.StatusConflict, title: "A request with this Idempotency-Key is not settled",
		detail: "Wait a moment and repeat it. If it stays so, look what became of it before you ask again with a new key.",
		of:     []error{logbook.ErrKeyRunning}},
	{code: "key_unknown", status: http.StatusConflict, title: "Nobody knows what became of the request with this Idempotency-Key",
		detail: "The agent was cut off in the middle of it. Look what became of it, then ask again with a new key.",
		of:     []error{logbook.ErrKeyUnknown}},
	{code: "not_found", status: http.StatusNotFound, plain: true, title: "There is nothing here",
		detail: "GET /v1/openapi.yaml lists what there is.", of: []error{logbook.ErrNotFound}},
	{code: "method_not_allowed", status: http.StatusMethodNotAllowed, plain: true, title: "This cannot be asked in that way",
		detail: "The Allow header lists the methods."},
	{code: "no_printer", status: http.StatusNotFound, title: "There is no such printer",
		detail: "GET /v1/printers lists them.", of: []error{runner.ErrNoPrinter}},
	{code: "no_run", status: http.StatusNotFound, title: "There is no such run",
		detail: "GET /v1/runs lists them.", of: []error{runner.ErrNoRun}},
	{code: "no_wire", status: http.StatusNotFound, title: "The run kept no lines of the wire",
		detail: "Only a run that did not finish keeps them. What is said now is in GET /v1/printers/{printer}/wire."},
	{code: "no_routine", status: http.StatusNotFound, title: "There is no such routine",
		detail: "GET /v1/routines lists them.", of: []error{runner.ErrNoRoutine}},
	{code: "no_material", status: http.StatusNotFound, title: "There is no such material",
		detail: "GET /v1/materials lists them.", of: []error{runner.ErrNoMaterial}},
	{code: "no_setup", status: http.StatusConflict, title: "The printer has no setup yet",
		detail: "Say what it is fitted with: PUT /v1/printers/{printer}/setup.", of: []error{runner.ErrNoSetup}},
	{code: "printer_exists", status: http.StatusConflict, title: "A printer with this name or port is there already",
		detail: "Choose another name or port.", of: []error{runner.ErrPrinterExists}},
	{code: "material_exists", status: http.StatusConflict, title: "A material with this id is there already",
		detail: "Choose another id, or change that one: PUT /v1/materials/{material}."},
	{code: "occupied", status: http.StatusConflict, title: "The printer is occupied by a run",
		detail: "Wait until the run has ended, or stop it.", of: []error{runner.ErrOccupied, logbook.ErrRunOpen}},
	{code: "not_listening", status: http.StatusServiceUnavailable, title: "The printer is not listening",
		detail: "Look at the state of its line, which is shown here: plug it in, wait for it, or wake it.", of: []error{runner.ErrNotListening}},
	{code: "nothing_streamed", status: http.StatusConflict, title: "Nothing is being streamed to the printer",
		detail: "Only a program under way can be paused. Stop ends whatever else the printer does for a run.", of: []error{runner.ErrNothingStreamed}},
	{code: "not_asking", status: http.StatusConflict, title: "The run does not ask this",
		detail: "Read the run again: the question has changed, or the run has ended.", of: []error{runner.ErrNotAsking}},
	{code: "answered", status: http.StatusConflict, title: "The question was answered already",
		detail: "The first answer counts. It is shown here as the winner.", of: []error{logbook.ErrAnswered}},
	{code: "someone_else", status: http.StatusConflict, title: "The printer is at work for someone else",
		detail: "It is hot or moving although nobody here asked for it. Let it finish, or stop it at the printer.", of: []error{runner.ErrSomeoneElse}},
	{code: "another_printer", status: http.StatusConflict, title: "Another printer answers on this port",
		detail: "Plug in the one that is meant. If it is the same printer with other firmware, say so: POST /v1/printers/{printer}/same-printer with the mark that is shown here.",
		of:     []error{runner.ErrAnotherPrinter}},
	{code: "not_another", status: http.StatusConflict, title: "No other printer with this mark answers",
		detail: "Read the printer again: it is the one that is meant, or away, or yet another one.", of: []error{runner.ErrNotAnother}},
	{code: "nothing_to_take_back", status: http.StatusConflict, title: "There is no answer to take back",
		detail: "An answer can be taken back until the printer has acted on it.", of: []error{runner.ErrNothingToTakeBack}},
	{code: "nothing_whole", status: http.StatusConflict, title: "The run measured nothing that could be taken over",
		detail: "Begin the routine afresh.", of: []error{runner.ErrNothingWhole}},
	{code: "nothing_to_hand_over", status: http.StatusConflict, title: "No retraction length is known to hand over",
		detail: "Find it first, or type one: POST /v1/printers/{printer}/dockets/{material}/values.", of: []error{runner.ErrNothingToHandOver}},
	{code: "not_running", status: http.StatusServiceUnavailable, title: "The agent is starting or stopping",
		detail: "Repeat the request in a moment.", of: []error{runner.ErrNotRunning, live.ErrClosing}},
	{code: "newer_schema", status: http.StatusServiceUnavailable, title: "The record was written by a newer version",
		detail: "It can be read and not written. Install the newer version.", of: []error{logbook.ErrNewerSchema}},
	{code: "not_a_store", status: http.StatusServiceUnavailable, title: "The record is a file of something else",
		detail: "Give the agent a file of its own.", of: []error{logbook.ErrNotAStore}},
	{code: "store", status: http.StatusServiceUnavailable, title: "The record cannot be kept",
		detail: "Nothing new begins until the store can be written. Look at the disk: is it full, or read-only?", of: []error{logbook.ErrStore}},
	{code: "upgrade_required", status: http.StatusUpgradeRequired, title: "This is a websocket",
		detail: "Ask for an upgrade to websocket.", of: []error{live.ErrNotAsked}},
	{code: "bad_upgrade", status: http.StatusBadRequest, title: "The websocket handshake cannot be read",
		detail: "Ask as RFC 6455 has it, with version 13 and a key.", of: []error{live.ErrHandshake}},
	{code: "too_many_sockets", status: http.StatusServiceUnavailable, title: "Too many listeners are connected",
		detail: "Close some pages and try again.", of: []error{live.ErrFull}},
	{code: "timed_out", status: http.StatusServiceUnavailable, title: "The request took too long or was given up",
		detail: "Look what became of it before you repeat it.", of: []error{context.DeadlineExceeded, context.Canceled}},
	{code: "internal", status: http.StatusInternalServerError, plain: true, title: "The agent made a mistake",
		detail: "It is in the agent's log. Look what became of the request before you repeat it.",
		of:     []error{logbook.ErrRefused}},
}

// kindOf finds a row by its code.
func kindOf(code string) kind {
	for _, k := range kinds {
		if k.code == code {
			return k
		}
	}
	return kinds[len(kinds)-1]
}

// explain answers what a type of problem means.
func explain(c echo.Context) error {
	for _, k := range kinds {
		if k.code == c.Param("code") {
			return send(c, http.StatusOK, map[string]any{"code": k.code, "status": k.status, "title": k.title, "detail": k.detail})
		}
	}
	return errNotFound
}
