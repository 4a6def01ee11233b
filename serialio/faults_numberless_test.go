package serialio

import (
	"testing"
	"time"
)

// TestTwoStrayOKs: two oks behind the marker are a firmware without line numbers only if a temperature is with them, for the
// second line is M105. From seed 5269 of an earlier draw: a busy board that says ok for nothing looked like one.
func TestTwoStrayOKs(t *testing.T) {
	for answer, numberless := range map[string]bool{"ok": false, "ok T:21.0 /0.0 B:20.0 /0.0": true} {
		e := NewEngine(0, 0)
		e.Step(0, Event{Kind: Tick}, nil)
		e.Step(0, Event{Kind: Opened}, nil)
		for now := e.Due(); now < 20*time.Second && !e.marker.unchecked; now = e.Due() {
			e.Step(now, Event{Kind: Tick}, nil)
			e.Step(now, Event{Kind: Heard, Text: ok}, nil)
			e.Step(now, Event{Kind: Heard, Text: []byte(answer)}, nil)
		}
		if e.marker.unchecked != numberless {
			t.Errorf("%q: taken for a firmware without line numbers: %v", answer, e.marker.unchecked)
		}
	}
}
