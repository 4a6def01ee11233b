package serialio

import (
	"bytes"
	"context"
	"io"
	"slices"
	"testing"
	"time"

	"fettle/serialio/port"
)

// TestPTY holds a conversation over a real pseudo-terminal, and notices that it is pulled.
func TestPTY(t *testing.T) {
	far, name := openPTY(t)
	go respond(far, wirePace{})
	l, stop := runOn(t, name)
	defer stop()
	for range 200 {
		if _, err := l.Send(t.Context(), "G1 X10 E2.5 F1800"); err != nil {
			t.Fatal(err)
		}
	}
	far.Close()
	waitFor(t, l, Unplugged)
}

// runOn runs a line on a port and waits until it listens. What it returns ends it and waits for that.
func runOn(t testing.TB, name string) (*Line, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	l := New(Config{Open: func(ctx context.Context) (io.ReadWriteCloser, error) { return port.Open(ctx, name, 0) }})
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }()
	waitFor(t, l, Listening)
	return l, func() { cancel(); <-ended }
}

// waitFor waits for a state on the wall clock. It asserts nothing about how long that takes.
func waitFor(t testing.TB, l *Line, s State) {
	giveUp := time.After(time.Minute)
	for {
		changed := l.Changed()
		if l.Snapshot().State == s {
			return
		}
		select {
		case <-changed:
		case <-giveUp:
			t.Fatalf("never %s: %+v", s, l.Snapshot())
		}
	}
}

// BenchmarkLinePTY sends lines over a free pseudo-terminal. In turns with it, so that all meet the same load, a bare loop
// writes a frame and reads until a line feed on another one of the same kind, and so does a relay, whose reader is a
// goroutine of its own: the least that a line can do, since a read cannot be given up. The metrics are the medians of
// the bare loop's time by the others', turn by turn. The far end is a goroutine here, or a process of its own.
func BenchmarkLinePTY(b *testing.B) {
	b.Run("goroutine", func(b *testing.B) { benchPTY(b, farGoroutine) })
	b.Run("process", func(b *testing.B) { benchPTY(b, farProcess) })
}

func benchPTY(b *testing.B, answering func(*testing.B) string) {
	const turn = 500
	bareName, lineName, relayName := answering(b), answering(b), answering(b)
	bare, err := port.Open(b.Context(), bareName, 0)
	if err != nil {
		b.Fatal(err)
	}
	defer bare.Close()
	l, stop := runOn(b, lineName)
	defer stop()
	relay, err := port.Open(b.Context(), relayName, 0)
	if err != nil {
		b.Fatal(err)
	}
	defer relay.Close()
	heard := relayed(relay)
	blocks := slices.Repeat([]string{"G1 X10 E2.5 F1800"}, turn)
	frames := slices.Repeat([][]byte{[]byte("N1 G1 X10 E2.5 F1800*115\n")}, turn)
	pingPongAll(b, bare, frames)
	sendFromTwo(b, l, blocks)

	var ratios, bounds []float64
	var bareTime time.Duration
	b.ResetTimer()
	for sent := 0; sent < b.N; sent += turn {
		b.StopTimer()
		begun := time.Now()
		pingPongAll(b, bare, frames)
		bareTook := time.Since(begun)
		begun = time.Now()
		relayAll(b, relay, heard, frames)
		bounds = append(bounds, float64(bareTook)/float64(time.Since(begun)))
		b.StartTimer()
		begun = time.Now()
		sendFromTwo(b, l, blocks)
		ratios = append(ratios, float64(bareTook)/float64(time.Since(begun)))
		bareTime += bareTook
	}
	b.StopTimer()
	slices.Sort(ratios)
	slices.Sort(bounds)
	b.ReportMetric(float64(bareTime.Nanoseconds())/float64(len(ratios)*turn), "bare-ns/line")
	b.ReportMetric(ratios[len(ratios)/2], "x-of-bare")
	b.ReportMetric(bounds[len(bounds)/2], "relay-x-of-bare")
}

// relayed reads a port in a goroutine of its own, until the port is closed, and tells of each line feed.
func relayed(p io.Reader) <-chan struct{} {
	heard := make(chan struct{})
	go func() { // ends when the port is closed
		room := make([]byte, 64)
		for {
			n, err := p.Read(room)
			if err != nil {
				return
			}
			for range bytes.Count(room[:n], []byte{'\n'}) {
				heard <- struct{}{}
			}
		}
	}()
	return heard
}

// relayAll writes frames and waits for the answer to each, as the reader tells it.
func relayAll(b *testing.B, p io.Writer, heard <-chan struct{}, frames [][]byte) {
	for _, frame := range frames {
		if _, err := p.Write(frame); err != nil {
			b.Fatal(err)
		}
		<-heard
	}
}
