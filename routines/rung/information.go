package rung

import "math"

// atoms is how many equally likely ideas stand for all of them when placements are weighed.
const atoms = 96

// sameMM: ideas whose needs differ by no more call for the same value, and telling them apart gains nothing.
const sameMM = 0.15

// A lens weighs placements: what it holds is the same for all of them.
type lens struct {
	ideas     []idea
	confusion *[levels][levels]float64
	looks     float64
	same      int // steps
}

func (b belief) lens() lens {
	return lens{b.atoms, confusionOf(b.scatter), usefulLooks(b.looks), b.scale.whole(sameMM * b.start.fine())}
}

// usefulLooks: gaps of one band are looked at by the same eye in the same light, so further ones add less than the first.
func usefulLooks(looks float64) float64 { return math.Sqrt(looks) }

// alike says whether two ideas call for the same value.
func (l lens) alike(a, b idea) bool {
	if a.damp || b.damp {
		return a.damp == b.damp
	}
	return a.need-b.need <= l.same && b.need-a.need <= l.same
}

// gain is the information in nats that a piece with bands at these lengths is expected to give about the needed length.
// It is the pairwise lower bound on the entropy of a mixture (Kolchinsky and Tracey, Entropy 19 (2017) 361, with the
// Bhattacharyya distance; recalled from memory), with ideas that call for the same value taken as one. The distances of
// bands add up, since the looks at them are independent given the machine.
func (l lens) gain(lengthsMM []float64) float64 {
	places := l.places(lengthsMM)
	return l.entropy(func(i, j int) float64 { return l.blur(places[i], places[j]) })
}

// all is what a piece would tell that parts whatever calls for different values, in nats.
func (l lens) all() float64 {
	return l.entropy(func(i, j int) float64 { return 0 })
}

// entropy is that of what is seen, where blur says how much of two ideas stays mixed up.
func (l lens) entropy(blur func(i, j int) float64) float64 {
	mixed := make([]float64, len(l.ideas))
	for i := range l.ideas {
		mixed[i]++
		for j := range i {
			s := 1.0
			if !l.alike(l.ideas[i], l.ideas[j]) {
				s = blur(i, j)
			}
			mixed[i] += s
			mixed[j] += s
		}
	}
	sum := 0.0
	for _, m := range mixed {
		sum -= math.Log(m / float64(len(l.ideas)))
	}
	return sum / float64(len(l.ideas))
}

// places are the levels that each idea shows at the lengths.
func (l lens) places(lengthsMM []float64) [][Bands]uint8 {
	all := make([][Bands]uint8, len(l.ideas))
	for i, h := range l.ideas {
		for n, mm := range lengthsMM {
			all[i][n] = uint8(levelOf(h.score(mm)))
		}
	}
	return all
}

// blur is how much of two ideas stays mixed up after a piece: 1 where they show the same.
func (l lens) blur(a, b [Bands]uint8) float64 {
	sum := 0.0
	for n := range a {
		sum += l.confusion[a[n]][b[n]]
	}
	return math.Exp(-l.looks * sum)
}
