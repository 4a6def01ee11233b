package docket_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/gauge"
)

// driftBook is a made-up logbook of feed checks, one a week.
type driftBook struct {
	entries []docket.Entry
	setup   int64
}

// checked is a feed check that fed 100 mm with 400 steps/mm and found so many steps/mm to be true.
func (b *driftBook) checked(truth, u95 float64, change ...func(*docket.Entry)) *docket.Entry {
	fed := 100 * 400 / truth
	u95 *= fed / truth
	e := docket.Entry{Run: "r1", Material: "plum-pla", Setup: b.setup, Entry: routines.Entry{Kind: "feed_check", Value: &fed, U95: &u95, Unit: "mm",
		Body: raw(map[string]any{"finding": "cannot_tell", "commanded_mm": 100, "measured_with_steps_per_mm": 400, "gauge": "caliper", "method": "inlet"})}}
	for _, c := range change {
		c(&e)
	}
	return b.add(e)
}

func (b *driftBook) changed(what string) *docket.Entry {
	return b.add(docket.Entry{Setup: b.setup, Entry: routines.Entry{Kind: docket.KindChange, Body: raw(docket.ChangeBody{What: what})}})
}

func (b *driftBook) add(e docket.Entry) *docket.Entry {
	e.ID = int64(len(b.entries) + 1)
	e.At = begin.AddDate(0, 0, 7*len(b.entries))
	b.entries = append(b.entries, e)
	return &b.entries[len(b.entries)-1]
}

