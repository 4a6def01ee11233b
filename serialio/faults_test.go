package serialio

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"fettle/serialio/judge"
	"fettle/serialio/standin"
)

// faultRows are what can go wrong on the line, each with what it must come to. A row plays it and says the figure, and what
// was wrong with it; "" if nothing was.
var faultRows = []struct {
	name, bar string
	play      func() (figure, wrong string)
}{
	{"F1 line noise", "0 lines skipped, doubled, swapped or falsely done", lineNoise},
	{"F2 one byte lost or doubled", "0 accepted", byteLost},
	{"F3 two lines melted", "0 accepted", linesMelted},
	{"F3 8 to 32 bytes lost over a pair", "at most 0.7 % accepted, by the checksum alone", bytesLost},
	{"F6 board restarts at each line", "noticed within 4 s, nothing moved after", boardRestarts},
	{"F7 board hangs", "alarm within 10.5 s, heaters off each second for 60 s", boardHangs},
	{"F7 busy for ever", "a stop goes out at once", busyForEver},
	{"F8 resend storm", "ends within 15 s, a stop in it goes out at once", resendStorm},
	{"F9 slow ok", "0 aborted", slowOK},
	{"F10 ok early, doubled, out of order", "0 shifted", okAstray},
	{"F11 heater fault reported", "both heaters told off within 250 ms, no retry, no reconnect", faultReported},
}

func TestFaults(t *testing.T) {
	for _, row := range faultRows {
		t.Run(strings.ReplaceAll(row.name, " ", "_"), func(t *testing.T) {
			figure, wrong := row.play()
			fmt.Printf("%-36s %s (bar: %s)\n", row.name, figure, row.bar)
			if wrong != "" {
				t.Error(wrong)
			}
		})
	}
}

// plainBoard is a truthful board that is up at once and greets after a reset.
func plainBoard(seed uint64, lies ...standin.Lying) standin.Profile {
	return standin.Profile{BootTime: -1, MinExtrudeC: 1, Greets: true, ReceiveBytes: 1 << 20, Seed: seed, Lies: lies}
}

// lineNoise plays the rates of damage one by one, with the limits on what is sent again in force.
func lineNoise() (figure, wrong string) {
	for _, rate := range []float64{1e-5, 1e-4, 1e-3, 1e-2} {
		sum := playAll(200/slower, func(seed uint64) *session {
			s := newPlain(seed, plainBoard(seed), plans()[seed%16])
			s.down, s.up = newBadWire(s.rng, rate, 0), newBadWire(s.rng, rate, 0)
			return s
		})
		figure += fmt.Sprintf("at %g: %d lines, %d refused, held %d times; ", rate, sum.verdict.Jobs, sum.verdict.Turned, sum.tally["engine: noisy"])
		wrong += strings.Join(sum.bad, "\n")
	}
	return strings.TrimSuffix(figure, "; "), wrong
}

// until goes on until something holds, or for so long.
func (s *session) until(most Mono, holds func() bool) bool {
	for end := s.now + most; s.now < end; {
		if holds() {
			return true
		}
		if !s.advance() {
			break
		}
	}
	return holds()
}

// work goes on, submitting what there is to do, until something holds.
func (s *session) work(holds func() bool) bool {
	for s.now < time.Hour {
		if holds() {
			return true
		}
		s.feed()
		if !s.advance() {
			break
		}
	}
	return holds()
}

func (s *session) is(state State) bool { return s.engine.Status().State == state }

func (s *session) begin() { s.step(Event{Kind: Tick}) }

// leaving notes when words left last, and how often.
type leaving struct {
	words string
	times []Mono
}

func (s *session) watch(words string) *leaving {
	l := &leaving{words: " " + words + "*"}
	before := s.left
	s.left = func(frame []byte) {
		if before != nil {
			before(frame)
		}
		if strings.Contains(string(frame), l.words) {
			l.times = append(l.times, s.now)
		}
	}
	return l
}

// longPlan is a program of 500 lines.
func longPlan() *judge.Plan { return judge.NewPlan(blocksOf(99, 500)) }
