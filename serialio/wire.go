package serialio

import (
	"sync"
	"time"

	"fettle/serialio/pulse"
)

// wireLines is how many lines the wire keeps.
const wireLines = 2000

// A WireLine is one line as it went over the line. N counts within one life of the agent, which Boot names.
type WireLine struct {
	N    int64
	Boot string
	At   time.Time
	Out  bool // to the printer
	Text string
}

// Wire is the live record of the last lines both ways. It is safe for use by many; a reader never holds the line up.
type Wire struct {
	boot string
	mu   sync.Mutex
	ring []wireSlot // grows to wireLines, then the oldest is overwritten; texts reuse their room
	next int64      // the number the next line gets
	news pulse.Pulse
}

type wireSlot struct {
	at   time.Time
	out  bool
	text []byte
}

func newWire(boot string) *Wire { return &Wire{boot: boot, next: 1} }

// add keeps one line, its line end aside. It allocates only while the ring grows.
func (w *Wire) add(at time.Time, out bool, text []byte) {
	w.mu.Lock()
	i := int((w.next - 1) % wireLines)
	if i == len(w.ring) {
		w.ring = append(w.ring, wireSlot{})
	}
	slot := &w.ring[i]
	slot.at, slot.out, slot.text = at, out, append(slot.text[:0], text...)
	w.next++
	w.mu.Unlock()
	w.news.Beat()
}

// Since returns the kept lines numbered above n, oldest first.
func (w *Wire) Since(n int64) []WireLine {
	w.mu.Lock()
	defer w.mu.Unlock()
	first := max(n+1, w.next-int64(len(w.ring)))
	lines := make([]WireLine, 0, max(w.next-first, 0))
	for k := first; k < w.next; k++ {
		slot := w.ring[(k-1)%wireLines]
		lines = append(lines, WireLine{N: k, Boot: w.boot, At: slot.at, Out: slot.out, Text: string(slot.text)})
	}
	return lines
}

// Changed returns a channel that is closed at the next line.
func (w *Wire) Changed() <-chan struct{} { return w.news.Wait() }
