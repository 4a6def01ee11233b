package port

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

const dialout = 20 // the group of serial ports on Debian; on other systems the number alone is said

func TestWhoMayNotOpenIsToldTheGroup(t *testing.T) {
	cable := newCable(t)
	if os.Geteuid() != 0 {
		t.Skip("only root can make a device that this user may not open")
	}
	if err := errors.Join(os.Chown(cable.name, 0, dialout), os.Chmod(cable.name, 0o660)); err != nil {
		t.Fatal(err)
	}
	asNobody(t, func() {
		_, err := Open(t.Context(), cable.name, 0)
		if !errors.Is(err, ErrNotPermitted) || !strings.Contains(err.Error(), "usermod -aG "+groupName(dialout)+" ") {
			t.Errorf("%v does not say how to join group %s", err, groupName(dialout))
		}
	})
}

// A made-up /dev and /sys whose nodes really belong to the groups: what is missing is read from the node and from what
// the kernel says of the device, and said as a line that can be copied.
func TestWhatIsMissingIsSaidToTheLetter(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can give a file to a group of its choice")
	}
	tr := bench(t)
	const rule = `SUBSYSTEM=="tty", %s, GROUP="dialout", MODE="0660"`
	for _, c := range []struct {
		name string
		gid  int
		mode fs.FileMode
		want string
	}{
		{"ttyUSB0", dialout, 0o660, "sudo usermod -aG " + groupName(dialout) + " " + userName()},
		{"ttyUSB0", 54321, 0o660, "sudo usermod -aG 54321 "},
		{"ttyUSB0", 0, 0o660, strings.Replace(rule, "%s", `ATTRS{idVendor}=="1a86", ATTRS{idProduct}=="7523"`, 1)},
		{"ttyUSB0", dialout, 0o600, strings.Replace(rule, "%s", `ATTRS{idVendor}=="1a86", ATTRS{idProduct}=="7523"`, 1)},
		{"ttyS0", 0, 0o640, strings.Replace(rule, "%s", `KERNEL=="ttyS0"`, 1)},
	} {
		path := filepath.Join(tr.roots().dev, c.name)
		tr.must(errors.Join(os.Chown(path, 0, c.gid), os.Chmod(path, c.mode)))
		said := remedy(tr.roots(), path, unix.EACCES)
		if !strings.Contains(said, c.want) || strings.Contains(said, "usermod") == strings.Contains(said, "udev") {
			t.Errorf("%s of group %d with mode %v: %q does not say %q and that alone", c.name, c.gid, c.mode, said, c.want)
		}
	}
	if said := remedy(tr.roots(), filepath.Join(tr.roots().dev, "ttyUSB0"), unix.EPERM); !strings.Contains(said, "DeviceAllow=") {
		t.Errorf("a fence around the process: %q", said)
	}
	if said := remedy(tr.roots(), filepath.Join(tr.roots().dev, "ttyUSB9"), unix.EACCES); said == "" {
		t.Error("nothing is said of a device that has gone")
	}
}
