package port

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Found is a port that is plugged in. Vendor, Product and Serial are the device's own words, which anybody can give a
// device; the ids are four hex digits.
type Found struct {
	Name      string `json:"name"`   // stays the same when the port is plugged in again; what Open is given
	Device    string `json:"device"` // what it is called just now
	ByID      string `json:"by_id,omitempty"`
	ByPath    string `json:"by_path,omitempty"`
	VendorID  string `json:"vendor_id,omitempty"`
	ProductID string `json:"product_id,omitempty"`
	Vendor    string `json:"vendor,omitempty"`
	Product   string `json:"product,omitempty"`
	Serial    string `json:"serial,omitempty"`
}

// List tells what is plugged in, without opening any port. The names in extra are listed as they are, if they lead
// anywhere. What vanishes while being looked at is left out.
func List(ctx context.Context, extra ...string) ([]Found, error) {
	return list(ctx, systemRoots(), extra)
}

// roots says where the device nodes and the kernel's own list of terminals are.
type roots struct{ dev, class string }

func systemRoots() roots { return roots{dev: "/dev", class: "/sys/class/tty"} }

func (r roots) byID() string   { return filepath.Join(r.dev, "serial", "by-id") }
func (r roots) byPath() string { return filepath.Join(r.dev, "serial", "by-path") }

func list(ctx context.Context, r roots, extra []string) ([]Found, error) {
	entries, err := os.ReadDir(r.class)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("list ports: %w", err)
	}
	byID, byPath := linksTo(r.byID()), linksTo(r.byPath())
	var found []Found
	for _, e := range entries {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("list ports: %w", err)
		}
		f, ok := look(r, e.Name())
		if !ok {
			continue
		}
		f.ByID, f.ByPath = byID[f.Device], byPath[f.Device]
		f.Name = stableName(f)
		found = append(found, f)
	}
	for _, name := range extra {
		if device, err := filepath.EvalSymlinks(name); err == nil {
			found = append(found, Found{Name: name, Device: device})
		}
	}
	slices.SortStableFunc(found, func(a, b Found) int { return cmp.Compare(a.Name, b.Name) })
	return found, nil
}

// stableName chooses the name that means this device again after a replug. Without a serial number the name by id
// means a make and not a piece, and the name by path, which means the socket, is the better one.
func stableName(f Found) string {
	if f.Serial == "" {
		return cmp.Or(f.ByPath, f.ByID, f.Device)
	}
	return cmp.Or(f.ByID, f.ByPath, f.Device)
}

// linksTo reads a folder of links and returns them by the device they lead to. A dangling link is left out.
func linksTo(folder string) map[string]string {
	links := map[string]string{}
	entries, _ := os.ReadDir(folder) // no folder, no links: nothing is plugged in, or there is no udev
	for _, e := range entries {
		link := filepath.Join(folder, e.Name())
		device, err := filepath.EvalSymlinks(link)
		if _, taken := links[device]; err == nil && !taken {
			links[device] = link
		}
	}
	return links
}

// look reads about one terminal of the kernel's list. Only one with a device behind it is a port, and of the built-in
// ones only those whose chip was found: the kernel lists the others as type 0.
func look(r roots, name string) (Found, bool) {
	here := filepath.Join(r.class, name)
	behind, err := filepath.EvalSymlinks(filepath.Join(here, "device"))
	if err != nil || firstLine(here, "type") == "0" {
		return Found{}, false
	}
	device, err := filepath.EvalSymlinks(filepath.Join(r.dev, name))
	if err != nil {
		return Found{}, false
	}
	f := Found{Device: device}
	if usb := usbDevice(behind); usb != "" {
		f.VendorID, f.ProductID = firstLine(usb, "idVendor"), firstLine(usb, "idProduct")
		f.Vendor, f.Product, f.Serial = firstLine(usb, "manufacturer"), firstLine(usb, "product"), firstLine(usb, "serial")
	}
	return f, true
}

// usbDevice climbs from an interface to the USB device it belongs to: the first folder above that has a vendor number.
func usbDevice(dir string) string {
	const levels = 5 // port, interface, device: deeper is no part of a USB device
	for range levels {
		if firstLine(dir, "idVendor") != "" {
			return dir
		}
		dir = filepath.Dir(dir)
	}
	return ""
}

func firstLine(dir, name string) string {
	text, _ := os.ReadFile(filepath.Join(dir, name)) // not there: the device says nothing of it
	line, _, _ := strings.Cut(string(text), "\n")
	return strings.TrimSpace(line)
}
