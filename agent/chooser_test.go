package main

import (
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"fettle/routines/melt"
	"fettle/routines/rung"
	"fettle/serialio/standin"
)

// drawnMachine is one of the stand-in's machines without its line, as the chooser meets it.
type drawnMachine struct {
	standin.Strings
	profile standin.Profile
	start   rung.Start
	truthMM float64
	exists  bool
}

// metBy is a machine beside somebody who has typed what the tube is, within what one of its kind may have.
func metBy(p standin.Profile) drawnMachine {
	path := melt.Path{FilamentMM: p.FilamentMM, Flexible: p.Material.Springs > 2}
	switch {
	case strings.Contains(p.Name, "short tube"):
		path.Tube, path.BoreMM, path.LengthMM, path.QuarterTurns = true, 2, 350, 1.5
	case strings.Contains(p.Name, "long tube"):
		path.Tube, path.BoreMM, path.LengthMM, path.QuarterTurns = true, 2, 650, 3
	}
	s := melt.StartOf(path)
	m := drawnMachine{Strings: standin.StringsOf(p, standin.Crossing{}), profile: p,
		start: rung.Start{LikelyMM: s.MM, CeilingMM: s.CeilingMM, CommonMM: s.CommonMM, Tube: path.Tube, FilamentMM: p.FilamentMM}}
	m.truthMM, m.exists = m.SufficientMM()
	return m
}

// print is a piece of these lengths, graded gap by gap.
func (m *drawnMachine) print(r *standin.Rater, lengthsMM []float64) (p rung.Print) {
	for _, mm := range lengthsMM {
		threads := m.Band(mm, 0, nil)
		grades, voids := r.Band(threads)
		band := rung.Band{LengthMM: mm, Voids: voids}
		for i, g := range grades {
			band.Gaps = append(band.Gaps, rung.Gap{MM: threads[i].GapMM, Grade: g})
		}
		p.Bands = append(p.Bands, band)
	}
	return p
}

// climbed is how one ladder ended.
type climbed struct {
	found   bool
	valueMM float64
	gaveUp  bool // the grades did not agree
	prints  int
}

// right: a length within 0.25 mm of the shortest that suffices, or truly none.
func (c climbed) right(m *drawnMachine) bool {
	if !c.found {
		return !m.exists && !c.gaveUp
	}
	return m.exists && math.Abs(c.valueMM-m.truthMM) <= 0.25+1e-9
}

// aClimb is a way to look for the length.
type aClimb func(m *drawnMachine, r *standin.Rater) climbed

func byTheChooser(m *drawnMachine, r *standin.Rater) climbed {
	var prints []rung.Print
	for {
		n := rung.Choose(m.start, prints)
		if n.Do != rung.DoPrint && n.Do != rung.DoConfirm {
			return climbed{n.Do == rung.DoTake, n.ValueMM, n.Do == rung.DoCannotTell || n.Do == rung.DoHotEnd, len(prints)}
		}
		p := m.print(r, n.LengthsMM)
		p.Confirming = n.Do == rung.DoConfirm
		prints = append(prints, p)
	}
}

// The two climbs beside it print one length a piece, 0.25 mm more each time, as is done by hand (common practice, no source).
const handRungMM = 0.25

func (m *drawnMachine) bottomMM() float64 {
	if m.start.Tube {
		return 2
	}
	return handRungMM
}

// untilNoBetter takes the length before the first that looks no better.
func untilNoBetter(m *drawnMachine, r *standin.Rater) climbed {
	before, n := math.Inf(1), 0
	for mm := m.bottomMM(); mm <= m.start.CeilingMM; mm += handRungMM {
		n++
		now := meanOf(m.print(r, []float64{mm}).Bands)
		if now >= before {
			return climbed{found: true, valueMM: mm - handRungMM, prints: n}
		}
		before = now
	}
	return climbed{prints: n}
}

// untilClean takes the first length whose whole piece shows hairs at most, and no voids.
func untilClean(m *drawnMachine, r *standin.Rater) climbed {
	n := 0
	for mm := m.bottomMM(); mm <= m.start.CeilingMM; mm += handRungMM {
		n++
		if hairs, voids := m.whole(r, mm); hairs {
			return climbed{found: !voids, valueMM: mm, prints: n}
		}
	}
	return climbed{prints: n}
}

// whole looks at a piece of one length: are there hairs at most at every gap of most of its bands, are there voids at most?
func (m *drawnMachine) whole(r *standin.Rater, mm float64) (hairs, voids bool) {
	above, holes := map[float64]int{}, 0
	for _, b := range m.print(r, slices.Repeat([]float64{mm}, rung.Bands)).Bands {
		if b.Voids {
			holes++
		}
		for _, g := range b.Gaps {
			if g.Grade > 1 {
				above[g.MM]++
			}
		}
	}
	for _, n := range above {
		if 2*n > rung.Bands {
			return false, 2*holes > rung.Bands
		}
	}
	return true, 2*holes > rung.Bands
}

