package serialio

import (
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestUnplugAndBack(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		l := startLine(t, p)
		until(t, l, Listening)
		p.set(func(p *printer) {
			p.answer = func(line string) ([]string, bool) { return nil, strings.Contains(line, "M400") }
		})
		end := make(chan error, 1)
		go func() { _, err := l.Send(t.Context(), "M400"); end <- err }()
		synctest.Wait()
		p.set(func(p *printer) { p.gone, p.opens = true, 0 })
		begun := time.Now()
		p.unplug()
		if err := <-end; !errors.Is(err, ErrUnplugged) || time.Since(begun) > 250*time.Millisecond {
			t.Errorf("after %v: %v", time.Since(begun), err)
		}
		until(t, l, Unplugged)
		time.Sleep(time.Minute)
		if look(p).opens < 50 || look(p).opens > 70 {
			t.Errorf("looked for the port %d times in a minute, want about once a second", look(p).opens)
		}
		p.set(func(p *printer) { p.gone, p.board, p.answer, p.heard = false, board{}, nil, nil })
		if took := until(t, l, Greeting); took > 2*time.Second {
			t.Errorf("back after %v, want 2 s at most", took)
		}
		until(t, l, Listening)
		for _, line := range p.lines() {
			if strings.HasPrefix(line, "M400") {
				t.Error("work was resumed")
			}
		}
	})
}

// TestRestartInMidRun: a board that greets in mid-run has forgotten everything.
func TestRestartInMidRun(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		l := startLine(t, p)
		until(t, l, Listening)
		p.set(func(p *printer) {
			p.answer = func(line string) ([]string, bool) { return nil, strings.Contains(line, "M400") }
		})
		ends := make(chan error, 2)
		for range 2 {
			go func() { _, err := l.Send(t.Context(), "M400"); ends <- err }()
		}
		synctest.Wait()
		p.set(func(p *printer) { p.board, p.answer, p.heard = board{}, nil, nil })
		p.says("start")
		for range 2 {
			if err := <-ends; !errors.Is(err, ErrRestarted) {
				t.Errorf("ended with %v", err)
			}
		}
		if s := l.Snapshot(); s.State != Greeting || s.Greetings != 1 {
			t.Errorf("snapshot %+v", s)
		}
		until(t, l, Listening)
	})
}

// TestSilentRestart: a board that restarts without a word counts from 0 again, and that is noticed at the next line.
func TestSilentRestart(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		l := startLine(t, p)
		until(t, l, Listening)
		p.set(func(p *printer) { p.board = board{} })
		if _, err := l.Send(t.Context(), "G1 E1 F60"); !errors.Is(err, ErrRestarted) {
			t.Fatalf("ended with %v", err)
		}
		until(t, l, Listening)
	})
}

// TestResendForEver: a machine that asks for ever is given up, and heaters we switched on go off.
func TestResendForEver(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		l := startLine(t, p)
		until(t, l, Listening)
		if _, err := l.Send(t.Context(), "M104 S210"); err != nil {
			t.Fatal(err)
		}
		p.set(func(p *printer) {
			p.answer = func(line string) ([]string, bool) {
				if !strings.Contains(line, "G1") {
					return nil, false
				}
				return []string{"Error:checksum mismatch", "Resend: " + itoa(int(p.board.last+1)), "ok"}, true
			}
			p.heard = nil
		})
		begun := time.Now()
		_, err := l.Send(t.Context(), "G1 E1 F60")
		if took := time.Since(begun); !errors.Is(err, ErrOutOfStep) || !strings.Contains(err.Error(), "noisy") || took > 15*time.Second {
			t.Fatalf("after %v: %v", took, err)
		}
		sent := 0
		for _, line := range p.lines() {
			if strings.HasPrefix(line, "G1") {
				sent++
			}
		}
		if sent != mostTries {
			t.Errorf("sent %d times, want %d", sent, mostTries)
		}
		untilIt(t, l, "cool", func(s Snapshot) bool { return s.StopConfirmed })
		time.Sleep(time.Minute)
		if s := l.Snapshot(); s.State != OutOfStep || look(p).board.nozzle != 0 {
			t.Errorf("nobody woke it, and it is %+v with a target of %v", s, look(p).board.nozzle)
		}
		p.set(func(p *printer) { p.answer = nil })
		l.Wake()
		until(t, l, Listening)
	})
}

// TestNumbersWrap: the count begins anew long before any integer ends, and nobody notices.
func TestNumbersWrap(t *testing.T) {
	s := newSession(1, 60)
	s.up, s.down, s.board, s.stopAt = wireModel{rng: s.rng}, wireModel{rng: s.rng}, board{}, never
	jobs := s.jobs
	s.jobs = 0
	s.step(Event{Kind: Tick})
	for s.engine.Status().State != Listening {
		s.advance()
	}
	s.jobs, s.engine.last, s.board.last = jobs, lastNumber-20, lastNumber-20
	before := s.engine.tally.marked
	if v := s.run(); v.bad() || v.told != jobs {
		t.Errorf("%+v", v)
	}
	if s.engine.tally.marked != before+1 || s.board.last > lastNumber-100 {
		t.Errorf("marked %d times, the board is at line %d", s.engine.tally.marked-before, s.board.last)
	}
}
