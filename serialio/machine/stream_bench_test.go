package machine_test

import (
	"cmp"
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
	lines := 200_000
	if testing.Short() {
		lines /= 10
	}
	for b.Loop() {
		isFlat(b, s.Machine, lines)
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

// BenchmarkStream streams lines over a pseudo-terminal to the stand-in, and holds the stream each 200 lines for as many by
// a bare loop of Send: so both meet the same load. It prints the median of the ratios of their rates, what the stream
// allocates more for each line, and how long its beginning and end take.
//
//	go test -run xxx -bench 'Stream$' -benchtime 20x ./serialio/machine
func BenchmarkStream(b *testing.B) {
	const lines = 200
	s := newShopAt(b, standin.Invented(), 1)
	var texts []string
	for step := range speeds(lines).Steps {
		texts = append(texts, step.Block.String())
	}
	bare := turns{do: func() {
		for _, text := range texts {
			if _, err := s.line.Send(b.Context(), text); err != nil {
				b.Fatal(err)
			}
		}
	}}
	var stream turns
	var around []time.Duration
	for b.Loop() {
		begun := time.Now()
		stream.begin()
		done, err := s.Stream(b.Context(), speeds(10*lines), func(_ context.Context, done gcode.Extent) error {
			if done.Lines > 0 && done.Lines%lines == 0 {
				stream.end()
				bare.begin()
				bare.do()
				bare.end()
				stream.begin()
			}
			return nil
		})
		if err != nil || done.Lines != 10*lines {
			b.Fatal(done, err)
		}
		around = append(around, time.Since(begun)-sum(stream.took[len(stream.took)-9:])-sum(bare.took[len(bare.took)-9:]))
	}
	ratios := make([]float64, len(bare.took))
	for i := range ratios {
		ratios[i] = bare.took[i].Seconds() / stream.took[i].Seconds()
	}
	b.ReportMetric(median(ratios), "of-bare")
	b.ReportMetric(lines/median(stream.took).Seconds(), "lines/s")
	b.ReportMetric((float64(stream.mallocs)-float64(bare.mallocs))/float64(lines*len(bare.took)), "allocs-more/line")
	b.ReportMetric(float64(median(around).Milliseconds()), "ms-around")
	b.ReportMetric(0, "ns/op")
}

// turns is how long each turn of something took, and what all of them allocated, the stand-in's part included.
type turns struct {
	do      func()
	begun   time.Time
	before  uint64
	took    []time.Duration
	mallocs uint64
}

func (t *turns) begin() { t.before, t.begun = mallocs(), time.Now() }

func (t *turns) end() {
	t.took = append(t.took, time.Since(t.begun))
	t.mallocs += mallocs() - t.before
}

func mallocs() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.Mallocs
}

func median[T cmp.Ordered](all []T) T {
	slices.Sort(all)
	return all[len(all)/2]
}

func sum(all []time.Duration) (total time.Duration) {
	for _, d := range all {
		total += d
	}
	return total
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
