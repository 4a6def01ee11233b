package machine

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"fettle/serialio/gcode"
)

// errorRate is the share of bytes that arrive changed, lost or doubled: 1e-5, which is a bad cable.
const errorRate = 1e-5

// A shift is five minutes of work with heat, polled each second: the nozzle rises to its target under the watch of a wait,
// and what follows is under the watch of a feed.
type shift struct {
	lines  []string
	honest []gcode.Temperatures
	waits  int // so many polls belong to the wait
	bytes  int
}

func newShift(riseCPerS float64) *shift {
	s := &shift{}
	for i := range 300 {
		c := min(21+riseCPerS*float64(i), 205+0.4*float64(i%3-1))
		if c < 204 {
			s.waits = i + 4
		}
		line := fmt.Sprintf("ok T:%.1f /205.0 B:60.0 /60.0 @:64 B@:0", c)
		s.lines, s.honest = append(s.lines, line), append(s.honest, read([]byte(line)))
		s.bytes += len(line)
	}
	return s
}

// read is what comes of a report: a reading, or none.
func read(line []byte) gcode.Temperatures {
	r := gcode.ParseReply(line)
	if r.Kind != gcode.OK && r.Kind != gcode.Report {
		return gcode.Temperatures{}
	}
	if t, ok := gcode.ParseTemperatures(r.Text); ok || t.NoNumber {
		return t
	}
	return gcode.Temperatures{}
}

// watch is the watch at a poll: the first is a wait's, any other a feed's.
func (s *shift) watch(poll int) *watch {
	w := newWatch(205, shop)
	if poll > 0 {
		w.right, w.risen = true, true
	}
	return w
}

// work shows a shift to its watches, with the damaged reports in place of the honest ones.
func (s *shift) work(damaged map[int]gcode.Temperatures) (again, strange int, err error) {
	w := s.watch(0)
	for i, t := range s.honest {
		if i == s.waits {
			w = s.watch(i)
		}
		if bad, ok := damaged[i]; ok {
			t = bad
		}
		since := i
		if i >= s.waits {
			since = i - s.waits
		}
		at := time.Duration(since) * time.Second
		resend, err := w.see(at, at, t)
		if resend {
			again++
		}
		if strange += int(w.lately & 1); err != nil {
			return again, strange, fmt.Errorf("poll %d, %+v: %w", i, t, err)
		}
	}
	return again, strange, nil
}

// damage does to one byte what a bad cable does: a flipped bit, a byte lost, a byte doubled.
func damage(line []byte, at int, random *rand.Rand) []byte {
	if at >= len(line) {
		return line
	}
	switch random.IntN(3) {
	case 0:
		line[at] ^= 1 << random.IntN(8)
		return line
	case 1:
		return append(line[:at], line[at+1:]...)
	}
	return append(line[:at+1], line[at:]...)
}

// hit draws which reports of a shift arrive damaged. next is how many bytes pass until the next damage; it goes on over
// the shift's end.
func (s *shift) hit(next *int, random *rand.Rand) (damaged map[int]gcode.Temperatures, bytes int) {
	if *next >= s.bytes {
		*next -= s.bytes
		return nil, 0
	}
	damaged = map[int]gcode.Temperatures{}
	for i, line := range s.lines {
		bad := []byte(line)
		length := len(bad)
		for *next < length {
			bad = damage(bad, *next, random)
			damaged[i] = read(bad)
			*next += 1 + int(random.ExpFloat64()/errorRate)
			bytes++
		}
		*next -= length
	}
	return damaged, bytes
}

// TestNoFalseStopInNoisyHours: hours of polls each second over a bad cable, with a new watch for each wait and each feed,
// and no heat is ended for a fault that is none.
func TestNoFalseStopInNoisyHours(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 7))
	shifts := []*shift{newShift(3), newShift(8), newShift(1.2)}
	next := int(random.ExpFloat64() / errorRate)
	var bytes, again, strange, stops int
	for i := range noisyHours * 12 {
		s := shifts[i%len(shifts)]
		damaged, n := s.hit(&next, random)
		a, st, err := s.work(damaged)
		bytes, again, strange = bytes+n, again+a, strange+st
		if err != nil {
			stops++
			t.Errorf("in shift %d: %v", i, err)
		}
	}
	t.Logf("%d hours, %d bytes damaged, %d readings not believed, %d targets sent once more, %d false stops", noisyHours, bytes, strange, again, stops)
	if expected := noisyHours * 12 * float64(shifts[0].bytes) * errorRate; float64(bytes) < 0.9*expected || float64(bytes) > 1.1*expected {
		t.Errorf("%d bytes were damaged, expected %.0f", bytes, expected)
	}
}

// TestHowRareAFalseStopIs calculates what no simulation reaches: the chance of one report not to be believed, and with it
// how often two in a row come, by every single damage to every report of a shift.
func TestHowRareAFalseStopIs(t *testing.T) {
	for _, riseCPerS := range []float64{1.2, 3, 8} {
		howRare(t, riseCPerS)
	}
}

func howRare(t *testing.T, riseCPerS float64) {
	s := newShift(riseCPerS)
	var strange, target float64 // mean numbers per poll, each damage at its rate
	s.eachDamage(t, func(w *watch, i int, bad gcode.Temperatures, weight float64) {
		wrong := w.wrong
		if _, err := w.see(s.at(i), s.at(i), bad); err != nil {
			t.Fatalf("one damaged report ends the heat: poll %d, %+v: %v", i, bad, err)
		}
		strange += weight * float64(w.lately&1)
		target += weight * float64(w.wrong-wrong)
		for k := i + 1; k < min(i+6, len(s.honest)); k++ {
			if _, err := w.see(s.at(k), s.at(k), s.honest[k]); err != nil {
				t.Fatalf("one damaged report ends the heat: poll %d, %+v, and at poll %d: %v", i, bad, k, err)
			}
		}
	})
	polls := float64(len(s.honest))
	strange, target = strange*errorRate/polls, target*errorRate/polls
	perHour := 3600 * (strange*strange + target*target)
	t.Logf("rising by %g °C/s, per poll: %.2g not believed, %.2g with another target; two in a row end the heat: once in %.0f hours", riseCPerS, strange, target, 1/perHour)
	t.Logf("expected false stops: %.2g in 10,000 hours, %.2g in 1,000,000 hours", 1e4*perHour, 1e6*perHour)
	if perHour > 1e-5 {
		t.Errorf("%.2g false stops an hour", perHour)
	}
}

func (s *shift) at(poll int) time.Duration { return time.Duration(poll) * time.Second }

// eachDamage hands on the watch as it is before each report of a wait, with everything that one byte makes of that report
// and how likely that is, as a share of the error rate.
func (s *shift) eachDamage(t *testing.T, try func(w *watch, poll int, bad gcode.Temperatures, weight float64)) {
	w := s.watch(0)
	for i, line := range s.lines {
		for at := range line {
			for bit := range 8 {
				bad := []byte(line)
				bad[at] ^= 1 << bit
				copied := *w
				try(&copied, i, read(bad), 1.0/24)
			}
			for _, bad := range []string{line[:at] + line[at+1:], line[:at+1] + line[at:]} {
				copied := *w
				try(&copied, i, read([]byte(bad)), 1.0/3)
			}
		}
		if _, err := w.see(s.at(i), s.at(i), s.honest[i]); err != nil {
			t.Fatalf("an honest nozzle: poll %d: %v", i, err)
		}
	}
}
