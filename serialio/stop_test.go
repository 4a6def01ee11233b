package serialio

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestStop(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		obeys(t, l, "M104 S210")
		p.blocks("M400") // a long move: everything behind it waits
		waiting := sendAway(t, l, "M400", 3)
		p.set(func(p *printer) { p.heard = nil })
		l.Stop()
		l.Stop()
		took := waiting.end(t, ErrStopped)
		if got := p.atOnce(); len(got) < 2 || !strings.HasPrefix(got[0], "M110 N") || got[1] != "M104 S0" || took != 0 {
			t.Errorf("at once went out %q after %v", got, took)
		}
		if s := l.Snapshot(); !s.StopAsked {
			t.Errorf("snapshot %+v", s)
		}
		until(t, l, Listening)
		s := l.Snapshot()
		if !s.StopConfirmed || look(p).board.nozzle != 0 || p.times("M140 S0") == 0 {
			t.Errorf("back to listening, but %+v, nozzle target %v", s, look(p).board.nozzle)
		}
		p.set(func(p *printer) { p.answer = nil })
		obeys(t, l, "M105")
	})
}

// TestStopInAnyState: wherever a port is open, Stop is told at once to the printer.
func TestStopInAnyState(t *testing.T) {
	states := map[string]func(t *testing.T, p *printer, l *Line){
		"greeting": func(t *testing.T, p *printer, l *Line) {
			p.set(func(p *printer) { p.mute = true })
			until(t, l, Greeting)
		},
		"listening": func(t *testing.T, p *printer, l *Line) { until(t, l, Listening) },
		"out of step": func(t *testing.T, p *printer, l *Line) {
			until(t, l, Listening)
			fallsSilent(t, p, l)
		},
		"halted": func(t *testing.T, p *printer, l *Line) {
			until(t, l, Listening)
			l.Halt()
			until(t, l, Halted)
			time.Sleep(2 * time.Minute)
		},
	}
	for name, reach := range states {
		t.Run(name, func(t *testing.T) {
			bubble(t, func(t *testing.T) {
				p := &printer{}
				l := startLine(t, p)
				reach(t, p, l)
				synctest.Wait()
				p.set(func(p *printer) { p.heard = nil })
				l.Stop()
				if got := p.atOnce(); !slices.Contains(got, "M104 S0") {
					t.Errorf("at once went out %q", got)
				}
			})
		})
	}
}

// TestStopWhileWritingHangs: a device that stopped reading holds a write, not the caller.
func TestStopWhileWritingHangs(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.set(func(p *printer) { p.deaf = true })
		ends := sendAway(t, l, "G1 E1 F60", 2) // the first is still read by the read under way
		begun := time.Now()
		l.Stop()
		for range 2 {
			if err := <-ends; err != nil && !errors.Is(err, ErrStopped) {
				t.Errorf("ended with %v", err)
			}
		}
		if took := time.Since(begun); took != 0 {
			t.Errorf("the callers waited %v", took)
		}
		time.Sleep(100 * time.Millisecond)
		p.set(func(p *printer) { p.deaf = false })
		until(t, l, Listening)
		if s := l.Snapshot(); !s.StopConfirmed {
			t.Errorf("snapshot %+v", s)
		}
	})
}

// TestDeadWrite: a write that never ends counts as the end of the port; the port is opened anew, and a stop that was
// asked goes on there.
func TestDeadWrite(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.set(func(p *printer) { p.deaf = true })
		sendAway(t, l, "G1 E1 F60", 1)
		l.Stop()
		until(t, l, Unplugged)
		p.set(func(p *printer) { p.deaf = false })
		until(t, l, Listening)
		if s := l.Snapshot(); !s.StopConfirmed || look(p).opens < 2 {
			t.Errorf("opened %d times, %+v", look(p).opens, s)
		}
	})
}

func TestHaltAndWake(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.blocks("M400")
		waiting := sendAway(t, l, "M400", 1)
		l.Halt()
		waiting.end(t, ErrHalted)
		if got := p.atOnce(); !slices.Contains(got, "M112") || !slices.Contains(got, "M104 S0") || !look(p).board.dead {
			t.Errorf("went out %q", got)
		}
		time.Sleep(5 * time.Minute)
		if _, err := l.Send(t.Context(), "M105"); !errors.Is(err, ErrNotListening) || l.Snapshot().State != Halted {
			t.Errorf("after Halt: %v, %v", err, l.Snapshot().State)
		}
		p.set(func(p *printer) { p.board, p.answer = board{}, nil }) // opening resets it
		l.Wake()
		until(t, l, Listening)
		if look(p).opens != 2 {
			t.Errorf("opened %d times", look(p).opens)
		}
	})
}

// TestFatal: the words of a firmware that stopped itself are kept, and nothing but heaters off follows.
func TestFatal(t *testing.T) {
	for _, words := range []string{"Error:Heating failed, system stopped! Heater_ID: 0", "Error:Thermal Runaway, system stopped! Heater_ID: 0",
		"Error:MINTEMP triggered", "Error:Printer halted. kill() called!", "!! overheated"} {
		t.Run(words, func(t *testing.T) {
			onLine(t, func(t *testing.T, p *printer, l *Line) {
				p.blocks("M400")
				waiting := sendAway(t, l, "M400", 1)
				p.says(words)
				waiting.end(t, ErrHalted)
				got, s := p.atOnce(), l.Snapshot()
				if !strings.Contains(words, s.Fault) || s.Fault == "" || s.State != Halted {
					t.Errorf("%+v", s)
				}
				if !slices.Contains(got, "M104 S0") {
					t.Errorf("went out %q", got)
				}
			})
		})
	}
}
