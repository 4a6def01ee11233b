package serialio

import (
	"bytes"
	"fmt"
	"strconv"
	"testing"
	"time"

	"fettle/serialio/judge"
)

// mostNumber is the largest line number: RS274/NGC has five digits (NIST IR 6556, 3.3.2).
const mostNumber = 99_999

// turns watches the numbers of the lines that leave, and counts how often the count begins anew on a lower one.
type turns struct {
	last, most int64
	back       int
}

func (w *turns) watch(s *session) {
	s.left = func(frame []byte) {
		n := numberOf(frame)
		if bytes.Contains(frame, []byte(" M110 ")) {
			if n < w.last {
				w.back++
			}
			w.last = n
		}
		w.last, w.most = max(w.last, n), max(w.most, n)
	}
}

func numberOf(frame []byte) int64 {
	digits, _, _ := bytes.Cut(frame[1:], []byte(" "))
	n, err := strconv.ParseInt(string(digits), 10, 64)
	if err != nil {
		return mostNumber + 1
	}
	return n
}

// movesPlan is so many moves, none like another, and M400.
func movesPlan(n int) *judge.Plan {
	blocks := make([]string, n)
	for i := range blocks {
		blocks[i] = fmt.Sprintf("G1 X%.3f Y%.3f F%d", 80+float64(i%1000)/20, 60+float64(i/1000)/20, 1000+i%7)
	}
	blocks[n-1] = "M400"
	return judge.NewPlan(blocks)
}

// TestNumbersStayBelowSixDigits sends a program that is longer than the count by far, over a good cable and over one that
// damages a byte in fifty thousand.
func TestNumbersStayBelowSixDigits(t *testing.T) {
	plan := movesPlan(250_000 / slower)
	for _, rate := range []float64{0, 2e-5} {
		s := newPlain(8, plainBoard(8), plan)
		s.down, s.up = newBadWire(s.rng, rate, 0), newBadWire(s.rng, rate, 0)
		var w turns
		w.watch(s)
		v := s.run()
		fmt.Printf("%d lines at %g in %v of its time: %d told done, %d refused, %d bytes damaged, %d twins, the count began anew %d times, highest %d\n",
			plan.Jobs(), rate, s.now.Round(time.Second), v.Told, v.Turned, s.down.damaged+s.up.damaged, v.Twins, w.back, w.most)
		if v.Bad() || s.stuck || v.Told != plan.Jobs() || v.Jobs != plan.Jobs() {
			t.Errorf("at %g: stuck %v, %v: %+v", rate, s.stuck, s.engine.Status().Why, v)
		}
		if w.most > mostNumber || slower == 1 && w.back < 3 {
			t.Errorf("at %g the highest number is %d, and the count began anew %d times", rate, w.most, w.back)
		}
		if rate > 0 && v.Turned == 0 {
			t.Error("nothing was refused")
		}
	}
}

// turning is a conversation in which the count begins anew behind some forty lines instead of some forty thousand. From
// the fifth line before that on, what leaves is numbered from 0, and given to befall.
func turning(seed uint64, befall func(s *session, k int)) (*session, *turns) {
	p := plainBoard(seed)
	p.NoResendOK, p.ShortResend, p.ResendTwice = seed%2 == 0, seed%3 == 0, seed%5 == 0
	s := newPlain(seed, p, movesPlan(100))
	w := &turns{}
	w.watch(s)
	numbers, near, k := s.left, int64(0), -1
	s.also = func(s *session) {
		b := &s.engine.bases
		switch {
		case near == 0 && s.next > 1:
			near = s.engine.last + 40
			b.wrapAt = near
		case near > 0 && s.engine.phase == marking:
			b.wrapAt = lastNumber
		}
	}
	s.left = func(frame []byte) {
		numbers(frame)
		if n := numberOf(frame); k >= 0 || near > 0 && n >= near-4 && n <= near {
			k++
			befall(s, k)
		}
	}
	return s, w
}

// turnedWell plays such a conversation and holds it to its word: all is obeyed once, in order, and told done, but for so many
// lines, whose callers are told something else.
func turnedWell(t *testing.T, what string, s *session, w *turns, butFor int) {
	t.Helper()
	v := s.run()
	if v.Bad() || s.stuck || v.Told < s.plan.Jobs()-butFor || v.Jobs < s.plan.Jobs()-butFor || w.most > mostNumber || s.engine.tally.marked < 3 {
		t.Errorf("%s: stuck %v, %d markers, highest %d, %v: %+v", what, s.stuck, s.engine.tally.marked, w.most, s.engine.Status().Why, v)
	}
	if s.far.differs != "" {
		t.Errorf("%s: %s", what, s.far.differs)
	}
}

// aroundTurn is how many lines around the turn are looked at: some before it, the new count's M110 and what proves it, some
// behind it.
const aroundTurn = 16

// TestDamageWhereTheCountBeginsAnew damages a byte of each line around the turn, and of the answer to each.
func TestDamageWhereTheCountBeginsAnew(t *testing.T) {
	refused := 0
	for seed := uint64(0); seed < 400/slower; seed++ {
		at, byte, answer := int(seed)%aroundTurn, int(seed/aroundTurn)%20, seed%2 == 1
		s, w := turning(seed, func(s *session, k int) {
			switch {
			case k != at:
			case answer:
				s.up.skip = byte % 3 // into "ok" and its end
			default:
				s.down.skip = byte
			}
		})
		turnedWell(t, fmt.Sprintf("seed %d, byte %d of line %d, answer %v", seed, byte, at, answer), s, w, 0)
		refused += s.far.firmware.Snapshot().Refused
	}
	if refused < 100/slower {
		t.Errorf("only %d lines were refused", refused)
	}
}

// TestResendWhereTheCountBeginsAnew lets a Resend come around the turn that the board never said, for a line of the count
// before. It is asked about, and what the board really wants is what it gets. The line in flight may be told the error that
// came with it; one that looks like the answer to a question of ours goes to a person.
func TestResendWhereTheCountBeginsAnew(t *testing.T) {
	for k := range aroundTurn {
		for _, back := range []int64{1, 2, 5, 30} {
			var old int64
			s, w := turning(uint64(k), func(s *session, at int) {
				if at == 0 {
					old = s.engine.last
				}
				if at == k {
					s.up.send(s.now, fmt.Appendf(nil, "Error:checksum mismatch, Last Line: %d\nResend: %d\n", old-back, old-back+1))
				}
			})
			turnedWell(t, fmt.Sprintf("a Resend of the %d. line back, at line %d", back, k), s, w, 3)
			if s.engine.tally.asked == 0 {
				t.Errorf("at line %d nothing was asked", k)
			}
		}
	}
}
