package port

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"golang.org/x/sys/unix"
)

// tree is a made-up /dev and /sys with the links between them as udev and the kernel lay them (Linux
// Documentation/admin-guide/sysfs-rules.rst; the by-id and by-path links as 60-serial.rules of systemd makes them).
type tree struct {
	t    *testing.T
	root string
}

func newTree(t *testing.T) tree {
	root, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	tr := tree{t, root}
	tr.folder("dev")
	tr.folder("sys/class/tty")
	return tr
}

func (tr tree) roots() roots {
	return roots{dev: filepath.Join(tr.root, "dev"), class: filepath.Join(tr.root, "sys/class/tty")}
}

func (tr tree) must(err error) {
	tr.t.Helper()
	if err != nil {
		tr.t.Fatal(err)
	}
}

func (tr tree) folder(name string) { tr.must(os.MkdirAll(filepath.Join(tr.root, name), 0o755)) }

func (tr tree) file(name, text string) {
	tr.folder(filepath.Dir(name))
	tr.must(os.WriteFile(filepath.Join(tr.root, name), []byte(text), 0o644))
}

func (tr tree) link(name, to string) {
	tr.folder(filepath.Dir(name))
	tr.must(os.Symlink(to, filepath.Join(tr.root, name)))
}

// usb plugs in a USB port: the device at bus, its first interface, the terminal below it.
func (tr tree) usb(name, bus string, about map[string]string) {
	dir := "sys/devices/pci0/usb1/" + bus
	for file, text := range about {
		tr.file(dir+"/"+file, text+"\n")
	}
	behind := dir + "/" + bus + ":1.0/" + name
	tr.folder(behind + "/tty/" + name)
	tr.link(behind+"/tty/"+name+"/device", filepath.Join(tr.root, behind))
	tr.link("sys/class/tty/"+name, filepath.Join(tr.root, behind, "tty", name))
	tr.file("dev/"+name, "")
}

func (tr tree) builtIn(name, kind string) {
	tr.folder("sys/devices/platform/serial8250")
	tr.folder("sys/class/tty/" + name)
	tr.link("sys/class/tty/"+name+"/device", filepath.Join(tr.root, "sys/devices/platform/serial8250"))
	tr.file("sys/class/tty/"+name+"/type", kind+"\n")
	tr.file("dev/"+name, "")
}

func bench(t *testing.T) tree {
	tr := newTree(t)
	tr.usb("ttyUSB0", "1-1", map[string]string{"idVendor": "1a86", "idProduct": "7523", "manufacturer": "Invented Bridges", "product": "Bridge", "serial": "A-17"})
	tr.link("dev/serial/by-id/usb-Invented_Bridge_A-17-if00-port0", "../../ttyUSB0")
	tr.link("dev/serial/by-path/pci-0:1:1.0-port0", "../../ttyUSB0")
	tr.usb("ttyUSB1", "1-2", map[string]string{"idVendor": "1a86", "idProduct": "7523"}) // says nothing of itself
	tr.link("dev/serial/by-id/usb-1a86_7523-if00-port0", "../../ttyUSB1")
	tr.link("dev/serial/by-path/pci-0:1:2.0-port0", "../../ttyUSB1")
	tr.usb("ttyACM0", "1-3", map[string]string{"idVendor": "2341", "product": "Board", "serial": "B-3"}) // no udev links
	tr.link("dev/serial/by-id/usb-pulled-out", "../../ttyUSB9")
	tr.builtIn("ttyS0", "4")
	tr.builtIn("ttyS1", "0")        // a place for a chip, and no chip
	tr.folder("sys/class/tty/tty7") // a screen
	tr.usb("ttyUSB5", "1-5", map[string]string{"idVendor": "1"})
	tr.must(os.Remove(filepath.Join(tr.root, "dev/ttyUSB5"))) // vanishing while we look
	return tr
}

func TestListGivesStableNames(t *testing.T) {
	tr := bench(t)
	dev := tr.roots().dev
	standIn := filepath.Join(tr.root, "stand-in")
	tr.file("far-end", "")
	tr.must(os.Symlink("far-end", standIn))

	got, err := list(t.Context(), tr.roots(), []string{standIn, filepath.Join(tr.root, "nothing")})
	if err != nil {
		t.Fatal(err)
	}
	id, path := dev+"/serial/by-id/usb-", dev+"/serial/by-path/pci-0:1:"
	want := []Found{
		{Name: id + "Invented_Bridge_A-17-if00-port0", Device: dev + "/ttyUSB0", ByID: id + "Invented_Bridge_A-17-if00-port0", ByPath: path + "1.0-port0",
			VendorID: "1a86", ProductID: "7523", Vendor: "Invented Bridges", Product: "Bridge", Serial: "A-17"},
		// without a serial number its name by id means a make and not a piece
		{Name: path + "2.0-port0", Device: dev + "/ttyUSB1", ByID: id + "1a86_7523-if00-port0", ByPath: path + "2.0-port0", VendorID: "1a86", ProductID: "7523"},
		{Name: dev + "/ttyACM0", Device: dev + "/ttyACM0", VendorID: "2341", Product: "Board", Serial: "B-3"},
		{Name: dev + "/ttyS0", Device: dev + "/ttyS0"},
		{Name: standIn, Device: tr.root + "/far-end"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
}

func TestListWhereNothingIs(t *testing.T) {
	got, err := list(t.Context(), roots{dev: "/nowhere", class: "/nowhere"}, nil)
	if len(got) > 0 || err != nil {
		t.Errorf("%v, %v", got, err)
	}
	if _, err := list(ended(), bench(t).roots(), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("with an ended context: %v", err)
	}
	if _, err := List(t.Context()); err != nil {
		t.Errorf("on this machine: %v", err)
	}
}

// Opening a port restarts many boards, so the kernel itself is asked whether a look has opened one.
func TestListOpensNoPort(t *testing.T) {
	tr := bench(t)
	watch, err := unix.InotifyInit1(unix.IN_NONBLOCK)
	tr.must(err)
	defer unix.Close(watch)
	for _, name := range []string{"ttyUSB0", "ttyUSB1", "ttyACM0", "ttyS0", "ttyS1"} {
		_, err := unix.InotifyAddWatch(watch, filepath.Join(tr.root, "dev", name), unix.IN_OPEN)
		tr.must(err)
	}
	if _, err := list(t.Context(), tr.roots(), nil); err != nil {
		t.Fatal(err)
	}
	events := make([]byte, 4096)
	if n, err := unix.Read(watch, events); !errors.Is(err, unix.EAGAIN) {
		t.Errorf("a port was opened: %d bytes of events, %v", n, err)
	}
	f, err := os.Open(filepath.Join(tr.root, "dev/ttyS0"))
	tr.must(err)
	f.Close()
	if n, err := unix.Read(watch, events); n <= 0 || err != nil {
		t.Errorf("the watch sees no opening at all: %d, %v", n, err)
	}
}
