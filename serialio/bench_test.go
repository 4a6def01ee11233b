package serialio

import (
	"testing"
	"time"
)

// listening makes an engine that is in step, by playing the far end by hand.
func listening(t testing.TB) *replayer {
	r := newReplay(t, 1<<20)
	r.pass(time.Second)
	b := board{}
	for r.engine.Status().State != Listening && r.now < time.Minute {
		for _, line := range r.wrote {
			for _, c := range []byte(line + "\n") {
				b.receive(c)
			}
		}
		r.wrote = nil
		for b.hasLine() {
			_, says := b.work()
			for _, line := range says {
				r.hear([]byte(line + "\n"))
			}
		}
		r.pass(50 * time.Millisecond)
	}
	if r.engine.Status().State != Listening {
		t.Fatalf("not listening: %+v", r.engine.Status())
	}
	return r
}

var (
	move   = []byte("G1 X10.5 E2.25 F1800")
	poll   = []byte("M105")
	ok     = []byte("ok")
	report = []byte("ok T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0")
)

// oneLine takes one line through the engine: submitted, written, acknowledged, told.
func oneLine(e *Engine, now Mono, job uint32, block, answer []byte, out []Effect) []Effect {
	out = e.Step(now, Event{Kind: Submit, Job: job, Text: block}, out[:0])
	return e.Step(now, Event{Kind: Heard, Text: answer}, out[:0])
}

func TestStepAllocatesNothing(t *testing.T) {
	for name, c := range map[string]struct{ block, answer []byte }{"move": {move, ok}, "poll": {poll, report}} {
		e := listening(t).engine
		out := make([]Effect, 0, 16)
		job := uint32(1)
		n := testing.AllocsPerRun(1000, func() {
			job++
			out = oneLine(e, time.Hour, job, c.block, c.answer, out)
		})
		if n != 0 {
			t.Errorf("%s: %v allocations a line, want none", name, n)
		}
		if len(out) != 1 || out[0].Do != End || out[0].Outcome != Obeyed {
			t.Errorf("%s: ended as %+v", name, out)
		}
	}
}

func BenchmarkStepMove(b *testing.B) { benchStep(b, move, ok) }
func BenchmarkStepPoll(b *testing.B) { benchStep(b, poll, report) }

func benchStep(b *testing.B, block, answer []byte) {
	e := listening(b).engine
	out := make([]Effect, 0, 16)
	b.ReportAllocs()
	job := uint32(0)
	for b.Loop() {
		if job++; e.last > lastNumber-10 {
			e.last = 0 // wrapping is a conversation of its own
		}
		out = oneLine(e, time.Hour, job, block, answer, out)
	}
}
