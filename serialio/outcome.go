package serialio

import (
	"fmt"
	"strings"
)

// errorOf is how an outcome reads to the caller.
func errorOf(e Effect) error {
	switch e.Outcome {
	case Obeyed:
		return nil
	case Refused:
		return &FirmwareError{Text: e.Why}
	case Unsent:
		return because(ErrNotListening, e.Why)
	case BadBlock:
		return ErrBadBlock
	case Stopped:
		return ErrStopped
	case WasHalted:
		return because(ErrHalted, e.Why)
	case Lost:
		return because(ErrUnplugged, e.Why)
	case Restarted:
		return because(ErrRestarted, e.Why)
	case Withdrawn, Unattended:
		return errLeft
	}
	return because(ErrOutOfStep, e.Why)
}

func because(err error, why string) error {
	if why == "" {
		return err
	}
	return fmt.Errorf("%w: %s", err, why)
}

// replyOf copies what the printer said out of the engine's room.
func replyOf(e Effect) Reply {
	r := Reply{Doubtful: e.Doubtful}
	if text := strings.TrimSuffix(string(e.Text), "\n"); text != "" {
		r.Lines = strings.Split(text, "\n")
	}
	return r
}
