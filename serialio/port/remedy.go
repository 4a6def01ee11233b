package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
)

// remedy says what lets this user open a device: which group owns it and how to join that, or which rule is missing.
func remedy(r roots, path string, err error) string {
	if errors.Is(err, syscall.EPERM) { // the rights of a file say EACCES; only a fence around the process says EPERM
		return fmt.Sprintf("the service manager keeps it from this program; where that is systemd, DeviceAllow=%s rw is missing from the unit", path)
	}
	info, statErr := os.Stat(path)
	if statErr != nil {
		return "its owner cannot be read"
	}
	owner, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return "its owner cannot be read"
	}
	group, mode := groupName(owner.Gid), info.Mode().Perm()
	if owner.Gid == 0 || mode&groupMayReadAndWrite != groupMayReadAndWrite {
		return missingRule(group, mode, ruleFor(r, path))
	}
	return missingGroup(group, userName())
}

const groupMayReadAndWrite fs.FileMode = 0o060

func missingGroup(group, who string) string {
	return fmt.Sprintf("it belongs to group %s, and user %s is not in it; run: sudo usermod -aG %s %s   then log in again, or restart the service", group, who, group, who)
}

func missingRule(group string, mode fs.FileMode, rule string) string {
	return fmt.Sprintf("no udev rule gives it to a group of users: it belongs to group %s with mode %#o; put this line into /etc/udev/rules.d/61-fettle.rules: %s   then run: sudo udevadm control --reload   and plug it in again", group, mode, rule)
}

// ruleFor is the udev rule that gives a device to the group that serial ports have on most systems (rules.d/50-udev-default.rules
// of systemd; its words are those of udev(7)).
func ruleFor(r roots, path string) string {
	name := filepath.Base(path)
	match := fmt.Sprintf("KERNEL==%q", name)
	if f, ok := look(r, name); ok && f.VendorID != "" {
		match = fmt.Sprintf("ATTRS{idVendor}==%q, ATTRS{idProduct}==%q", f.VendorID, f.ProductID)
	}
	return fmt.Sprintf(`SUBSYSTEM=="tty", %s, GROUP="dialout", MODE="0660"`, match)
}

func groupName(gid uint32) string {
	id := strconv.FormatUint(uint64(gid), 10)
	g, err := user.LookupGroupId(id)
	if err != nil {
		return id
	}
	return g.Name
}

// userName is who runs this program, by name where it has one.
func userName() string {
	id := strconv.Itoa(os.Geteuid())
	u, err := user.LookupId(id)
	if err != nil {
		return id
	}
	return u.Username
}
