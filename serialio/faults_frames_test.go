package serialio

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"time"

	"fettle/serialio/gcode"
	"fettle/serialio/standin"
)

// framesOf is numbered lines from 1, as they leave.
func framesOf(n int) [][]byte {
	frames := make([][]byte, n)
	for i := range frames {
		blocks := plans()[i/jobsEach%16]
		frames[i] = gcode.AppendFrame(nil, int64(i+1), []byte(blocks.Block(1+i%jobsEach)))
	}
	return frames
}

// receiver is a printer that stands before one line after the other.
type receiver struct{ firmware *standin.Firmware }

func newReceiver() receiver {
	r := receiver{standin.New(standin.Profile{BootTime: -1, MinExtrudeC: 1, ReceiveBytes: 1 << 20, PlannerMoves: 1 << 20})}
	r.firmware.Hear([]byte("M110 N0\n"))
	r.firmware.Say()
	return r
}

// takes reports whether the printer takes what it hears: it answers with nothing but ok.
func (r receiver) takes(p []byte) bool {
	r.firmware.Hear(p)
	said := r.firmware.Say()
	for i := 0; len(said) == 0 && i < 10; i++ { // M400 waits for the moves before it
		r.firmware.Advance(time.Minute)
		said = r.firmware.Say()
	}
	return len(said) > 0 && !bytes.Contains(said, []byte("Resend"))
}

// byteLost loses and doubles each byte of each line but its end.
func byteLost() (figure, wrong string) {
	r := newReceiver()
	tried, taken := 0, 0
	var damaged []byte
	for _, frame := range framesOf(4000 / slower) {
		for i := range len(frame) - 1 {
			lost := append(append(damaged[:0], frame[:i]...), frame[i+1:]...)
			if r.takes(lost) {
				taken++
				wrong = fmt.Sprintf("%q was taken for %q", lost, frame)
			}
			doubled := append(append(lost[:0], frame[:i+1]...), frame[i:]...)
			if r.takes(doubled) {
				taken++
				wrong = fmt.Sprintf("%q was taken for %q", doubled, frame)
			}
			damaged = doubled
			tried += 2
		}
		if !r.takes(frame) {
			return "", fmt.Sprintf("%q was not taken", frame)
		}
	}
	return fmt.Sprintf("%d tries over %d lines, %d accepted", tried, 4000/slower, taken), wrong
}

// linesMelted loses the end of each line.
func linesMelted() (figure, wrong string) {
	r := newReceiver()
	frames := framesOf(4000 / slower)
	taken := 0
	for i := range len(frames) - 1 {
		melted := append(append([]byte(nil), frames[i][:len(frames[i])-1]...), frames[i+1]...)
		if r.takes(melted) {
			taken++
			wrong = fmt.Sprintf("%q was taken", melted)
		}
		r.takes(frames[i])
	}
	return fmt.Sprintf("%d pairs, %d accepted", len(frames)-1, taken), wrong
}

// bytesLost loses some bytes around the end of a line.
func bytesLost() (figure, wrong string) {
	rng := rand.New(rand.NewPCG(3, 8))
	frames := framesOf(4000)
	const tries = 200_000
	taken := 0
	r, next := newReceiver(), 0
	for range tries {
		if next == len(frames)-1 {
			r, next = newReceiver(), 0
		}
		pair := append(append([]byte(nil), frames[next]...), frames[next+1]...)
		n, end := 8+rng.IntN(25), len(frames[next])
		from := max(0, end-1-rng.IntN(n)) // its line end is among those lost
		to := min(from+n, len(pair)-1)
		if to <= end {
			continue
		}
		if r.takes(append(pair[:from:from], pair[to:]...)) {
			taken++
			next++
			continue
		}
		if rng.IntN(50) == 0 {
			r.takes(frames[next])
			next++
		}
	}
	share := float64(taken) / tries
	if share > 0.007 {
		wrong = fmt.Sprintf("%.3f %% were accepted", 100*share)
	}
	return fmt.Sprintf("%d tries, %.3f %% accepted, by the checksum alone", tries, 100*share), wrong
}
