package machine_test

import (
	"context"
	"runtime"
	"slices"
	"testing"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
	"fettle/serialio/standin"
)

// speeds is a program of so many lines that move nothing, made as they are pulled.
func speeds(lines int) gcode.Program {
	return gcode.Program{Steps: func(yield func(gcode.Step) bool) {
		words := []gcode.Word{{Letter: 'G', Value: 1}, {Letter: 'F'}}
		for i := range lines {
			words[1].Value = 600 + float64(i%977)*5.125
			if !yield(gcode.Step{Block: gcode.Block{Words: words}}) {
				return
			}
		}
	}}
}

// yes is a line that answers at once, and keeps nothing.
type yes struct{ machine.Line }

func (yes) Snapshot() serialio.Snapshot { return serialio.Snapshot{State: serialio.Listening} }

func (yes) Send(_ context.Context, block string) (serialio.Reply, error) {
	if block == "M105" {
		return serialio.Reply{Lines: []string{"T:21.0 /0.0 B:21.0 /0.0"}}, nil
	}
	return serialio.Reply{}, nil
}

// A program of 200,000 lines takes no more memory at its end than at its beginning.
func TestAStreamTakesTheSameMemoryHoweverLong(t *testing.T) {
	m := machine.New(yes{}, 1)
	m.Limit(machine.Limits{NozzleMaxC: 260})
	isFlat(t, m, 200_000)
}

// The same with the line, a pseudo-terminal and the stand-in, all in this process.
func TestTheLineTakesTheSameMemoryHoweverLong(t *testing.T) {
	lines := 40_000
	if testing.Short() || raced {
		lines = 20_000
	}
	isFlat(t, newShop(t, standin.Invented()).Machine, lines)
}

// isFlat streams so many lines and holds the heap to what it was after a tenth, and 256 KiB.
func isFlat(t testing.TB, m *machine.Machine, lines int) {
	t.Helper()
	var heaps []uint64
	done, err := m.Stream(t.Context(), speeds(lines), func(_ context.Context, done gcode.Extent) error {
		if done.Lines%(lines/10) == 0 && done.Lines > 0 {
			heaps = append(heaps, heap())
		}
		return nil
	})
	if err != nil || done.Lines != lines {
		t.Fatal(done, err)
	}
	first, most := heaps[0], slices.Max(heaps)
	t.Logf("heap at each tenth of %d lines, KiB: %v; %.0f lines/s", lines, kibi(heaps), float64(lines)/done.TookS)
	if most > first+256<<10 {
		t.Errorf("the heap grew from %d to %d bytes", first, most)
	}
}

// BenchmarkStreamHeap streams 200,000 lines through the whole line, and logs the heap at each tenth.
//
//	go test -run xxx -bench StreamHeap -benchtime 1x -v ./serialio/machine
func BenchmarkStreamHeap(b *testing.B) {
	s := newShop(b, standin.Invented())
	for b.Loop() {
		isFlat(b, s.Machine, 200_000)
	}
}

// heap is what is in use once nothing that could be freed is.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func kibi(bytes []uint64) []uint64 {
	out := make([]uint64, len(bytes))
	for i, b := range bytes {
		out[i] = b >> 10
	}
	return out
}

// BenchmarkStream streams 5,000 lines over a pseudo-terminal to the stand-in, in turns with a bare loop that sends the same
// texts: so both meet the same load. It prints the ratio of their rates.
//
//	go test -run xxx -bench 'Stream$' -benchtime 4x ./serialio/machine
func BenchmarkStream(b *testing.B) {
	const lines = 5000
	s := newShop(b, standin.Invented())
	p := speeds(lines)
	var texts []string
	for step := range p.Steps {
		texts = append(texts, step.Block.String())
	}
	var streamed, bare []time.Duration
	var mallocs, bareMallocs uint64
	for b.Loop() {
		bare = append(bare, timed(&bareMallocs, func() {
			for _, text := range texts {
				if _, err := s.line.Send(b.Context(), text); err != nil {
					b.Fatal(err)
				}
			}
		}))
		streamed = append(streamed, timed(&mallocs, func() {
			if _, err := s.Stream(b.Context(), p, nil); err != nil {
				b.Fatal(err)
			}
		}))
	}
	rate := func(took []time.Duration) float64 {
		slices.Sort(took)
		return lines / took[len(took)/2].Seconds()
	}
	n := float64(lines * len(bare))
	b.ReportMetric(rate(streamed), "lines/s")
	b.ReportMetric(rate(bare), "bare-lines/s")
	b.ReportMetric(rate(streamed)/rate(bare), "of-bare")
	b.ReportMetric((float64(mallocs)-float64(bareMallocs))/n, "allocs-more/line")
	b.ReportMetric(0, "ns/op")
}

// timed is how long something takes. What it allocates, the stand-in's part included, is added to mallocs.
func timed(mallocs *uint64, do func()) time.Duration {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	begun := time.Now()
	do()
	took := time.Since(begun)
	runtime.ReadMemStats(&after)
	*mallocs += after.Mallocs - before.Mallocs
	return took
}

// BenchmarkVet holds a program to the list and the limits.
func BenchmarkVet(b *testing.B) {
	const lines = 10_000
	s := newShop(b, standin.Invented())
	p := speeds(lines)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Vet(p); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*lines), "ns/line")
}
