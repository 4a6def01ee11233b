package rung

import (
	"math"
	"slices"
)

// A belief is what all pieces together say: how likely each needed length is, and that none serves.
type belief struct {
	start   Start
	scale   scale
	need    []float64 // by step; beyond the scale's top are those that the ceiling does not reach
	damp    float64   // that strings stay whatever the length
	scatter float64   // of the rater, expected, in grades
	looks   float64   // graded in a band, on average
	atoms   []idea    // the ideas in small: equally likely ones, for weighing placements
	voids   onset
}

// believe is Bayes' rule over every idea and every manner of looking.
func believe(s Start, prints []Print) belief {
	sc := scaleOf(s.CeilingMM)
	list, ways, seen := ideas(s, sc), manners(), sights(sc, prints)
	logs := likelihoods(list, ways, seen)
	b := belief{start: s, scale: sc, need: make([]float64, needs(list)), looks: meanLooks(seen), voids: onsetOf(s, seen)}
	b.weigh(list, ways, logs)
	b.atoms = sample(list, atoms)
	return b
}

// likelihoods is the logarithm of prior times likelihood, idea by idea, with every manner.
func likelihoods(list []idea, ways []manner, seen []sight) []float64 {
	chances := make([]*[levels]float64, 0, len(ways)*len(seen))
	for _, s := range seen {
		for _, w := range ways {
			chances = append(chances, s.chances(w.table, w.tilt))
		}
	}
	logs := make([]float64, 0, len(list)*len(ways))
	for _, h := range list {
		weight := math.Log(h.weight)
		for _, w := range ways {
			logs = append(logs, weight+w.prior)
		}
		sums := logs[len(logs)-len(ways):]
		for i, s := range seen {
			level, row := levelOf(h.score(s.mm)), chances[i*len(ways):]
			for w := range sums {
				sums[w] += row[w][level]
			}
		}
	}
	return logs
}

// ruledOut is how far behind the best, as a logarithm, a hypothesis weighs nothing: all of them together then less than
// one in a million.
const ruledOut = 26

// weigh turns the logarithms into the weights of the list, and learns the rater's scatter on the way.
func (b *belief) weigh(list []idea, ways []manner, logs []float64) {
	most, sum := slices.Max(logs), 0.0
	for i := range list {
		list[i].weight = 0
		for w, way := range ways {
			behind := most - logs[i*len(ways)+w]
			if behind > ruledOut {
				continue
			}
			weight := math.Exp(-behind)
			list[i].weight += weight
			b.scatter += weight * way.scatter
		}
		sum += list[i].weight
	}
	b.scatter /= sum
	b.fold(list, sum)
}

// fold makes the weights chances, and adds them up by what they mean.
func (b *belief) fold(list []idea, sum float64) {
	for i := range list {
		list[i].weight /= sum
		if list[i].damp {
			b.damp += list[i].weight
		} else {
			b.need[list[i].need] += list[i].weight
		}
	}
}

func needs(list []idea) int {
	most := 0
	for _, h := range list {
		most = max(most, h.need)
	}
	return most + 1
}

// meanLooks is how many gaps a band the person grades: two before anything is known.
func meanLooks(seen []sight) float64 {
	looks, bands := 0, 0
	for _, s := range seen {
		looks += len(s.looks)
		bands += s.bands
	}
	if bands == 0 {
		return 2
	}
	return float64(looks) / float64(bands)
}

// sample takes equally likely ideas at equal steps along their summed weights: the list in small, the same each time.
func sample(list []idea, count int) []idea {
	small := make([]idea, 0, count)
	sum := 0.0
	for _, h := range list {
		sum += h.weight
		for sum*float64(count) > float64(len(small))+0.5 && len(small) < count {
			small = append(small, h)
		}
	}
	return small
}
