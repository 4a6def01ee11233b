package port

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"go.bug.st/serial"
)

// What can go wrong with a port. errors.Is finds them in what Open, Read and Write return.
var (
	ErrMissing      = errors.New("no such port is plugged in")
	ErrOccupied     = errors.New("the port is in use by another program")
	ErrNotPermitted = errors.New("this user may not open the port")
	ErrNotAPort     = errors.New("this is not a serial port")
	ErrBaud         = errors.New("the port cannot run at this speed")
	ErrGone         = errors.New("the port has vanished")
	ErrClosed       = errors.New("the port was closed by us")
)

// inOurTerms says in our words why path could not be opened.
func inOurTerms(path string, err error) error {
	var fault *serial.PortError // a pointer target: a value target does not match
	code := serial.PortErrorCode(-1)
	if errors.As(err, &fault) {
		code = fault.Code()
	}
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENXIO), errors.Is(err, syscall.ENODEV), code == serial.PortNotFound:
		return fmt.Errorf("%w: %w", ErrMissing, err)
	case errors.Is(err, syscall.EBUSY), code == serial.PortBusy:
		return fmt.Errorf("%w: %w", ErrOccupied, err)
	case errors.Is(err, fs.ErrPermission), code == serial.PermissionDenied:
		return fmt.Errorf("%w: %s: %w", ErrNotPermitted, remedy(systemRoots(), path, err), err)
	case code == serial.InvalidSpeed:
		return fmt.Errorf("%w: %w", ErrBaud, err)
	case code == serial.InvalidSerialPort, errors.Is(err, syscall.EISDIR), errors.Is(err, syscall.ENOTTY):
		return fmt.Errorf("%w: %w", ErrNotAPort, err)
	}
	return err
}
