package runner

import (
	"errors"
	"fmt"

	"fettle/routines/logbook"
)

// What can be wrong with what was asked of the runner. Bad input is a *routines.FieldError.
var (
	ErrNoPrinter         = errors.New("there is no such printer")
	ErrNoRun             = errors.New("there is no such run")
	ErrNoRoutine         = errors.New("there is no such routine")
	ErrNoMaterial        = errors.New("there is no such material")
	ErrNoSetup           = errors.New("the printer has no setup yet")
	ErrPrinterExists     = errors.New("a printer with this name or port is there already")
	ErrOccupied          = errors.New("the printer is occupied by a run")
	ErrNotListening      = errors.New("the printer is not listening")
	ErrNotAsking         = errors.New("the run does not ask this")
	ErrSomeoneElse       = errors.New("the printer is at work for someone else")
	ErrNothingToTakeBack = errors.New("there is no answer to take back")
	ErrNothingWhole      = errors.New("the run measured nothing that could be taken over")
	ErrNothingStreamed   = errors.New("nothing is being streamed to the printer")
	ErrAnotherPrinter    = errors.New("another printer answers on this port")
	ErrNotAnother        = errors.New("no such other printer answers on this port")
	ErrNothingToHandOver = errors.New("no retraction length is known to hand over")
	ErrNotRunning        = errors.New("the agent is starting or stopping")
)

// Why a run was ended from outside. Each is the cause of the run's context.
var (
	errStopPressed = errors.New("stopped")
	errHaltPressed = errors.New("halted")
	errShutdown    = errors.New("the agent was shut down")
	errGone        = errors.New("the agent went away in the middle of the run")
	errTakenBack   = errors.New("an answer was taken back")
)

// What can be wrong with a program under way.
var (
	errAwayHeld     = errors.New("the line was away while the program was held, and its place is lost")
	errNotForMotion = errors.New("the program heats or moves, and the act says that it only looks")
)

// AnsweredError says that somebody else answered the question first, and what.
type AnsweredError struct {
	Winner logbook.Event
}

func (e *AnsweredError) Error() string {
	who := e.Winner.Who
	if who == "" {
		who = "somebody"
	}
	return fmt.Sprintf("question %d was answered already by %s: %s", e.Winner.Question, who, e.Winner.Body)
}
