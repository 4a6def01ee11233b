package port

import (
	"errors"
	"fmt"
	"syscall"
)

// A Line is one of the two wires that a port drives beside its data.
type Line string

// The lines that can be lowered. Many boards restart when DTR goes from low to high, some when RTS does (common
// practice, no source).
const (
	DTR Line = "DTR"
	RTS Line = "RTS"
)

// modem is what drives them.
type modem interface {
	SetDTR(bool) error
	SetRTS(bool) error
}

// lower lowers lines. Linux raises both when a port is opened, before any program can lower them (tty_port_open in
// drivers/tty/tty_port.c), so a board still sees a pulse as long as a few system calls take. A port that has no such lines, as a
// pseudo-terminal, has nothing to lower.
func lower(m modem, low []Line) error {
	for _, line := range low {
		set := m.SetDTR
		if line == RTS {
			set = m.SetRTS
		}
		if err := set(false); err != nil && !errors.Is(err, syscall.ENOTTY) && !errors.Is(err, syscall.EINVAL) {
			return fmt.Errorf("lower %s: %w", line, err)
		}
	}
	return nil
}
