package machine

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// bench is a printer at the end of a perfect line, on false time: it heats, keeps a queue of moves, knows its modes and
// where it is. Tests bend it by its hooks.
type bench struct {
	mu        sync.Mutex
	began     time.Time
	sent      []string
	when      []time.Duration // since the beginning, of each line sent
	stops     int
	state     serialio.State
	greetings int
	news      chan struct{}
	halts     int

	// heat
	nozzleC, targetC, bedTargetC float64
	riseCPerS, fallCPerS         float64
	at                           time.Time
	report                       func(n int, line string) string // bends the n-th report

	// motion
	queueEnds                                       time.Time
	x, y, z, e                                      float64
	relative, feedRelative                          bool
	exact                                           bool // M114 with all decimals
	stepsWrong                                      bool // M114 tells another E than was commanded
	hook                                            func(block string) (lines []string, err error, taken bool)
	polls                                           int
	maxAheadS, longestS, longestDryS, fastestMMPerS float64
}

func newBench() *bench {
	now := time.Now()
	return &bench{began: now, at: now, queueEnds: now, state: serialio.Listening, greetings: 1, nozzleC: 21, riseCPerS: 3, fallCPerS: 1}
}

func (b *bench) machine(speedup float64) *Machine {
	m := New(b, speedup)
	m.Limit(shop)
	return m
}

// shop is the limits of an ordinary printer.
var shop = Limits{NozzleMaxC: 260, BedMaxC: 110, FeedMaxMMPerS: 5, BuildMM: [3]float64{220, 210, 200}}

func (b *bench) Run(ctx context.Context) error { <-ctx.Done(); return nil }
func (b *bench) Halt()                         { b.mu.Lock(); b.halts++; b.mu.Unlock() }
func (b *bench) Wake()                         {}
func (b *bench) Snapshot() serialio.Snapshot {
	b.mu.Lock()
	defer b.mu.Unlock()
	return serialio.Snapshot{State: b.state, Greetings: b.greetings}
}
func (b *bench) Changed() <-chan struct{} { b.mu.Lock(); defer b.mu.Unlock(); return b.news }
func (b *bench) Wire() *serialio.Wire     { return nil }
func (b *bench) elapsed() time.Duration   { return time.Since(b.began) }
func (b *bench) lines() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.sent...)
}
func (b *bench) count(prefix string) (n int) {
	for _, l := range b.lines() {
		if strings.HasPrefix(l, prefix) {
			n++
		}
	}
	return n
}

// Stop does what a line does: heaters to 0, at once.
func (b *bench) Stop() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.stops++
	b.targetC, b.bedTargetC = 0, 0
}

func (b *bench) Send(ctx context.Context, block string) (serialio.Reply, error) {
	if err := ctx.Err(); err != nil {
		return serialio.Reply{}, err
	}
	b.mu.Lock()
	b.sent, b.when = append(b.sent, block), append(b.when, b.elapsed())
	b.mu.Unlock()
	if b.hook != nil {
		if lines, err, taken := b.hook(block); taken {
			return serialio.Reply{Lines: lines}, err
		}
	}
	if block == "M400" {
		time.Sleep(time.Until(b.queueEnds)) // false time
		return serialio.Reply{}, nil
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return serialio.Reply{Lines: b.obey(block)}, nil
}

func (b *bench) obey(text string) []string {
	b.heatOn()
	blk, err := gcode.Parse(text)
	if err != nil {
		return []string{"echo:Unknown command: " + text}
	}
	s, _ := blk.Value('S')
	switch strings.Fields(text)[0] {
	case "M104":
		b.targetC = s
	case "M140":
		b.bedTargetC = s
	case "M105":
		b.polls++
		line := fmt.Sprintf("T:%.1f /%.1f B:21.0 /%.1f @:0 B@:0", b.nozzleC, b.targetC, b.bedTargetC)
		if b.report != nil {
			line = b.report(b.polls, line)
		}
		return []string{line}
	case "M114":
		e := b.e
		if b.stepsWrong {
			e++
		}
		if b.exact {
			return []string{fmt.Sprintf("X:%.9f Y:%.9f Z:%.9f E:%.9f", b.x, b.y, b.z, e)}
		}
		return []string{fmt.Sprintf("X:%.2f Y:%.2f Z:%.2f E:%.2f Count X:0 Y:0 Z:0", b.x, b.y, b.z, e)}
	case "G90", "G91":
		b.relative = blk.Is("G91")
	case "M82", "M83":
		b.feedRelative = blk.Is("M83")
	case "G92":
		b.e, _ = blk.Value('E')
	case "G0", "G1":
		b.move(blk)
	}
	return nil
}

func (b *bench) move(blk gcode.Block) {
	way := 0.0
	for letter, axis := range map[byte]*float64{'X': &b.x, 'Y': &b.y, 'Z': &b.z} {
		if v, ok := blk.Value(letter); ok {
			if b.relative {
				v += *axis
			}
			way = math.Hypot(way, v-*axis)
			*axis = v
		}
	}
	if v, ok := blk.Value('E'); ok {
		if b.feedRelative {
			v += b.e
		}
		if way == 0 {
			way = math.Abs(v - b.e)
		}
		b.e = v
	}
	f, _ := blk.Value('F')
	b.fastestMMPerS = math.Max(b.fastestMMPerS, f/60)
	lasts := way / (f / 60)
	now := time.Now()
	if b.queueEnds.Before(now) {
		if b.longestS > 0 { // not before the first move
			b.longestDryS = math.Max(b.longestDryS, now.Sub(b.queueEnds).Seconds())
		}
		b.queueEnds = now
	}
	b.queueEnds = b.queueEnds.Add(time.Duration(lasts * float64(time.Second)))
	b.longestS = math.Max(b.longestS, lasts)
	b.maxAheadS = math.Max(b.maxAheadS, b.queueEnds.Sub(now).Seconds())
}

// heatOn lets the nozzle heat or cool since it was last looked at.
func (b *bench) heatOn() {
	dt := time.Since(b.at).Seconds()
	b.at = time.Now()
	if b.targetC > b.nozzleC {
		b.nozzleC = math.Min(b.targetC, b.nozzleC+b.riseCPerS*dt)
	} else {
		b.nozzleC = math.Max(math.Max(b.targetC, 21), b.nozzleC-b.fallCPerS*dt)
	}
}

// answers is a line that answers from a list.
type answers struct {
	*bench
	replies []serialio.Reply
	asked   int
}

func (a *answers) Send(context.Context, string) (serialio.Reply, error) {
	a.asked++
	return a.replies[a.asked-1], nil
}
