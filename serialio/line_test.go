package serialio

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestGreeting(t *testing.T) {
	boards := map[string]struct {
		boot  func(*printer)
		least time.Duration
		most  time.Duration
		greet int
	}{
		"up already": {nil, time.Second, 2 * time.Second, 0},
		"greets after 1 s": {func(p *printer) {
			time.Sleep(time.Second)
			p.says("start", "echo:  External Reset")
		}, time.Second, 3 * time.Second, 1},
		"greets after 10 s and hears nothing before": {func(p *printer) {
			p.set(func(p *printer) { p.mute = true })
			time.Sleep(10 * time.Second)
			p.set(func(p *printer) { p.mute, p.board = false, board{} })
			p.says("start")
		}, 10 * time.Second, 12 * time.Second, 1},
		"starts without a word after 7 s": {func(p *printer) {
			p.set(func(p *printer) { p.mute = true })
			time.Sleep(7 * time.Second)
			p.set(func(p *printer) { p.mute, p.board = false, board{} })
		}, 7 * time.Second, 15 * time.Second, 0},
		"was at line 57 before": {func(p *printer) {
			p.set(func(p *printer) { p.board.last = 57 })
		}, time.Second, 2 * time.Second, 0},
		"sets its number only in turn": {func(p *printer) {
			p.set(func(p *printer) { p.board.stubborn, p.board.last = true, 57 })
		}, time.Second, 12 * time.Second, 0},
		"keeps no line numbers": {func(p *printer) {
			p.set(func(p *printer) { p.board.lenient = true })
		}, time.Second, 8 * time.Second, 0},
	}
	for name, b := range boards {
		t.Run(name, func(t *testing.T) {
			bubble(t, func(t *testing.T) {
				p := &printer{boot: b.boot}
				l := startLine(t, p)
				if took := until(t, l, Listening); took < b.least || took > b.most {
					t.Errorf("listening after %v, want %v to %v", took, b.least, b.most)
				}
				s := l.Snapshot()
				if s.Greetings != b.greet || s.Identity.Firmware != "Model 1 (invented)" || s.TempsAt.IsZero() || s.PositionAt.IsZero() {
					t.Errorf("snapshot %+v", s)
				}
				for _, line := range p.lines() {
					if word, _, _ := strings.Cut(line, " "); !slices.Contains([]string{"M110", "M115", "M105", "M114"}, word) {
						t.Errorf("the first contact sent %q", line)
					}
				}
				r, err := l.Send(t.Context(), "M105")
				if err != nil || !slices.Equal(r.Lines, []string{"T:21.0 /0.0 B:20.0 /0.0 @:0 B@:0"}) {
					t.Errorf("M105 answered %q, %v", r.Lines, err)
				}
			})
		})
	}
}

func TestSilence(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		if took := fallsSilent(t, p, l); took != 5*time.Second {
			t.Fatalf("out of step after %v, want 5s", took)
		}
		if _, err := l.Send(t.Context(), "M105"); !errors.Is(err, ErrNotListening) {
			t.Fatalf("out of step it took a line: %v", err)
		}
		p.set(func(p *printer) { p.mute = false })
		until(t, l, Listening)
		obeys(t, l, "M105")
	})
}

// TestSilenceWithHeat: heaters that were switched on over a line that falls silent are switched off, each second for a
// minute.
func TestSilenceWithHeat(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		obeys(t, l, "M104 S210")
		took := fallsSilent(t, p, l)
		took += untilIt(t, l, "asked to cool", func(s Snapshot) bool { return s.StopAsked })
		if took > 10500*time.Millisecond {
			t.Errorf("heaters off after %v, want 10.5 s at most", took)
		}
		time.Sleep(70 * time.Second)
		if off := p.times("M104 S0"); off < 55 || off > 65 {
			t.Errorf("nozzle off was sent %d times, want about 60", off)
		}
		if s := l.Snapshot(); s.StopConfirmed || s.State != OutOfStep {
			t.Errorf("a silent printer confirmed: %+v", s)
		}
	})
}

func TestBusyIsAlive(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.blocks("M400")
		done := sendAway(t, l, "M400", 1)
		for range 900 { // half an hour
			time.Sleep(2 * time.Second)
			p.says("echo:busy: processing")
		}
		p.isDone()
		done.end(t, nil)
	})
}

func TestFirmwareError(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.set(func(p *printer) {
			p.answer = func(line string) ([]string, bool) {
				if !strings.Contains(line, "M500") {
					return nil, false
				}
				p.board.last++
				return []string{"Error:no storage", "ok"}, true
			}
		})
		var refused *FirmwareError
		if _, err := l.Send(t.Context(), "M500"); !errors.As(err, &refused) || refused.Text != "no storage" {
			t.Fatalf("got %v", err)
		}
		obeys(t, l, "M105")
	})
}

func TestOrderIsKept(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		var wg sync.WaitGroup
		for sender := range 4 {
			wg.Go(func() {
				for k := range 50 {
					if _, err := l.Send(t.Context(), "G1 E"+string(rune('1'+sender))+"000"+" F"+itoa(k)); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
		next := [4]int{}
		for _, line := range p.lines() {
			if strings.HasPrefix(line, "G1 E") {
				sender := int(line[4] - '1')
				if want := " F" + itoa(next[sender]); !strings.HasSuffix(line, want) {
					t.Fatalf("sender %d: %q where%q was due", sender, line, want)
				}
				next[sender]++
			}
		}
		if next != [4]int{50, 50, 50, 50} {
			t.Errorf("arrived %v", next)
		}
	})
}

func TestWithdraw(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		p.blocks("M400")
		inFlight, cancelFlight := context.WithCancel(t.Context())
		waiting, cancelWaiting := context.WithCancelCause(t.Context())
		ends := make(chan error, 2)
		go func() { _, err := l.Send(inFlight, "M400"); ends <- err }()
		time.Sleep(time.Millisecond)
		go func() { _, err := l.Send(waiting, "G1 E5 F60"); ends <- err }()
		time.Sleep(time.Millisecond)
		mine := errors.New("somebody gave up")
		cancelWaiting(mine)
		if err := <-ends; !errors.Is(err, mine) {
			t.Fatalf("the waiting one ended with %v", err)
		}
		cancelFlight()
		if err := <-ends; !errors.Is(err, context.Canceled) {
			t.Fatalf("the one in flight ended with %v", err)
		}
		p.isDone()
		obeys(t, l, "M105")
		if p.times("G1 E5 F60") > 0 {
			t.Error("a withdrawn line was sent")
		}
	})
}

func TestRefusesWhatIsNoBlock(t *testing.T) {
	onLine(t, func(t *testing.T, p *printer, l *Line) {
		for _, text := range []string{"", "M105\nM104 S200", "M104 S200*33", "g1 x1", "N5 M105", "M117 \"x\"", "G1 X1;", strings.Repeat("G", 90)} {
			if _, err := l.Send(t.Context(), text); !errors.Is(err, ErrBadBlock) {
				t.Errorf("%q ended with %v", text, err)
			}
		}
	})
}
