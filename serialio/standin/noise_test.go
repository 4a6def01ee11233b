package standin

import (
	"bytes"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestNoiseIsTheSameForTheSameSeedHoweverItIsCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed, rate := rapid.Uint64().Draw(t, "seed"), rapid.SampledFrom([]float64{1e-3, 0.01, 0.1, 0.25, 3}).Draw(t, "rate")
		sent := rapid.SliceOfN(rapid.Byte(), 0, 500).Draw(t, "bytes")
		whole, pieces := NewNoisy(seed, rate), NewNoisy(seed, rate)
		want := whole.Wire(bytes.Clone(sent))
		var got []byte
		for rest := sent; len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "piece")
			got = append(got, pieces.Wire(bytes.Clone(rest[:n]))...)
			rest = rest[n:]
		}
		if !bytes.Equal(got, want) || whole.Damage() != pieces.Damage() {
			t.Fatalf("whole %q %v, in pieces %q %v", want, whole.Damage(), got, pieces.Damage())
		}
		if d := whole.Damage(); len(want) != len(sent)-int(d.Lost)+int(d.Doubled)+int(d.Inserted) {
			t.Fatalf("%d of %d bytes came, with %+v", len(want), len(sent), d)
		}
	})
}

// Each kind comes as often as its rate says, within 5 standard deviations of a binomial count.
func TestNoiseDoesAsMuchDamageAsItsRate(t *testing.T) {
	for _, rate := range []float64{1e-4, 1e-3, 0.01, 0.1} {
		const n = 1_000_000
		wire := NewNoisy(7, rate)
		line := make([]byte, 100)
		for range n / len(line) {
			wire.Wire(line)
		}
		within := 5 * math.Sqrt(n*rate*(1-rate))
		d := wire.Damage()
		for name, count := range map[string]int64{"flipped": d.Flipped, "lost": d.Lost, "doubled": d.Doubled, "inserted": d.Inserted} {
			mustBe(t, name, float64(count), n*rate, within)
		}
	}
}

// Each kind of damage is what its count calls it: of zeros alone, a flip is one bit, an insertion a byte on top.
func TestWhatNoiseDoesIsWhatItCounts(t *testing.T) {
	wire := NewNoisy(7, 0.01)
	out := wire.Wire(make([]byte, 20000))
	oneBit, other := 0, 0
	for _, c := range out {
		switch {
		case c == 0:
		case c&(c-1) == 0:
			oneBit++
		default:
			other++
		}
	}
	d := wire.Damage()
	if int64(oneBit) < d.Flipped || int64(oneBit+other) > d.Flipped+d.Inserted || other == 0 {
		t.Errorf("%d bytes with one bit, %d with more, and it counts %+v", oneBit, other, d)
	}
}

func TestNoiseOfNoRateDoesNothing(t *testing.T) {
	for _, rate := range []float64{0, -1, 1e-300} {
		wire := NewNoisy(7, rate)
		if p := make([]byte, 20000); string(wire.Wire(p)) != string(make([]byte, 20000)) || wire.Damage().Bytes() != 0 {
			t.Errorf("noise of rate %v did damage: %+v", rate, wire.Damage())
		}
	}
}
