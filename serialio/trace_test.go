package serialio

import (
	"flag"
	"fmt"
	"testing"
)

var traced = flag.Uint64("seed", 0, "print the conversation of this seed")

// TestTrace prints one conversation, to look at a seed that failed.
func TestTrace(t *testing.T) {
	if *traced == 0 {
		t.Skip("no -seed given")
	}
	s := newSession(*traced, 60)
	s.trace = func(mark string, text string) { fmt.Printf("%12v %s %q\n", s.now, mark, text) }
	t.Logf("%+v %+v", s.run(), s.engine.Status())
}