func (b *driftBook) drift(t rapid.TB, q docket.DriftQuery) docket.Drift {
	t.Helper()
	d, err := docket.DriftOf("p1", b.entries, b.setup, q)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// rowOf are checks of these steps/mm.
func rowOf(u95 float64, truths ...float64) *driftBook {
	b := &driftBook{setup: 1}
	for _, v := range truths {
		b.checked(v, u95)
	}
	return b
}

func driftRules(d docket.Drift) (rules []string) {
	for _, s := range d.Signals {
		rules = append(rules, s.Chart+": "+s.Rule)
	}
	return rules
}

// Whatever a check found, its steps/mm are those it was made with times what was commanded over what was fed: 93.00 with
// 98.4 of 100 mm is 94.512, and 0.41 mm of ± are 0.394 steps/mm.
func TestACheckMeasuresTrueSteps(t *testing.T) {
	for _, finding := range []string{"leave", "change", "cannot_tell", "not_held"} {
		b := &driftBook{setup: 1}
		fed, u95 := 98.4, 0.41
		b.add(docket.Entry{Setup: 1, Run: "r7", Entry: routines.Entry{Kind: "feed_check", Value: &fed, U95: &u95,
			Body: raw(map[string]any{"finding": finding, "commanded_mm": 100, "measured_with_steps_per_mm": 93, "gauge": "mm_rule"})}})
		d := b.drift(t, docket.DriftQuery{})
		if len(d.Checks) != 1 || d.Checks[0].Value != 94.5122 || d.Checks[0].U95 != 0.3938 || d.Checks[0].Finding != finding || d.Checks[0].Run != "r7" || d.Checks[0].Gauge != "mm_rule" {
			t.Errorf("%+v", d.Checks)
		}
		if *d.Centre != 94.5122 || *d.Tolerance != 0.9451 || d.Checks[0].Low != nil || d.Checks[0].EWMA != 94.5122 || len(d.Signals) > 0 || d.Again != nil || d.Why == "" {
			t.Errorf("%+v", d)
		}
	}
}

// What has no steps/mm is counted and left out, what has no time is counted and charted where it was made; both are said.
func TestWhatCannotBePlacedIsCounted(t *testing.T) {
	b := rowOf(1, 400, 401, 399, 400)
	undated := func(e *docket.Entry) { e.Undated = true }
	b.checked(390, 1, undated)
	b.checked(410, 1, undated)
	b.checked(400, 1, func(e *docket.Entry) { e.Value, e.U95 = nil, nil })
	b.checked(400, 1, func(e *docket.Entry) { e.Body = raw(map[string]any{"finding": "ratio", "commanded_mm": 100}) })
	b.checked(400, 1, func(e *docket.Entry) { e.Body = []byte("[") })
	b.checked(400, 1, func(e *docket.Entry) { *e.Value = 0 })
	d := b.drift(t, docket.DriftQuery{})
	if len(d.Checks) != 6 || d.Checks[4].At != nil || d.Untimed != 2 || d.Unmeasured != 4 || len(d.Signals) == 0 || d.Setups[0] != (docket.SetupChecks{Version: 1, Checks: 6}) {
		t.Errorf("%+v", d)
	}
	if notes := strings.Join(d.Notes, " "); !strings.Contains(notes, "Without a day: 2 checks") || !strings.Contains(notes, "4 checks without steps/mm") {
		t.Errorf("%q", notes)
	}
}

// A jump where the printer was fitted anew, or the feed's parts were changed, is none; the same jump without is one.
func TestAChangePartsTheRow(t *testing.T) {
	const before, behind = 400.0, 430.0
	for name, change := range map[string]func(*driftBook){
		"another setup": func(b *driftBook) { b.setup = 2; b.changed("new_gear") },
		"idler tension": func(b *driftBook) { b.changed("idler_tension") },
		"two at once":   func(b *driftBook) { b.changed("idler_tension"); b.changed("motor_setting") },
		"undated":       func(b *driftBook) { b.changed("new_gear").Undated = true },
		"nothing":       func(*driftBook) {},
		"the nozzle":    func(b *driftBook) { b.changed("new_nozzle") },
	} {
		b := rowOf(2, before, before+0.5, before-0.5, before)
		change(b)
		for _, off := range []float64{0, 0.5, -0.5, 0.2} {
			b.checked(behind+off, 2)
		}
		d := b.drift(t, docket.DriftQuery{})
		parted := name != "nothing" && name != "the nozzle"
		if parted != (len(d.Signals) == 0) || parted && math.Abs(*d.Centre-430.05) > 1e-3 {
			t.Errorf("%s: centre %g, signals %v", name, *d.Centre, driftRules(d))
		}
		if want := map[string]int{"another setup": 4}[name]; parted && len(d.Checks) != 8-want {
			t.Errorf("%s: %d checks", name, len(d.Checks))
		}
		if name == "two at once" && (len(d.Splices) != 2 || d.Splices[1].Before != 4 || d.Splices[1].Text != "motor setting" || d.Checks[4].Stretch != 1 || d.Checks[3].Stretch != 0) {
			t.Errorf("%+v", d.Splices)
		}
		if name == "undated" && (len(d.Splices) != 1 || d.Splices[0].At != nil) {
			t.Errorf("%+v", d.Splices)
		}
		if name == "another setup" {
			old := b.drift(t, docket.DriftQuery{Setup: 1})
			if len(old.Checks) != 4 || len(old.Splices) != 0 || old.Again != nil || !slices.Equal(d.Setups, []docket.SetupChecks{{Version: 1, Checks: 4}, {Version: 2, Checks: 4}}) {
				t.Errorf("%+v\n%+v", old, d.Setups)
			}
		}
	}
}

// After a change nothing is known until something is measured.
func TestNothingIsKnownRightAfterAChange(t *testing.T) {
	b := rowOf(1, 400, 400.2, 399.8, 400)
	b.changed("new_gear")
	d := b.drift(t, docket.DriftQuery{})
	if d.Centre != nil || d.Tolerance != nil || d.PerDay != nil || d.Again != nil || d.Why != "nothing was checked since: new gear" || d.Splices[0].Before != 4 || len(d.Checks) != 4 {
		t.Errorf("%+v", d)
	}
}

func TestAQueryIsHeldToWhatThereIs(t *testing.T) {
	b := rowOf(1, 400, 401)
	b.checked(405, 1, func(e *docket.Entry) { e.Material = "grey-petg" })
	if d := b.drift(t, docket.DriftQuery{Material: "grey-petg", TolerancePercent: 2}); len(d.Checks) != 1 || *d.Tolerance != 8.1 || d.Setups[0].Checks != 1 || d.Material != "grey-petg" {
		t.Errorf("%+v", d)
	}
	if d := b.drift(t, docket.DriftQuery{}); len(d.Checks) != 3 || !strings.Contains(strings.Join(d.Notes, ""), "one material (plum-pla, grey-petg)") {
		t.Errorf("%q", d.Notes)
	}
	for want, q := range map[string]docket.DriftQuery{"setup": {Setup: 2}, "tolerance_percent": {TolerancePercent: 50}} {
		_, err := docket.DriftOf("p1", b.entries, 1, q)
		var field *routines.FieldError
		if !errors.As(err, &field) || field.Field != want {
			t.Errorf("%+v: %v", q, err)
		}
	}
}

// A steady printer is left alone: 1,000 rows of 3 to 20 checks, by gauges of unequal uncertainty whose errors are independent
// and normal, which is the worst case (drift.go of gauge). Half of what a real gauge is off is the same in all its checks.
func TestASteadyRowIsNoSignal(t *testing.T) {
	const rows = 1000
	rng := rand.New(rand.NewPCG(93, 7))
	calm := 0
	for range rows {
		b := &driftBook{setup: 1}
		for range 3 + rng.IntN(18) {
			u95 := 400 * []float64{0.0018, 0.0045, 0.009}[rng.IntN(3)]
			b.checked(400+u95/2*rng.NormFloat64(), u95)
		}
		if len(b.drift(t, docket.DriftQuery{}).Signals) == 0 {
			calm++
		}
	}
	t.Logf("no signal in %.1f %% of %d steady rows", 100*float64(calm)/rows, rows)
	if calm < rows*93/100 {
		t.Errorf("only %d of %d", calm, rows)
	}
}

// A printer that drifts by 0.05 % from check to check is found within 20 checks by a caliper (± 0.18 %), and told by when to
// look again before 1 % is used up.
func TestADriftIsFound(t *testing.T) {
	const rows = 300
	rng := rand.New(rand.NewPCG(5, 100))
	found, told, early := 0, 0, 0
	for range rows {
		b := &driftBook{setup: 1}
		for i := range 20 {
			truth := 400 * (1 + 0.0005*float64(i))
			b.checked(truth+400*0.0009*rng.NormFloat64(), 400*0.0018)
		}
		d := b.drift(t, docket.DriftQuery{})
		if slices.Contains(d.Signals, docket.DriftSignal{Rule: gauge.RuleDrift, Chart: docket.OfTrend, To: 19, Side: "high"}) {
			found++
		}
		if d.Again == nil {
			continue // the row seems to bend
		}
		told++
		if days := d.Again.Sub(*d.Checks[19].At).Hours() / 24; days > 0 && days <= 7*20 { // 1 % is 20 checks
			early++
		}
	}
	t.Logf("found in %d of %d rows; of %d that say when to check again, %d do before 1 %% is used up", found, rows, told, early)
	if found < rows*99/100 || told < rows*90/100 || early < told*95/100 {
		t.Errorf("found in %d, told in %d, early in %d of %d", found, told, early, rows)
	}
}

// The chart is the same whatever is around the checks, and its parts fit each other.
func TestADriftIsWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := &driftBook{setup: 1}
		for range rapid.IntRange(0, 25).Draw(t, "entries") {
			switch rapid.IntRange(0, 9).Draw(t, "kind") {
			case 0:
				b.changed(rapid.SampledFrom([]string{"new_gear", "fan", "idler_tension"}).Draw(t, "what"))
			case 1:
				b.setup++
			default:
				b.checked(rapid.Float64Range(50, 900).Draw(t, "steps"), rapid.Float64Range(0.01, 20).Draw(t, "u95"),
					func(e *docket.Entry) { e.Undated = rapid.IntRange(0, 9).Draw(t, "undated") == 0 })
			}
		}
		d := b.drift(t, docket.DriftQuery{Setup: rapid.Int64Range(1, b.setup).Draw(t, "setup")})
		of := slices.IndexFunc(d.Setups, func(s docket.SetupChecks) bool { return s.Version == d.SetupVersion })
		if of < 0 || d.Setups[of].Checks != len(d.Checks) || d.Why == "" && len(d.Checks) > 0 {
			t.Fatalf("%+v", d)
		}
		for i, c := range d.Checks {
			if i > 0 && (c.Entry < d.Checks[i-1].Entry || c.Stretch < d.Checks[i-1].Stretch) || c.Low != nil && *c.Low > *c.High {
				t.Fatalf("check %d: %+v after %+v", i, c, d.Checks[i-1])
			}
		}
		for _, s := range d.Splices {
			if s.Before < 1 || s.Before > len(d.Checks) || s.Before < len(d.Checks) && d.Checks[s.Before].Stretch == d.Checks[s.Before-1].Stretch {
				t.Fatalf("splice %+v parts nothing", s)
			}
		}
		for _, s := range d.Signals {
			if s.From < 0 || s.To >= len(d.Checks) || s.From > s.To || d.Checks[s.From].Stretch != d.Checks[s.To].Stretch {
				t.Fatalf("signal %+v of %d checks", s, len(d.Checks))
			}
		}
	})
}

