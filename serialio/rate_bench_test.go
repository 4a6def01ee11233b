package serialio

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/serialio/gcode"
	"fettle/serialio/port"
)

// rateTurn is how many lines go over each of the ways in turn.
const rateTurn = 10

// BenchmarkRate sends the lines of a piece, one at a time, over pseudo-terminals that take the time a wire takes, to a far
// end in a process of its own: by a bare loop that writes and reads, by a line whose one caller waits for each, and by a
// line where the next one waits already. The bound is the bytes on the wire and the turn-around, and nothing else. The
// goal is 0.97 of the bare loop. What counts is the fastest fifth of the turns: none can be faster than the wire, and the
// rest were slower because of other programs. 300 lines each way a combination, 100 with -short.
//
//	go test -run xxx -bench Rate -benchtime 1x ./serialio
func BenchmarkRate(b *testing.B) {
	table := []string{"  baud  turn-around   bound    bare    line  queued  lines/s;  line and queued by bare, line by bound"}
	for _, baud := range []int{115200, 250000} {
		for _, turnMS := range []time.Duration{0, 1, 4, 16} {
			pace := wirePace{baud, turnMS * time.Millisecond}
			b.Run(fmt.Sprintf("%d-baud-%v", baud, pace.turnAround), func(b *testing.B) {
				table = append(table, benchRate(b, pace))
			})
		}
	}
	fmt.Println("\n" + strings.Join(table, "\n")) // what a benchmark with parts logs is not shown
}

// benchRate measures one combination and returns its row.
func benchRate(b *testing.B, pace wirePace) string {
	bare, err := port.Open(b.Context(), farPaced(b, pace), 0)
	if err != nil {
		b.Fatal(err)
	}
	defer bare.Close()
	one, stopOne := runOn(b, farPaced(b, pace))
	defer stopOne()
	two, stopTwo := runOn(b, farPaced(b, pace))
	defer stopTwo()
	piece := pieceOf(rateTurn)
	frames := framed(piece)
	ways := []*way{
		{send: func() { pingPongAll(b, bare, frames) }},
		{send: func() { sendInTurn(b, one, piece) }},
		{send: func() { sendFromTwo(b, two, piece) }},
	}
	turns := 30
	if testing.Short() {
		turns = 4
	}
	for b.Loop() {
		for range turns {
			for _, w := range ways { // in turns, so that all meet the same load
				w.take()
			}
		}
	}
	b.ReportMetric(0, "ns/op") // of all the ways together it says nothing
	return reportRate(b, pace, boundOf(pace, frames), ways)
}

// boundOf is the least that physics lets a turn take.
func boundOf(pace wirePace, frames [][]byte) time.Duration {
	bound := time.Duration(len(frames)) * pace.turnAround
	for _, f := range frames {
		bound += pace.bytes(len(f) + len("ok\n"))
	}
	return bound
}

func reportRate(b *testing.B, pace wirePace, bound time.Duration, ways []*way) string {
	perS := func(took time.Duration) float64 { return rateTurn / took.Seconds() }
	bare, line, queued := ways[0], ways[1], ways[2]
	by := func(a, b time.Duration) float64 { return float64(a) / float64(b) }
	lineX, queuedX, boundX := by(bare.undisturbed(), line.undisturbed()), by(bare.undisturbed(), queued.undisturbed()), by(bound, line.undisturbed())
	b.ReportMetric(lineX, "line-x-of-bare")
	b.ReportMetric(queuedX, "queued-x-of-bare")
	b.ReportMetric(boundX, "line-x-of-bound")
	return fmt.Sprintf("%6d  %11v  %6.1f  %6.1f  %6.1f  %6.1f            %.3f  %.3f  %.3f", pace.baud, pace.turnAround,
		perS(bound), perS(bare.undisturbed()), perS(line.undisturbed()), perS(queued.undisturbed()), lineX, queuedX, boundX)
}

// way is one way of sending a turn of lines, and what its turns took.
type way struct {
	send func()
	took []time.Duration
}

func (w *way) take() {
	begun := time.Now()
	w.send()
	w.took = append(w.took, time.Since(begun))
}

// undisturbed is the slowest of the fastest fifth.
func (w *way) undisturbed() time.Duration { return slices.Sorted(slices.Values(w.took))[len(w.took)/5] }

// pieceOf makes lines of the length that the lines of a piece have: short strokes of a curve, about 35 bytes.
func pieceOf(n int) []string {
	lines := make([]string, n)
	for i := range lines {
		lines[i] = fmt.Sprintf("G1 X%.3f Y%.3f E%.5f F1800", 100+float64(i)*0.417, 120-float64(i)*0.291, 0.02371+float64(i%7)*0.001)
	}
	return lines
}

// framed is what of a piece goes over the wire. The numbers have as many digits as a line's after its greeting.
func framed(piece []string) [][]byte {
	frames := make([][]byte, len(piece))
	for i, block := range piece {
		frames[i] = gcode.AppendFrame(nil, int64(1000+i), []byte(block))
	}
	return frames
}

// pingPongAll is the least that can be done with the port: write a frame, read until a line feed.
func pingPongAll(b *testing.B, p io.ReadWriter, frames [][]byte) {
	room := make([]byte, 64)
	for _, frame := range frames {
		if _, err := p.Write(frame); err != nil {
			b.Fatal(err)
		}
		for got := 0; got == 0 || room[got-1] != '\n'; {
			k, err := p.Read(room[got:])
			if err != nil {
				b.Fatal(err)
			}
			got += k
		}
	}
}

// sendInTurn sends each line when the one before has come back.
func sendInTurn(b *testing.B, l *Line, blocks []string) {
	for _, block := range blocks {
		if _, err := l.Send(b.Context(), block); err != nil {
			b.Fatal(err)
		}
	}
}

// sendFromTwo sends lines from two callers, so that the next line waits when an ok arrives.
func sendFromTwo(b *testing.B, l *Line, blocks []string) {
	work := make(chan string, len(blocks))
	for _, block := range blocks {
		work <- block
	}
	close(work)
	done := make(chan error, 2)
	for range 2 {
		go func() { // ends when no work is left
			for block := range work {
				if _, err := l.Send(b.Context(), block); err != nil {
					done <- err
					return
				}
			}
			done <- nil
		}()
	}
	for range 2 {
		if err := <-done; err != nil {
			b.Fatal(err)
		}
	}
}
