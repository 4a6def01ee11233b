package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"strconv"
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
		return fmt.Errorf("%w: %s: %w", ErrNotPermitted, remedy(path), err)
	case code == serial.InvalidSpeed:
		return fmt.Errorf("%w: %w", ErrBaud, err)
	case code == serial.InvalidSerialPort, errors.Is(err, syscall.EISDIR), errors.Is(err, syscall.ENOTTY):
		return fmt.Errorf("%w: %w", ErrNotAPort, err)
	}
	return err
}

// remedy says what a person can do to be let in: which group owns the device, or that no rule gave it to a group.
func remedy(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return "its owner cannot be read"
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return "its owner cannot be read"
	}
	return remedyFor(groupName(owner.Gid), info.Mode().Perm(), owner.Gid)
}

func remedyFor(group string, mode fs.FileMode, gid uint32) string {
	const groupMayReadAndWrite = 0o060
	if gid == 0 || mode&groupMayReadAndWrite != groupMayReadAndWrite {
		return fmt.Sprintf("no udev rule gives it to a group (it belongs to group %s with mode %#o); install the rule that comes with this program and plug it in again", group, mode)
	}
	return fmt.Sprintf("it belongs to group %s; add this user to that group and log in again", group)
}

func groupName(gid uint32) string {
	id := strconv.FormatUint(uint64(gid), 10)
	g, err := user.LookupGroupId(id)
	if err != nil {
		return id
	}
	return g.Name
}
