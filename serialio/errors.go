package serialio

import "errors"

// How a line can end other than obeyed. Where the line was already sent its fate may be unknown: it may have been
// obeyed all the same with ErrStopped, ErrHalted, ErrUnplugged, ErrRestarted and ErrOutOfStep.
var (
	ErrUnplugged    = errors.New("the port is gone")
	ErrStopped      = errors.New("stopped")
	ErrHalted       = errors.New("the printer is halted")
	ErrOutOfStep    = errors.New("out of step: whether the printer obeyed is not known")
	ErrRestarted    = errors.New("the printer restarted itself")
	ErrNotListening = errors.New("the line is not listening; nothing was sent")
	ErrBadBlock     = errors.New("not one printed block; nothing was sent")
)

// FirmwareError is an error with which the printer answered a line that reached it whole.
type FirmwareError struct{ Text string }

func (e *FirmwareError) Error() string { return "the printer answered: " + e.Text }
