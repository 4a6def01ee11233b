package standin

import (
	"encoding/binary"
	"fmt"
	"sync/atomic"

	"golang.org/x/sys/unix"
)

// A pseudo-terminal has no DTR line. What stands in for it is the opening of the host's end, which the kernel tells in
// exact order, however quickly a host closes and opens again.

// openings watches a device for hosts that open and close it.
type openings struct {
	fd     int
	open   bool         // some host has it open, as far as has been told
	number atomic.Int64 // of this opening
}

// begin watches a device.
func (o *openings) begin(device string) error {
	fd, err := unix.InotifyInit1(unix.IN_NONBLOCK | unix.IN_CLOEXEC)
	if err != nil {
		return fmt.Errorf("watch %s: %w", device, err)
	}
	o.fd = fd
	if _, err := unix.InotifyAddWatch(fd, device, unix.IN_OPEN|unix.IN_CLOSE); err != nil {
		return fmt.Errorf("watch %s: %w", device, err)
	}
	return nil
}

// news reads what has happened since the last time. A second host that opens a line already open is not news.
func (o *openings) news() (opened, closed bool) {
	var buf [1024]byte
	n, err := unix.Read(o.fd, buf[:])
	if err != nil {
		return false, false // nothing new
	}
	for at := 0; at+unix.SizeofInotifyEvent <= n; {
		mask := binary.NativeEndian.Uint32(buf[at+4:])
		length := binary.NativeEndian.Uint32(buf[at+12:])
		at += unix.SizeofInotifyEvent + int(length)
		switch {
		case mask&unix.IN_CLOSE != 0:
			o.open, closed = false, true
		case mask&unix.IN_OPEN != 0 && !o.open:
			o.open, opened = true, true
			o.number.Add(1)
		}
	}
	return opened, closed
}

// makeRaw switches off everything a terminal does to bytes. Set at the printer's end, it holds for the host's.
func makeRaw(master int) error {
	t, err := unix.IoctlGetTermios(master, unix.TCGETS)
	if err != nil {
		return err
	}
	t.Iflag, t.Oflag, t.Lflag = 0, 0, 0
	t.Cflag = t.Cflag&^(unix.CSIZE|unix.PARENB) | unix.CS8
	t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
	return unix.IoctlSetTermios(master, unix.TCSETS, t)
}

// forget drops what a host left unread when it closed the line, so that the next one does not find it. Where the
// kernel cannot, the host finds stale bytes, and must cope with them as on any line.
func (p *PTY) forget() {
	_ = unix.IoctlSetInt(p.master, unix.TCFLSH, unix.TCOFLUSH) // what is still on its way there
	if t, err := unix.IoctlGetTermios(p.master, unix.TCGETS); err == nil {
		_ = unix.IoctlSetTermios(p.master, unix.TCSETSF, t) // and what has arrived
	}
}
