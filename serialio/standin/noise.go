package standin

import "math/rand/v2"

// Wire is what a cable does to bytes on their way: it returns those that arrive. It may change p.
type Wire func(p []byte) []byte

// Noise is a bad cable: of every byte, with the chance rate each, one bit flips, it is lost, or it comes twice. The
// same seed and the same bytes give the same damage. Each direction needs its own.
func Noise(seed uint64, rate float64) Wire {
	rng := rand.New(rand.NewPCG(seed, 0xbadcab1e))
	return func(p []byte) []byte {
		out := make([]byte, 0, len(p)+8)
		for _, c := range p {
			switch roll := rng.Float64(); {
			case roll < rate:
				out = append(out, c^1<<rng.IntN(8))
			case roll < 2*rate:
			case roll < 3*rate:
				out = append(out, c, c)
			default:
				out = append(out, c)
			}
		}
		return out
	}
}
