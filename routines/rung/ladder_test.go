package rung

import (
	"math"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"
)

// An ending is how one ladder ended.
type ending struct {
	do      string
	valueMM float64
	prints  int
	left    []float64 // what was said before each print about how many are left
}

// ladder follows the chooser on one machine to its end.
func ladder(t testing.TB, s specimen, r *rater) ending {
	var prints []Print
	var left []float64
	for {
		n := Choose(s.start, prints)
		if n.Do != DoPrint && n.Do != DoConfirm {
			return ending{n.Do, n.ValueMM, len(prints), left}
		}
		if bad := unfit(s.start, n); bad != "" {
			t.Fatalf("%s, print %d: %s: %+v", s.name, len(prints)+1, bad, n)
		}
		left = append(left, n.PrintsLeft)
		prints = append(prints, r.look(s, n.LengthsMM, n.Do == DoConfirm))
	}
}

// right says whether an ending is true of the machine: a length within 0.25 mm, or that there is none.
func (e ending) right(s specimen) bool {
	trueMM, exists := s.truth()
	if e.do != DoTake {
		return !exists && e.do != DoCannotTell && e.do != DoHotEnd
	}
	return exists && math.Abs(e.valueMM-trueMM) <= 0.25+1e-9
}

// A tally is what a number of ladders came to.
type tally struct {
	prints []int
	misses int
	ends   []ending
	none   int // machines that no length serves
	why    int // of which the finding names the reason
}

func (t tally) percentile(part float64) int {
	sorted := slices.Sorted(slices.Values(t.prints))
	return sorted[min(len(sorted)-1, int(math.Ceil(part*float64(len(sorted)))-1))]
}

func (t tally) mean() float64 {
	sum := 0
	for _, n := range t.prints {
		sum += n
	}
	return float64(sum) / float64(len(t.prints))
}

// machines is how many are simulated of each kind: RUNG_MACHINES, or few enough for every day.
func machines(t testing.TB) int {
	if text := os.Getenv("RUNG_MACHINES"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 {
			t.Fatalf("RUNG_MACHINES=%q is no number of machines", text)
		}
		return n
	}
	return 20
}

type way func(specimen, *rater) ending

// many follows one way on many machines, on both cores.
func many(count int, scatter float64, specimens func(uint64) specimen, follow way) tally {
	ends := make([]ending, count)
	right, reasons := make([]bool, count), make([]string, count)
	var all sync.WaitGroup
	for half := range 2 {
		all.Go(func() {
			for i := half; i < count; i += 2 {
				s := specimens(uint64(i))
				ends[i] = follow(s, raterOf(uint64(i), scatter))
				right[i], reasons[i] = ends[i].right(s), s.reason()
			}
		})
	}
	all.Wait()
	t := tally{ends: ends}
	for i, e := range ends {
		t.prints = append(t.prints, e.prints)
		if !right[i] {
			t.misses++
		}
		if reasons[i] != "" {
			t.none++
		}
		if reasons[i] == e.do {
			t.why++
		}
	}
	return t
}
