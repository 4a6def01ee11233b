package port

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// followed runs follow over a tree until the test ends, and hands on what it tells.
func followed(t *testing.T, tr tree, extra ...string) <-chan []Found {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	told, ended := make(chan []Found), make(chan error, 1)
	tell := func(f []Found) {
		select {
		case told <- f:
		case <-ctx.Done():
		}
	}
	go func() { ended <- follow(ctx, tr.roots(), tell, extra) }() // ends with ctx
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("following ended with %v", err)
		}
	})
	return told
}

// plugged waits until exactly the ports of these stable names have been told of, through whatever was told on the way.
func plugged(t *testing.T, told <-chan []Found, want ...string) {
	t.Helper()
	for found := range told {
		same := len(found) == len(want)
		for i := 0; same && i < len(want); i++ {
			same = filepath.Base(found[i].Name) == want[i]
		}
		if same {
			return
		}
		t.Logf("on the way: %+v", found)
	}
}

func TestFollowTellsOfEachPlug(t *testing.T) {
	tr := newTree(t)
	told := followed(t, tr)
	plugged(t, told)
	tr.usb("ttyUSB0", "1-1", map[string]string{"idVendor": "1a86", "idProduct": "7523", "serial": "A-17"})
	tr.link("dev/serial/by-id/usb-A-17", "../../ttyUSB0")
	plugged(t, told, "usb-A-17")
	// back as another device under the same name
	tr.must(errors.Join(os.Remove(filepath.Join(tr.root, "dev/ttyUSB0")), os.RemoveAll(filepath.Join(tr.root, "dev/serial"))))
	plugged(t, told)
	tr.usb("ttyUSB1", "1-2", map[string]string{"idVendor": "1a86", "idProduct": "7523"})
	tr.link("dev/serial/by-path/pci-2", "../../ttyUSB1")
	plugged(t, told, "pci-2")
}

func TestFollowTellsOfTheNamesThatAreAdded(t *testing.T) {
	tr := newTree(t)
	tr.folder("stand-ins")
	tr.file("far-end", "")
	name := filepath.Join(tr.root, "stand-ins", "one")
	told := followed(t, tr, name)
	plugged(t, told)
	tr.link("stand-ins/one", filepath.Join(tr.root, "far-end"))
	plugged(t, told, "one")
	tr.must(os.Remove(name))
	plugged(t, told)
}

// Where there is no folder to watch it is looked at every second.
func TestFollowWithoutWatches(t *testing.T) {
	tr := newTree(t)
	tr.must(os.RemoveAll(filepath.Join(tr.root, "dev")))
	told := followed(t, tr)
	plugged(t, told)
	tr.usb("ttyUSB0", "1-1", map[string]string{"idVendor": "1a86"})
	plugged(t, told, "ttyUSB0")
}

// BenchmarkLook is what one look at the ports of a bench costs: the price, each second, of looking without being told.
func BenchmarkLook(b *testing.B) {
	for b.Loop() {
		if _, err := List(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
