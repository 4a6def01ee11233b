package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"
)

// What is plugged in, and pulled out, moves the number on and wakes who waits, as the kernel tells of it.
func TestPortsThatComeAndGoAreTold(t *testing.T) {
	name := filepath.Join(t.TempDir(), "printer")
	p := &ports{extra: []string{name}}
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- p.follow(ctx) }() // ends with ctx
	defer func() {
		end()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}()
	there := func() (found bool, changes int64) {
		now, err := p.List(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, port := range now.Ports {
			found = found || port.Name == name
		}
		return found, now.Changes
	}
	next := func(known int64, want bool) int64 {
		for {
			news := p.Changed()
			found, changes := there()
			if changes > known && found == want {
				return changes
			}
			<-news
		}
	}
	known := next(0, false)
	if err := os.Symlink("/dev/null", name); err != nil {
		t.Fatal(err)
	}
	known = next(known, true)
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	next(known, false)
}
