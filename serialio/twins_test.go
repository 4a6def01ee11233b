package serialio

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"fettle/serialio/gcode"
	"fettle/serialio/standin"
)

// twinRates are the rates of damage at which some thousand lines make ten twins, and how many conversations that takes.
var twinRates = []struct {
	rate     float64
	sessions int
	many     bool // only where very many conversations are asked for
}{{1e-2, 200, false}, {3e-3, 800, false}, {1e-3, 15_000, true}}

// TestTwins: a line obeyed with other words than were sent under its number is a twin by its checksum, and there are as many
// of them as a simulation of the frame alone says. The limits on what is sent again are lifted for it: with them a line so
// noisy is held long before.
func TestTwins(t *testing.T) {
	odds := simulateFrames(400_000 / slower)
	for _, c := range twinRates {
		if c.many && *sessions < 1_000_000 {
			continue
		}
		sum := playAll(c.sessions/slower, func(seed uint64) *session { return newNoisy(seed, c.rate) })
		for _, bad := range sum.bad {
			t.Error(bad)
		}
		share, spread := odds.twins(c.rate)
		n := float64(sum.verdict.Jobs)
		want, sigma := n*share, math.Sqrt(n*share+n*n*spread*spread)
		off := (float64(sum.verdict.TwinJob) - want) / sigma
		fmt.Printf("twins at %g a byte, limits on resends lifted: %d of %d lines, %.1f expected, %+.2f standard deviations\n",
			c.rate, sum.verdict.TwinJob, sum.verdict.Jobs, want, off)
		if sum.verdict.TwinJob < 10/slower || math.Abs(off) > 4 {
			t.Errorf("%d twins at %g, want %.1f +- %.1f", sum.verdict.TwinJob, c.rate, want, 4*sigma)
		}
	}
}

// newNoisy is a conversation with a truthful board over a cable that is never too noisy to go on.
func newNoisy(seed uint64, rate float64) *session {
	s := newPlain(seed, standin.Profile{BootTime: -1, MinExtrudeC: 1, Greets: true, ReceiveBytes: 1 << 20, Seed: seed}, plans()[seed%16])
	s.down, s.up = newBadWire(s.rng, rate, 0), newBadWire(s.rng, rate, 0)
	s.engine.lift = true
	return s
}

// mostDamages is how many damaged bytes of one frame are simulated; at 1e-2 more come once in some thousand frames.
const mostDamages = 8

// frameOdds is what becomes of frames with a given number of damaged bytes.
type frameOdds struct {
	samples [mostDamages + 1][]fateOfFrame
}

type fateOfFrame struct {
	bytes      int
	same, twin bool
}

// simulateFrames damages frames alone: no engine, no printer, no conversation.
func simulateFrames(each int) *frameOdds {
	rng := rand.New(rand.NewPCG(4, 4))
	o := &frameOdds{}
	for k := 1; k <= mostDamages; k++ {
		n := each
		if k == 1 {
			n /= 10
		}
		for range n {
			plan := plans()[rng.IntN(16)]
			number, block := int64(10_000+rng.IntN(70_000)), plan.Block(1+rng.IntN(plan.Jobs()))
			frame := gcode.AppendFrame(nil, number, []byte(block))
			same, twin := fateOf(string(damageAt(rng, frame, k)), number, block)
			o.samples[k] = append(o.samples[k], fateOfFrame{len(frame), same, twin})
		}
	}
	return o
}

// damageAt damages k bytes of a frame, the way a bad wire does.
func damageAt(rng *rand.Rand, frame []byte, k int) (out []byte) {
	at := rng.Perm(len(frame))[:k]
	hit := make([]bool, len(frame))
	for _, i := range at {
		hit[i] = true
	}
	w := wireModel{rng: rng}
	for i, c := range frame {
		if hit[i] {
			out = w.harmByte(out, c)
			continue
		}
		out = append(out, c)
	}
	return out
}

// fateOf reads what arrived: taken with the words that were sent, taken with others, or refused.
func fateOf(arrived string, number int64, block string) (same, twin bool) {
	for _, line := range strings.FieldsFunc(arrived, func(r rune) bool { return r == '\n' || r == '\r' }) {
		i := strings.LastIndexByte(line, '*')
		if i < 0 || !strings.HasSuffix(arrived, "\n") {
			continue
		}
		sum := 0
		body := strings.TrimLeft(line[:i], " ")
		for _, c := range []byte(body) {
			sum ^= int(c)
		}
		digits := strings.TrimSpace(line[i+1:])
		if claimed, err := strconv.ParseUint(digits, 10, 8); err != nil || int(claimed) != sum {
			continue
		}
		head := "N" + strconv.FormatInt(number, 10)
		words, numbered := strings.CutPrefix(strings.Replace(body, "n", "N", 1), head)
		if !numbered || words != "" && words[0] >= '0' && words[0] <= '9' {
			continue
		}
		return strings.TrimSpace(words) == block, strings.TrimSpace(words) != block
	}
	return false, false
}

// twins is the share of obeyed lines that are twins at a rate of damage, each line being sent until it is obeyed, and the
// standard error of the simulation.
func (o *frameOdds) twins(rate float64) (share, spread float64) {
	var same, twin, square float64
	same = 1
	for k := 1; k <= mostDamages; k++ {
		n := float64(len(o.samples[k]))
		for _, f := range o.samples[k] {
			p := binomial(f.bytes, k, rate) / binomial(f.bytes, 0, rate) / n
			switch {
			case f.same:
				same += p
			case f.twin:
				twin += p
				square += p * p
			}
		}
	}
	return twin / (same + twin), math.Sqrt(square) / same
}

// binomial is the chance of k damaged bytes among n.
func binomial(n, k int, rate float64) float64 {
	p := math.Pow(1-rate, float64(n-k))
	for i := range k {
		p *= rate * float64(n-i) / float64(i+1)
	}
	return p
}
