package feed_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
)

// strayed is what checks come to whose person met what no budget holds, counted.
type strayed struct{ of, held, changed, said int }

func (s *strayed) add(t *testing.T, f routines.Finding, trueMM float64, says string) {
	fed := value(t, f, "fed_mm")
	s.of++
	if math.Abs(fed.Value-trueMM) <= *fed.U95 {
		s.held++
	}
	if f.Kind == "change" {
		s.changed++
	}
	if says != "" && slices.ContainsFunc(append(f.Notes, f.Reason), func(n string) bool { return strings.Contains(n, says) }) {
		s.said++
	}
}

func (s strayed) String() string {
	percent := func(n int) float64 { return 100 * float64(n) / float64(s.of) }
	return fmt.Sprintf("± holds in %5.1f %%, changed in %5.1f %%, said in %5.1f %% of %d", percent(s.held), percent(s.changed), percent(s.said), s.of)
}

func withCaliper(method string) stratum {
	all := strata()
	return all[slices.IndexFunc(all, func(s stratum) bool { return s.method == method && s.name == "caliper 0.02" })]
}

// Filament that keeps the bend of its spool, in an arc of 150 mm where it hangs at the inlet: 3.5 mm more than the 120 that are seen. At
// the inlet nothing of it can be seen in the number, and the printer, which is perfect, would be changed by 3 %: that is why the
// question says to lay it straight. Two flags are read over short ways and do not care. Several lengths bend, which is said, and
// change nothing.
func TestCurlSpoilsTheInletAndNotTheFlags(t *testing.T) {
	const checks, radiusMM = 200, 150
	rng := rand.New(rand.NewPCG(2026, 39))
	got := map[string]*strayed{}
	for _, method := range []string{"inlet", "two_flags", "several_lengths"} {
		got[method] = &strayed{}
		for range checks {
			b := withCaliper(method).bench(t, rng, 93, 1)
			b.errs.radiusMM = radiusMM
			b.says["another 1"] = `{"another":false}`
			f := b.run(begin(t, direct(), fmt.Sprintf(`{%s}`, withCaliper(method).inputs)))
			got[method].add(t, f, 100, "bend away from a line")
			if method == "inlet" && !strings.Contains(b.asked("mark 1").Reason, "bent filament is longer than it reads") {
				t.Fatal("nobody was told to lay it straight")
			}
		}
		t.Logf("%-15s %v", method, got[method])
	}
	if s := got["inlet"]; s.held > 0 {
		t.Errorf("a mark at the inlet is said to bear it, and 3 mm are more than ± has: %v", s)
	}
	if s := got["two_flags"]; 1000*s.held < 935*s.of || s.changed > 0 {
		t.Errorf("two flags: %v", s)
	}
	if s := got["several_lengths"]; 10*s.said < 9*s.of || s.changed > s.of-s.said {
		t.Errorf("several lengths: %v", s)
	}
}

// The far flag slips by 1 mm in the first pass of a perfect printer. Of one pass that cannot be seen; two passes disagree, which
// is said, and no longer claim what they cannot; after a change the pass with the new value does not bear it out.
func TestASlippedFlagIsSaidFromTheSecondPassOn(t *testing.T) {
	const checks = 200
	rng := rand.New(rand.NewPCG(2026, 40))
	slipped := func(inputs, says string) *strayed {
		got := &strayed{}
		for range checks {
			b := withCaliper("two_flags").bench(t, rng, 93, 1)
			b.errs.slippedMM, b.errs.slipsIn = 1, 1
			for n := 1; n <= 9; n++ {
				b.says[fmt.Sprintf("another %d", n)] = `{"another":false}`
			}
			got.add(t, b.run(begin(t, direct(), `{"method":"two_flags","gauge":"caliper",`+inputs+`}`)), 100, says)
		}
		t.Logf("%-24s %v", inputs, got)
		return got
	}
	if s := slipped(`"verify":false`, ""); s.held > 0 {
		t.Errorf("one pass bears a slip of four times ±: %v", s)
	}
	if s := slipped(`"verify":true`, "do another check before"); s.changed > 0 {
		t.Errorf("a change by a slip is borne out by the next pass: %v", s)
	}
	for _, passes := range []int{2, 3} {
		s := slipped(fmt.Sprintf(`"passes":%d,"verify":false`, passes), "disagree")
		if 100*s.said < 95*s.of || 20*s.changed > s.of || 100*s.held < 95*s.of {
			t.Errorf("%d passes: %v", passes, s)
		}
	}
}
