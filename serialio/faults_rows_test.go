package serialio

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync/atomic"
	"time"

	"fettle/serialio/standin"
)

// boardRestarts presses the printer's button behind each line of a program, with a board that greets and one that does not.
func boardRestarts() (figure, wrong string) {
	plan := longPlan()
	var slowest Mono
	played := 0
	for _, greets := range []bool{true, false} {
		for line := 1; line < plan.Jobs(); line += slower {
			p := plainBoard(uint64(line))
			p.Greets = greets
			s := newPlain(uint64(line), p, plan)
			var done int
			s.told = func(job int, o Outcome) { done = job }
			s.begin()
			s.work(func() bool { return done >= line })
			s.far.reset(s.now)
			at, before := s.now, movesOf(s)
			if !s.work(func() bool { return !s.is(Listening) }) || s.now-at > 4*time.Second {
				wrong = fmt.Sprintf("restarted behind line %d, greets %v: noticed after %v", line, greets, s.now-at)
			}
			slowest = max(slowest, s.now-at)
			s.until(10*time.Second, func() bool { return false })
			if after := movesOf(s); after != before {
				wrong = fmt.Sprintf("restarted behind line %d, greets %v: %d moves after", line, greets, after-before)
			}
			played++
		}
	}
	return fmt.Sprintf("%d restarts, noticed after %v at most, 0 lines of the program obeyed after", played, slowest), wrong
}

// movesOf counts the lines of the program that the board has obeyed.
func movesOf(s *session) (n int) {
	for job := 1; job <= s.plan.Jobs(); job++ {
		n += s.judge.Times(job)
	}
	return n
}

// lying plays up to the moment in which a lie is told for the first time, behind some heat.
func lying(seed uint64, lie standin.Lie, chance float64) *session {
	s := newPlain(seed, plainBoard(seed, standin.Lying{Lie: lie, Chance: chance}), plans()[seed%16])
	s.begin()
	s.work(func() bool { return s.far.firmware.Told(lie) > 0 || s.next > s.plan.Jobs() && s.open == 0 })
	return s
}

func boardHangs() (figure, wrong string) {
	var slowest, widest Mono
	fewest, played := math.MaxInt, 0
	for seed := uint64(1); seed <= 300/slower; seed++ {
		s := lying(seed, standin.Hang, 0.01)
		if s.far.firmware.Told(standin.Hang) == 0 || s.judge.Times(4) == 0 || !s.is(Listening) { // nothing was hot
			continue
		}
		played++
		at, off := s.now, s.watch("M104 S0")
		if !s.until(time.Minute, func() bool { return !s.is(Listening) }) || s.now-at > 10500*time.Millisecond {
			wrong = fmt.Sprintf("seed %d: alarm after %v", seed, s.now-at)
		}
		slowest = max(slowest, s.now-at)
		s.until(2*time.Minute, func() bool { return false })
		fewest = min(fewest, len(off.times))
		for i := 1; i < len(off.times); i++ {
			widest = max(widest, off.times[i]-off.times[i-1])
		}
		if len(off.times) < 60 || widest > 1050*time.Millisecond || off.times[59]-off.times[0] < 59*time.Second-time.Millisecond {
			wrong = fmt.Sprintf("seed %d: heaters off %d times, at most %v apart", seed, len(off.times), widest)
		}
	}
	if played < 100/slower {
		wrong = fmt.Sprintf("only %d boards hung", played)
	}
	return fmt.Sprintf("%d boards, alarm after %v at most, heaters off at least %d times, at most %v apart", played, slowest, fewest, widest), wrong
}

// stopIn presses Stop some time after a lie began, and tells how long it took to leave.
func stopIn(s *session, after Mono) (took Mono, left bool) {
	s.until(after, func() bool { return false })
	off, at := s.watch("M104 S0"), s.now
	s.step(Event{Kind: Stop})
	s.until(time.Second, func() bool { return len(off.times) > 0 })
	if len(off.times) == 0 {
		return 0, false
	}
	return off.times[0] - at, true
}

func busyForEver() (figure, wrong string) {
	played := 0
	for seed := uint64(1); seed <= 200/slower; seed++ {
		s := lying(seed, standin.SlowAlive, 1)
		if s.far.firmware.Told(standin.SlowAlive) == 0 {
			continue
		}
		played++
		if took, left := stopIn(s, Mono(seed%15)*time.Second); !left || took > 0 {
			wrong = fmt.Sprintf("seed %d: the stop left after %v, %v", seed, took, left)
		}
	}
	return fmt.Sprintf("%d stops, each left in the step in which it was pressed", played), wrong
}