func meanOf(bands []rung.Band) float64 {
	sum, n := 0, 0
	for _, b := range bands {
		for _, g := range b.Gaps {
			sum, n = sum+g.Grade, n+1
		}
	}
	return float64(sum) / float64(n)
}

// reached is what a way came to on many machines.
type reached struct {
	prints, missed []int
	count          int
}

func (r *reached) add(more reached) {
	r.prints, r.missed, r.count = append(r.prints, more.prints...), append(r.missed, more.missed...), r.count+more.count
}

func (r *reached) part(part float64) int {
	sorted := slices.Sorted(slices.Values(r.prints))
	return sorted[max(0, int(math.Ceil(part*float64(len(sorted))))-1)]
}

func (r *reached) mean() float64 {
	sum := 0
	for _, n := range r.prints {
		sum += n
	}
	return float64(sum) / float64(len(r.prints))
}

// onAll goes one way on all machines, on both cores.
func onAll(t *testing.T, machines []drawnMachine, scatter float64, way aClimb) reached {
	ends := make([]climbed, len(machines))
	var both sync.WaitGroup
	for half := range 2 {
		both.Go(func() {
			for i := half; i < len(machines); i += 2 {
				ends[i] = way(&machines[i], standin.NewRater(uint64(i)+1000, scatter))
			}
		})
	}
	both.Wait()
	got := reached{count: len(ends)}
	for i, e := range ends {
		got.prints = append(got.prints, e.prints)
		if !e.right(&machines[i]) {
			got.missed = append(got.missed, i)
		}
	}
	return got
}

// How the chooser does on machines whose equations are none of its own: the stand-in's. All are of our own simulation.
//
//	RUNG_MACHINES=400 go test ./agent -run ChooserOnTheStandIn -v -timeout 60m
func TestTheChooserOnTheStandInsMachines(t *testing.T) {
	count := 40
	if testing.Short() {
		count = 4
	}
	if n, err := strconv.Atoi(os.Getenv("RUNG_MACHINES")); err == nil && n > 0 {
		count = n
	}
	var direct, tube []drawnMachine
	for _, p := range standin.Machines(20, 3*count) {
		if m := metBy(p); m.start.Tube && len(tube) < count {
			tube = append(tube, m)
		} else if !m.start.Tube && len(direct) < count {
			direct = append(direct, m)
		}
	}
	t.Logf("%-16s %-15s %6s %5s %4s %4s %7s", "machine, eye", "way", "median", "mean", "p90", "most", "right")
	var pooled reached
	for _, k := range []struct {
		name     string
		machines []drawnMachine
		scatter  float64
		p90      int
	}{{"direct, trained", direct, 0.35, 6}, {"direct, casual", direct, 0.6, 6}, {"tube, trained", tube, 0.35, 6}, {"tube, casual", tube, 0.6, 9}} {
		got := onAll(t, k.machines, k.scatter, byTheChooser)
		tell(t, k.name, "chooser", got)
		tell(t, "", "until no better", onAll(t, k.machines, k.scatter, untilNoBetter))
		tell(t, "", "until clean", onAll(t, k.machines, k.scatter, untilClean))
		most := count / 20
		if count < 400 {
			most += int(math.Ceil(math.Sqrt(float64(count) / 20))) // the luck of the draw
		}
		if len(got.missed) > most || got.part(0.5) > 3 || got.part(0.9) > k.p90 {
			t.Errorf("%s: %d misses of %d, median %d, p90 %d; want at most %d, 3, %d", k.name, len(got.missed), count, got.part(0.5), got.part(0.9), most, k.p90)
			for _, i := range got.missed {
				m := &k.machines[i]
				e := byTheChooser(m, standin.NewRater(uint64(i)+1000, k.scatter))
				t.Logf("  missed %s: truly %.2f mm (%v), ended %+v", m.profile.Name, m.truthMM, m.exists, e)
			}
		}
		pooled.add(got)
	}
	tell(t, "all of them", "chooser", pooled)
	if p := pooled.part(0.9); p > 6 {
		t.Errorf("%d prints at the 90th percentile of all, want at most 6", p)
	}
}

func tell(t *testing.T, name, way string, r reached) {
	t.Helper()
	t.Logf("%-16s %-15s %6d %5.2f %4d %4d %5.1f %%", name, way, r.part(0.5), r.mean(), r.part(0.9), slices.Max(r.prints), 100-100*float64(len(r.missed))/float64(r.count))
}