// The row of the steps/mm says by when to check again where the checks have earned it, and from then on that is due.
func TestTheDocketSaysByWhenToCheckAgain(t *testing.T) {
	b := rowOf(0.7, 400, 400.3, 399.8, 400.1)
	of := func() docket.Docket { return docket.Of("p1", b.entries, routines.Setup{Version: 1}, plum()) }
	for i := range b.entries {
		b.entries[i].Body = raw(map[string]any{"finding": "leave", "commanded_mm": 100, "measured_with_steps_per_mm": 400, "u95_percent": 0.2})
	}
	by := of().Row(docket.StepsPerMM).AgainBy
	if want := b.drift(t, docket.DriftQuery{}).Again; by == nil || !by.Equal(*want) {
		t.Fatalf("%v, and the chart says %v", by, want)
	}
	if table := of().Table(); !strings.Contains(table, "found right by run r1; check again by "+by.Format(time.DateOnly)) {
		t.Error(table)
	}
	if d := of().By(by.Add(-time.Second)); d.Due[0].Do == docket.DoFeed {
		t.Errorf("%+v", d.Due)
	}
	d := of().By(*by)
	if d.Due[0].Do != docket.DoFeed || !strings.HasPrefix(d.Due[0].Text, "check again by "+by.Format(time.DateOnly)+": ") || !d.Row(docket.StepsPerMM).Fresh || d.Due[1].Do != docket.DoTravel {
		t.Errorf("%+v", d.Due)
	}
	b.changed("new_gear")
	if d := of().By(*by); d.Row(docket.StepsPerMM).AgainBy != nil || len(d.Due) < 2 || d.Due[0].Do != docket.DoFeed || d.Due[1].Do == docket.DoFeed {
		t.Errorf("%+v", d.Due)
	}
	for i := range b.entries {
		b.entries[i].Undated = true
	}
	if by := of().Row(docket.StepsPerMM).AgainBy; by != nil {
		t.Errorf("%v, with a clock that was never set", by)
	}
}