func resendStorm() (figure, wrong string) {
	var slowest Mono
	played, stops := 0, 0
	for seed := uint64(1); seed <= 300/slower; seed++ {
		s := lying(seed, standin.ResendStorm, 0.02)
		if s.far.firmware.Told(standin.ResendStorm) == 0 || !s.is(Listening) {
			continue
		}
		if seed%2 == 0 {
			stops++
			if took, left := stopIn(s, Mono(seed%10)*100*time.Millisecond); !left || took > 0 {
				wrong = fmt.Sprintf("seed %d: the stop left after %v, %v", seed, took, left)
			}
			continue
		}
		played++
		at := s.now
		if !s.until(time.Minute, func() bool { return !s.is(Listening) }) || s.now-at > 15*time.Second {
			wrong = fmt.Sprintf("seed %d: ended after %v", seed, s.now-at)
		}
		slowest = max(slowest, s.now-at)
	}
	if played < 50/slower || stops < 50/slower {
		wrong = fmt.Sprintf("only %d storms and %d stops", played, stops)
	}
	return fmt.Sprintf("%d storms, ended after %v at most; %d stops in one, each left in the step in which it was pressed", played, slowest, stops), wrong
}

// slowOK has a line take 1 ms to 30 min, each length as likely by its magnitude, with "busy" every 2 s.
func slowOK() (figure, wrong string) {
	template := lying(1, standin.Silent, 0).engine // played to its end, and in step
	rng := rand.New(rand.NewPCG(9, 9))
	const played = 100_000 / slower
	var out []Effect
	var longestOK Mono
	blocks := [...]string{"G28", "G1 X10 F600", "M104 S200"}
	for i := range played {
		e := *template
		now := Mono(2 * time.Hour)
		takes := Mono(float64(time.Millisecond) * math.Pow(float64(30*time.Minute/time.Millisecond), rng.Float64()))
		longestOK = max(longestOK, takes)
		out = e.Step(now, Event{Kind: Submit, Job: 7, Text: []byte(blocks[i%len(blocks)])}, out[:0])
		told := false
		for at := 2 * time.Second; at < takes && !told; at += 2 * time.Second {
			out = busyUntil(&e, now+at, out[:0])
			told = endedIn(out) != nil
		}
		out = e.Step(now+takes, Event{Kind: Heard, Text: ok}, out[:0])
		if end := endedIn(out); told || end == nil || end.Outcome != Obeyed {
			wrong = fmt.Sprintf("%s took %v and was ended as %+v", blocks[i%len(blocks)], takes, end)
		}
	}
	return fmt.Sprintf("%d lines of up to %v, 0 aborted", played, longestOK.Round(time.Second)), wrong
}

// busyUntil lets alarms ring as they fall due, and then says busy.
func busyUntil(e *Engine, at Mono, out []Effect) []Effect {
	for e.Due() <= at {
		out = e.Step(e.Due(), Event{Kind: Tick}, out)
	}
	return e.Step(at, Event{Kind: Heard, Text: []byte("echo:busy: processing")}, out)
}

func endedIn(out []Effect) *Effect {
	for i := range out {
		if out[i].Do == End {
			return &out[i]
		}
	}
	return nil
}

// okAstray has oks come early, twice, late, for nothing and not at all. M400, the end of a step, is not even told done early.
func okAstray() (figure, wrong string) {
	var early atomic.Int64
	for _, lie := range []standin.Lie{standin.OKEarly, standin.OKDoubled, standin.OKOlder, standin.OKForNothing, standin.OKLost} {
		sum := playAll(300/slower, func(seed uint64) *session {
			s := newPlain(seed, plainBoard(seed, standin.Lying{Lie: lie, Chance: 0.02}), plans()[seed%16])
			s.told = func(job int, o Outcome) {
				if o == Obeyed && s.judge.Times(job) == 0 && strings.HasPrefix(s.plan.Block(job), "M400") {
					early.Add(1)
				}
			}
			return s
		})
		figure += fmt.Sprintf("%s %d; ", lie, sum.tally["lie: "+string(lie)])
		wrong += strings.Join(sum.bad, "\n")
	}
	if n := early.Load(); n > 0 {
		wrong += fmt.Sprintf("M400 was told done before it was %d times", n)
	}
	return figure + "0 shifted", wrong
}

func faultReported() (figure, wrong string) {
	var slowest Mono
	played := 0
	for seed := uint64(1); seed <= 400/slower; seed++ {
		s := lying(seed, standin.FaultReported, 0.1)
		if s.far.firmware.Told(standin.FaultReported) == 0 || !s.is(Listening) {
			continue
		}
		played++
		again, fault := "", false
		s.heard = func(answer []byte) { fault = fault || bytes.Contains(answer, []byte("system stopped")) }
		s.left = func(frame []byte) {
			if fault && (bytes.Contains(frame, []byte(" G1 ")) || bytes.Contains(frame, []byte(" M106 "))) {
				again = string(frame)
			}
		}
		opens := s.far.resets
		s.until(5*time.Minute, func() bool { return false })
		if v := s.judge.Close(); v.Uncooled > 0 || v.SlowestCool > 250*time.Millisecond || again != "" || !s.is(Halted) || s.far.resets != opens {
			wrong = fmt.Sprintf("seed %d: both off after %v, %q left behind it, it is %v: %v", seed, v.SlowestCool, again, s.engine.Status().State, v.Findings)
		} else {
			slowest = max(slowest, v.SlowestCool)
		}
	}
	if played < 100/slower {
		wrong = fmt.Sprintf("only %d faults", played)
	}
	return fmt.Sprintf("%d faults, both heaters told off within %v, nothing sent again, no port opened", played, slowest), wrong
}
