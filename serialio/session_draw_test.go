package serialio

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"time"

	"fettle/serialio/judge"
	"fettle/serialio/standin"
)

// jobsEach is how many lines a conversation has.
const jobsEach = 200

// plans are what the conversations want sent: moves of the length print lines have, heat, polls, a pause of some seconds,
// and M400 at the end, which is never told done before it is proven.
var plans = sync.OnceValue(func() []*judge.Plan {
	made := make([]*judge.Plan, 16)
	for i := range made {
		made[i] = judge.NewPlan(blocksOf(uint64(i), jobsEach))
	}
	return made
})

// unproven is a long plan of moves alone, in which nothing is proven by the way.
var unproven = sync.OnceValue(func() *judge.Plan {
	blocks := make([]string, mostKept+200)
	for i := range blocks {
		blocks[i] = fmt.Sprintf("G1 X%.3f F%d", 80+float64(i%400)/20, 1000+i)
	}
	return judge.NewPlan(append(blocks, "M400"))
})

func blocksOf(seed uint64, jobs int) []string {
	rng := rand.New(rand.NewPCG(seed, 3))
	blocks := make([]string, jobs)
	for i := range blocks {
		blocks[i] = blockOf(rng, i)
	}
	blocks[jobs-1] = "M400"
	return blocks
}

// blockOf is the block of a job: different from every other's.
func blockOf(rng *rand.Rand, i int) string {
	switch i % 25 {
	case 3:
		return fmt.Sprintf("M104 S%d.%d", 150+rng.IntN(80), 1+i)
	case 7:
		return fmt.Sprintf("M105 R%d", 1+i)
	case 11:
		return fmt.Sprintf("M140 S%d.%d", 40+rng.IntN(20), 1+i)
	case 17:
		return fmt.Sprintf("M106 S%d", 1+i)
	case 21:
		return fmt.Sprintf("M400 P%d", 1+i)
	}
	return fmt.Sprintf("G1 X%.3f Y%.3f E%.5f", 80+float64(i)/20, 60+rng.Float64(), float64(i)/50+rng.Float64()/100)
}

// rates are those of damage, per byte.
var rates = [...]float64{0, 0, 1e-5, 1e-4, 1e-3, 3e-3, 1e-2, 2e-2}

// newSession draws a conversation from a seed: the flavour of the board, the damage, the lies, and what befalls it.
func newSession(seed uint64) *session {
	draw := rand.New(rand.NewPCG(seed, 58))
	one := func(n int) bool { return draw.IntN(n) == 0 }
	plan := plans()[draw.IntN(16)]
	rate, late := rates[draw.IntN(len(rates))], Mono(draw.IntN(3))*10*time.Millisecond
	if rate < 1e-4 && one(20) {
		plan = unproven()
	}
	if one(50) {
		return newNumberless(seed, plan)
	}
	s := newPlain(seed, drawProfile(draw), plan)
	s.thinks = one(2)
	s.down, s.up = newBadWire(s.rng, rate, late), newBadWire(s.rng, rate, late)
	if lies(&s.far.profile, standin.Flood) || one(4) {
		s.down.byte, s.up.byte = usbTime, usbTime
	}
	soon := func() Mono { return 1500*time.Millisecond + Mono(draw.Int64N(int64(4*time.Second))) }
	if one(5) {
		s.mishap.stop = soon()
	}
	if one(8) {
		s.mishap.reset = soon()
	}
	if one(10) {
		s.mishap.pull = soon()
		s.mishap.plug = s.mishap.pull + Mono(draw.Int64N(int64(3*time.Second)))
	}
	return s
}

// drawProfile draws how a board talks. It is quick to start and lets cold filament through, for what it pushes is not
// looked at here.
func drawProfile(draw *rand.Rand) standin.Profile {
	one := func(n int) bool { return draw.IntN(n) == 0 }
	p := standin.Profile{BootTime: -1, MinExtrudeC: 1, Seed: draw.Uint64(), NoResendOK: one(6), ResendTwice: one(6), ShortResend: one(4),
		OKFields: one(4), GluedOK: one(6), ReadingsFirst: one(6), WaitsAloud: one(6), CRLF: one(6), BareBusy: one(4),
		NoEmergency: one(4), RefusesOddM110: one(6), Greets: !one(3), ReceiveBytes: 1 << 20, Lies: drawLies(draw)}
	if one(16) {
		p.ReceiveBytes = 128
	}
	if one(3) {
		p.BootTime = time.Second
	}
	p.ResetsOnOpen = one(2)
	if one(10) {
		p.LongestPause = 5 * time.Millisecond
	}
	if one(10) {
		p.RemarksEvery = 500 * time.Millisecond
	}
	return p
}

// newNumberless is a conversation with a firmware that keeps no line numbers, over a wire that damages nothing and loses an ok
// at times.
func newNumberless(seed uint64, plan *judge.Plan) *session {
	p := plainBoard(seed, standin.Lying{Lie: standin.OKLost, Chance: 0.005})
	s := newPlain(seed, p, plan)
	s.judge = judge.New(plan, judge.Rules{Numberless: true})
	s.far.judge, s.far.bare = s.judge, true
	return s
}
