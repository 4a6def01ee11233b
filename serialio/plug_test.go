package serialio

import (
	"errors"
	"strings"
	"testing"
	"time"
)

func TestUnplugAndBack(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.blocks("M400")
		waiting := sendAway(t, l, "M400", 1)
		p.set(func(p *printer) { p.gone, p.opens = true, 0 })
		p.unplug()
		if took := waiting.end(t, ErrUnplugged); took > 250*time.Millisecond {
			t.Errorf("noticed after %v", took)
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
		if p.times("M400") > 0 {
			t.Error("work was resumed")
		}
	})
}

// TestRestartInMidRun: a board that greets in mid-run has forgotten everything.
func TestRestartInMidRun(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.blocks("M400")
		waiting := sendAway(t, l, "M400", 2)
		p.set(func(p *printer) { p.board, p.answer, p.heard = board{}, nil, nil })
		p.says("start")
		waiting.end(t, ErrRestarted)
		if s := l.Snapshot(); s.State != Greeting || s.Greetings != 1 {
			t.Errorf("snapshot %+v", s)
		}
		until(t, l, Listening)
	})
}

// TestSilentRestart: a board that restarts without a word counts from 0 again, and that is noticed at the next line.
func TestSilentRestart(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.set(func(p *printer) { p.board = board{} })
		if _, err := l.Send(t.Context(), "G1 E1 F60"); !errors.Is(err, ErrRestarted) {
			t.Fatalf("ended with %v", err)
		}
		until(t, l, Listening)
	})
}

// TestResendForEver: a machine that asks for ever is given up, and heaters we switched on go off.
func TestResendForEver(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		obeys(t, l, "M104 S210")
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
		if sent := p.times("G1 E1 F60"); sent != mostTries {
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
